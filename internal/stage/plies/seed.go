package plies

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/seed"
)

// farOff is the distance of a given seed from the surface, against the part's
// diagonal, from which on it is pointed out.
const farOff = 0.02

// place sets the seed and the warp's direction of each part. The given seed is
// for the part nearest to it; the others, and all of them where it is left to
// the program, get one that is looked for.
func (w *work) place(out *Result) error {
	given := -1
	if s := w.in.Spec.Seed; s.Given {
		best := math.Inf(1)
		for i := range w.parts {
			if hit, ok := w.parts[i].Locator.Closest(s.Value.V); ok && hit.Distance < best {
				best, given, w.parts[i].Seed = hit.Distance, i, hit.Point
			}
		}
		if limit := farOff * w.in.Surface.Diagonal(); best > limit {
			out.Findings = append(out.Findings, fault.Finding{Stage: "plies", Severity: fault.Caution, Code: "seed-off-surface",
				What: fmt.Sprintf("The seed lies %.1f mm off the part; the nearest point of the part is taken.", 1000*best),
				Why:  "cloth can only be laid down on the part", Do: "Check plies.seed and its unit."}.Against(1000*best, 1000*limit, "mm"))
		}
	}
	first := 0
	for i := range w.parts {
		p := &w.parts[i]
		p.Along, p.Fixed = w.warp(), i == given
		if w.in.local != nil {
			w.in.local.place(p)
			continue
		}
		if p.Area > w.parts[first].Area {
			first = i
		}
		from := "given"
		var found *seed.Search
		if i != given {
			from = "middle"
			p.Seed = seed.Middle(p)
			seed.Aim(p, w.warp())
			if p.Seed, found = seed.Find(p, w.seeking()); found != nil && found.Moved {
				from = "least shear"
			}
		}
		lost := seed.Aim(p, w.warp())
		if lost && i == first {
			out.Findings = append(out.Findings, upright(p.Warp))
		}
		if i == given || given < 0 && i == first {
			at := p.Top.Mesh.At(p.Seed)
			out.Seed, out.SeedFrom, out.Search = triple(at), from, found
		}
	}
	out.noteSearch(out.Search, out.SeedFrom)
	return nil
}

// seeking is what a seed is sought for.
func (w *work) seeking() seed.Ask {
	ask := seed.Ask{Warp: w.warp(), Locking: si.Angle(math.Inf(1)), Cuts: !w.in.Spec.Slits.None, Tolerance: w.tolerance()}
	for _, p := range w.in.Plies {
		locking, _ := bounds(p)
		ask.Angles = append(ask.Angles, p.Angle)
		ask.Locking = min(ask.Locking, si.Angle(locking))
	}
	return ask
}

func upright(warp r3.Vec) fault.Finding {
	return fault.Finding{Stage: "plies", Severity: fault.Caution, Code: "warp-off-surface",
		What: fmt.Sprintf("The warp's direction stands straight up on the part at the seed; [%.0f, %.0f, %.0f] is taken instead.", warp.X, warp.Y, warp.Z),
		Why:  "an angle can only be laid out along the surface", Do: "Give plies.warp along the surface at the seed."}
}

// warp returns the direction of the warp for angle 0, a unit vector.
func (w *work) warp() r3.Vec {
	if d := w.in.Spec.Warp.V; d != (r3.Vec{}) {
		return r3.Unit(d)
	}
	return r3.Vec{X: 1}
}

// noteSearch tells what another seed or another bearing of the warp would give.
func (r *Result) noteSearch(s *seed.Search, from string) {
	if s == nil {
		return
	}
	if from == "least shear" {
		before := fmt.Sprintf("shear by %.0f°", s.MiddleShear.Degrees())
		if s.MiddleShear > collapsed {
			before = "collapse"
		}
		r.add(fault.Note, "seed-moved", fmt.Sprintf("The seed is set at %s: from the middle of the part the plies would %s, from there they shear by %.0f°.",
			mm(vec(r.Seed)), before, s.SeedShear.Degrees()),
			"shear grows with the curvature that lies between the seed and the rim", "Write plies.seed to set it yourself.",
			s.SeedShear.Degrees(), s.MiddleShear.Degrees(), "deg")
	}
	if s.Turn != 0 {
		r.add(fault.Note, "warp-turn-helps", fmt.Sprintf("With every ply turned by %+.0f° the plies would shear by %.0f° instead of %.0f°.", s.Turn.Degrees(), s.TurnShear.Degrees(), s.SeedShear.Degrees()),
			"where yarns run against the shape's own lines matters, and this much is within plies.direction_tolerance", "Turn plies.warp by that if the strength check allows it.",
			s.TurnShear.Degrees(), s.SeedShear.Degrees(), "deg")
	}
}
