package plies

import (
	"fmt"
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/flat"
	"laywright/internal/stage/slits"
)

// Limits of the findings on pieces.
const (
	leastDropped  = si.Area(1e-4) // of islands that are left out: a thumbnail
	leastTrespass = 1e-3          // of cuts in places to be kept off, m
	leastGap      = si.Area(2e-5) // of cloth that a piece lacks beside a seam
	patchTrifle   = 0.01          // share of a patch over locking that no finding is made of
)

// judgePieces looks at the flat outlines.
func (w *work) judgePieces(out *Result, ply *Ply, p PlyIn, s *sheets, label string) {
	usable := float64(p.Fabric.Width.Or(0) - 2*p.Fabric.Selvedge.Or(0))
	for _, piece := range ply.Pieces {
		if piece.Overlaps || flat.Polygon(piece.Outline).Valid() != nil {
			why, do := "the part closes round on itself more than one flat piece can", "Draw a cut through the part (plies.slits, through: true), so that the ply is laid in two pieces."
			if len(ply.Seams) > 0 {
				why, do = "beside a slit the surface opens, so that its sides overlap in the flat", "Move the slit, or part the ply there (plies.slits, through: true)."
			}
			out.Findings = append(out.Findings, fault.Finding{Stage: "plies", Severity: fault.Stop, Code: PieceOverlaps,
				What: fmt.Sprintf("%s: the flat piece %s would overlap itself.", label, piece.Name), Why: why, Do: do})
		}
		box := flat.Polygon(piece.Outline).Bounds()
		if wide := box.Max.Y - box.Min.Y; usable > 0 && wide > usable {
			out.add(fault.Stop, WiderThanRoll, fmt.Sprintf("%s: piece %s is wider across the warp than the cloth.", label, piece.Name),
				"the warp must run along the roll", "Take a wider cloth, turn the ply by 90°, or draw a cut through the part.", 1000*wide, 1000*usable, "mm")
		}
		judgeCloth(out, piece, label, w.lap() == 0)
	}
	w.judgePatches(out, ply, p, label)
	trespass := 0.0
	for _, b := range s.beds {
		trespass += b.Trespass
	}
	if trespass > leastTrespass {
		out.add(fault.Caution, "cut-in-kept-off-place", fmt.Sprintf("%s has %.0f mm of cuts in places that are to be kept off.", label, 1000*trespass),
			"no other way out to the rim was found", "Move plies.keep_off, or draw the cut (plies.slits).", 1000*trespass, 0, "mm")
	}
}

// judgeCloth looks at what one piece lacks.
func judgeCloth(out *Result, piece flat.Piece, label string, butted bool) {
	if piece.Dropped > leastDropped {
		out.add(fault.Caution, "island-left-out", fmt.Sprintf("%s: %.1f cm² of piece %s hang on nothing and are left out.", label, 1e4*float64(piece.Dropped), piece.Name),
			"the cuts part them from the piece", "Lay a scrap of the cloth there.", 1e4*float64(piece.Dropped), 1e4*float64(leastDropped), "cm²")
	}
	if len(piece.Narrow) > 0 {
		out.Findings = append(out.Findings, fault.Finding{Stage: "plies", Severity: fault.Note, Code: "piece-narrow",
			What: fmt.Sprintf("%s: piece %s is narrower than a knife leaves whole in %d places.", label, piece.Name, len(piece.Narrow)),
			Why:  "threads fray out of strips of a few millimetres", Do: "Tape it there before cutting, and lift it on its film."})
	}
	var gap si.Area
	for _, g := range piece.Gaps {
		gap += g.Area
	}
	if butted && gap > leastGap {
		out.add(fault.Caution, "seam-gapes", fmt.Sprintf("%s: beside its seams piece %s lacks %.1f cm² of cloth.", label, piece.Name, 1e4*float64(gap)),
			"the surface opens beside the slit, and only one side can have the cloth", "Lay a scrap of the cloth there, or write plies.mode: lapped.",
			1e4*float64(gap), 1e4*float64(leastGap), "cm²")
	}
}

// judgePatches tells where a patch itself would lock.
func (w *work) judgePatches(out *Result, ply *Ply, p PlyIn, label string) {
	locking, _ := bounds(p)
	count, worst := 0, 0.0
	for i, s := range ply.Sheets {
		if !ply.Pieces[i].Patch {
			continue
		}
		areas := s.Top.Mesh.VertexAreas()
		if slits.Over(areas, s.Shear, locking) > patchTrifle*s.Top.Mesh.Area() {
			count++
			worst = max(worst, float64(passedOn(areas, s.Shear, patchTrifle)))
		}
	}
	if count > 0 {
		out.add(fault.Note, "patch-locks", fmt.Sprintf("%s: %d patches over its seams would pucker at an edge.", label, count),
			"a patch at a slit's tip lies over the curvature that the slit lets out", "Snip its edge there and lay the two sides over each other.",
			si.Angle(worst).Degrees(), si.Angle(locking).Degrees(), "deg")
	}
}

// judgeSeams looks at the slits of all plies together: how many and how long,
// and whether neighbours keep the stagger.
func (w *work) judgeSeams(out *Result, laid []*sheets) {
	count, long := 0, 0.0
	for _, p := range out.Plies {
		for _, s := range p.Seams {
			count++
			long += float64(s.Length)
		}
	}
	if count == 0 {
		return
	}
	out.Findings = append(out.Findings, fault.Finding{Stage: "plies", Severity: fault.Note, Code: "plies-are-slit",
		What: fmt.Sprintf("The plies have %s, %.0f mm together; %.1f cm² of cloth lies double in laps.", fault.Count(count, "slit", "slits"), 1000*long, 1e4*float64(out.LapArea)),
		Why:  "the surface closes in more than the cloth shears", Do: "Cut each slit to its tip and no further; lay the side with the lap over the other."})
	w.judgeStagger(out, laid)
}

// judgeStagger measures how near the seams of neighbouring plies come over the
// surface.
func (w *work) judgeStagger(out *Result, laid []*sheets) {
	asked := float64(or(w.in.Spec.Stagger, usualStagger))
	var worst slits.Closeness
	var who [2]int
	worst.Least = math.Inf(1)
	near, forced, long := 0.0, 0.0, 0.0
	found := map[[2]*sheets]slits.Closeness{}
	for i := 1; i < len(laid); i++ {
		pair := [2]*sheets{laid[i], laid[i-1]}
		c, known := found[pair]
		if !known {
			c = w.closeness(laid[i], laid[i-1], asked)
			found[pair] = c
		}
		near, forced, long = near+c.Near, forced+c.Forced, long+c.Long
		if c.Least < worst.Least {
			worst, who = c, [2]int{out.Plies[i-1].Number, out.Plies[i].Number}
		}
	}
	if math.IsInf(worst.Least, 1) {
		return
	}
	out.Stagger = &worst.Least
	if worst.Least >= asked {
		return
	}
	why, do := "the slits of all plies must reach the same corner, where the surface closes in", "Lay a patch of the cloth over each such corner as one of the plies."
	if forced < near/2 {
		why, do = "beside the best lines there is no room or the cloth locks, or they lead to the same place at the rim", "Draw the slits of one ply elsewhere (plies.slits, with plies:), or ask for less stagger."
	}
	out.add(fault.Caution, "seams-close", fmt.Sprintf("Seams of plies %d and %d come near to each other at %s; of %.0f mm of seams, %.0f mm lie nearer to one of the ply before than the stagger, %.0f mm of that beside a corner that both must reach.",
		who[0], who[1], mm(worst.At), 1000*long, 1000*near, 1000*forced), why, do, 1000*worst.Least, 1000*asked, "mm")
}

// closeness measures how near the seams of one ply come to those of another, on
// all parts.
func (w *work) closeness(a, b *sheets, stagger float64) slits.Closeness {
	sum := slits.Closeness{Least: math.Inf(1)}
	for i := range w.parts {
		p := &w.parts[i]
		c, any := p.Closeness(a.on(p), b.on(p), stagger)
		if !any {
			continue
		}
		sum.Near, sum.Forced, sum.Long = sum.Near+c.Near, sum.Forced+c.Forced, sum.Long+c.Long
		if c.Least < sum.Least {
			sum.Least, sum.At = c.Least, c.At
		}
	}
	return sum
}
