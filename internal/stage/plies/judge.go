package plies

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/slits"
)

// Limits of the findings.
const (
	// usualLocking and usualWarning stand in where a fabric's record has no
	// number: a tight plain weave, common practice.
	usualLocking = 40 * math.Pi / 180
	usualWarning = 30 * math.Pi / 180
	// collapsed is the shear at which yarns lie beside each other: no cloth
	// does that; collapsedShare is the share of the part that is more than a
	// trifle.
	collapsed      = 80 * math.Pi / 180
	collapsedShare = 0.02
	// offAngle is the usual tolerance on a fibre's direction, common practice;
	// offShare the share of the part beyond it that is worth a remark.
	offAngle = 3 * math.Pi / 180
	offShare = 0.05
	// mostPlaces is how many locked places are named one by one.
	mostPlaces = 6
)

// Codes of findings that leave the plies without pieces that a roll can give.
const (
	WiderThanRoll = "piece-wider-than-roll"
	PieceOverlaps = "piece-overlaps"
)

// trifle is the share of the part that no finding is made of: shear_max_deg is
// passed on no more than this.
const trifle = 1e-5

// bounds returns the shear at which a ply's cloth locks and at which care begins.
func bounds(p PlyIn) (locking, warning float64) {
	locking = float64(p.Fabric.Locking.Or(usualLocking))
	return locking, min(locking, float64(p.Fabric.ShearWarn.Or(usualWarning)))
}

// measure fills in what can be said of the ply in numbers.
func (w *work) measure(ply *Ply, p PlyIn, s *sheets) {
	locking, warning := bounds(p)
	var areas, shear []float64
	for _, b := range s.beds {
		areas, shear = append(areas, b.Areas...), append(shear, b.Shear...)
	}
	ply.ShearMax, ply.ShearP99 = passedOn(areas, shear, trifle), passedOn(areas, shear, 0.01)
	ply.Locked = si.Area(slits.Over(areas, shear, locking))
	ply.Warning = si.Area(slits.Over(areas, shear, warning)) - ply.Locked
	d := w.direction(s.laid.Off, p.Fabric, w.tolerance())
	ply.OffMax, ply.OffP95, ply.Turned = d.Max, d.P95, d.Share
}

// label names the plies that are of one cloth and lie alike, and tells whether
// ply i is the first of them.
func (w *work) label(i int, laid []*sheets) (label string, first bool) {
	p := w.in.Plies[i]
	var numbers []string
	for j, q := range w.in.Plies {
		if q.Name == p.Name && laid[j] == laid[i] {
			if j < i {
				return "", false
			}
			numbers = append(numbers, strconv.Itoa(q.Number))
		}
	}
	word := "Ply "
	if len(numbers) > 1 {
		word = "Each of plies "
	}
	return fmt.Sprintf("%s%s (%s at %.0f°)", word, strings.Join(numbers, ", "), p.Name, p.Angle.Degrees()), true
}

// judge adds the findings on a ply.
func (w *work) judge(out *Result, ply *Ply, p PlyIn, s *sheets, label string) {
	locking, warning := bounds(p)
	whole := w.in.Surface.Area()
	if area := slits.Over(w.areas, ply.Laid.Shear, collapsed); area > collapsedShare*whole {
		out.add(fault.Stop, "cloth-collapses", fmt.Sprintf("%s would collapse over %.0f cm².", label, 1e4*area),
			"its yarns would lie beside each other, which no cloth does", "Slit the ply there, split the part, or move plies.seed.",
			100*area/whole, 100*collapsedShare, "% of the part")
	}
	w.lockedPlaces(out, label, s, locking)
	for _, b := range s.beds {
		if b.Unfinished {
			out.add(fault.Caution, "cloth-not-settled", label+" has not come to rest on the mould: its shape is the best found.",
				"the step limit came first, as on ground that no cloth takes whole", "Slit the ply, split the part, or move plies.seed; try a paper pattern first.",
				1000*b.Residual, 0, "mm")
			break
		}
	}
	if float64(ply.Locked) < trifle*whole && float64(ply.Warning) > trifle*whole {
		out.add(fault.Note, "cloth-near-locking", fmt.Sprintf("%s comes near to locking over %.1f cm².", label, 1e4*float64(ply.Warning)),
			"past its warning the cloth resists and may pucker", "Work it outwards from the seed there, a little at a time.",
			ply.ShearMax.Degrees(), warning*180/math.Pi, "deg")
	}
	of := "the part"
	if w.in.local != nil {
		of = "its places"
	}
	out.judgeDirection(label, of, Direction{ply.OffMax, ply.OffP95, ply.Turned}, w.tolerance())
	w.judgePieces(out, ply, p, s, label)
}

func (r *Result) add(sev fault.Severity, code, what, why, do string, value, limit float64, unit string) {
	r.Findings = append(r.Findings, fault.Finding{Stage: "plies", Severity: sev, Code: code, What: what, Why: why, Do: do}.
		Against(value, limit, unit))
}

// passedOn returns the shear, either way, that is passed on no more than a share
// of the area.
func passedOn(areas, shear []float64, share float64) si.Angle {
	type spot struct{ shear, area float64 }
	spots := make([]spot, len(shear))
	var whole float64
	for v := range spots {
		spots[v] = spot{math.Abs(shear[v]), areas[v]}
		whole += areas[v]
	}
	slices.SortFunc(spots, func(a, b spot) int { return cmp.Compare(b.shear, a.shear) })
	var sum float64
	for _, s := range spots {
		if sum += s.area; sum > share*whole {
			return si.Angle(s.shear)
		}
	}
	return 0
}

// lockedPlaces names the places over the locking angle, worst first.
func (w *work) lockedPlaces(out *Result, label string, s *sheets, locking float64) {
	type spot struct {
		slits.Place
		at r3.Vec
	}
	var spots []spot
	var tight []slits.Place
	for _, b := range s.beds {
		places, beside := b.LockedAndTight(locking, w.trifle())
		for _, p := range places {
			spots = append(spots, spot{p, b.Top.Mesh.Vertices[p.At]})
		}
		tight = append(tight, beside...)
	}
	if len(tight) > 0 {
		var area, worst float64
		for _, p := range tight {
			area, worst = area+p.Area, max(worst, p.Worst)
		}
		out.add(fault.Note, "cloth-tight-at-slit", fmt.Sprintf("%s is over its locking angle on %.1f cm² beside its slits, a triangle or two wide.", label, 1e4*area),
			"the edge of a slit is free to move, and lies under a lap", "Smooth it towards the slit.", worst*180/math.Pi, locking*180/math.Pi, "deg")
	}
	slices.SortStableFunc(spots, func(a, b spot) int { return cmp.Compare(b.Worst, a.Worst) })
	rim := w.top.RimVertices()
	for i, p := range spots {
		if i == mostPlaces {
			out.add(fault.Caution, "cloth-locks-elsewhere", fmt.Sprintf("%s locks in %d more places, less badly.", label, len(spots)-i),
				"there too the surface closes in more than the cloth shears", "Mend the worst places first and plan again.",
				p.Worst*180/math.Pi, locking*180/math.Pi, "deg")
			break
		}
		from := w.in.Surface.Vertices[w.in.Surface.NearestVertex(p.at, func(v int) bool { return rim[v] })]
		mend := fmt.Sprintf("Plan on a slit: cut from the rim at %s towards this place and lap it %.0f mm.", mm(from), 1000*float64(or(w.in.Spec.Lap, usualLap)))
		if s.cut() {
			mend = "The slits that are cut leave this over; smooth it by hand towards the nearest, and snip there if it puckers."
		}
		out.add(fault.Caution, "cloth-locks",
			fmt.Sprintf("%s locks at %s, over %.1f cm².", label, mm(p.at), 1e4*p.Area),
			"the surface closes in more here than the cloth can shear; it will pucker or stand off",
			mend,
			p.Worst*180/math.Pi, locking*180/math.Pi, "deg")
	}
}

func mm(p r3.Vec) string {
	n := func(x float64) float64 { return math.Round(1000*x) + 0 } // no -0
	return fmt.Sprintf("(%.0f, %.0f, %.0f) mm", n(p.X), n(p.Y), n(p.Z))
}

// tolerance is that on a yarn's direction.
func (w *work) tolerance() si.Angle {
	if t := w.in.Spec.Tolerance; t != nil {
		return *t
	}
	return offAngle
}

// limits adds what this stage leaves out, once.
func (w *work) limits(out *Result, laid []*sheets) {
	note := func(code, what, why, do string) {
		out.Findings = append(out.Findings, fault.Finding{Stage: "plies", Severity: fault.Note, Code: code, What: what, Why: why, Do: do})
	}
	lost := 0
	for _, b := range laid[0].beds {
		lost += b.Unreachable
	}
	if lost > 0 {
		out.Findings = append(out.Findings, fault.Finding{Stage: "plies", Severity: fault.Caution, Code: "slits-not-cut",
			What: fmt.Sprintf("%d of the drawn slits could not be cut.", lost),
			Why:  "a slit runs from a place inside the part to its rim, and none may run into another", Do: "Move the ends of plies.slits."})
	}
	if w.in.local != nil {
		return
	}
	note("drape-model", "Cloth is laid as yarns that neither stretch nor slip, without friction, tension or bending.",
		"hands, tack and the order of work also shape a ply", "Try a doubtful place with a scrap of the cloth.")
	if len(w.parts) > 1 {
		note("surface-in-parts", fmt.Sprintf("The surface is in %d parts; each ply is cut as that many pieces.", len(w.parts)),
			"cloth is laid on what hangs together", "Nothing, if that is meant.")
	}
}
