package plies

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/stage/slits"
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
		if p.Area > w.parts[first].Area {
			first = i
		}
		from := "given"
		var found *Search
		if i != given {
			p.Seed = middle(p)
			point(p, w.warp())
			from, found = w.search(p)
		}
		lost := point(p, w.warp())
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

// leastShadow is the length of the warp's unit vector laid into the surface
// below which its direction there means nothing.
const leastShadow = 0.05

// point lays the warp's direction into the surface at the seed. Where it stands
// straight up there, the axis x, y or z that lies flattest is taken, and true
// returned.
func point(p *slits.Part, warp r3.Vec) (lost bool) {
	p.Normal = p.Top.Mesh.FaceNormal(p.Seed.Face)
	lay := func(v r3.Vec) r3.Vec { return r3.Sub(v, r3.Scale(r3.Dot(v, p.Normal), p.Normal)) }
	d := lay(warp)
	if lost = r3.Norm(d) < leastShadow; lost {
		for _, axis := range []r3.Vec{{X: 1}, {Y: 1}, {Z: 1}} {
			if l := lay(axis); r3.Norm(l) > r3.Norm(d)+1e-9 {
				d = l
			}
		}
	}
	p.Warp = r3.Unit(d)
	return lost
}

// lookingShare is the share of its area that a surface's area vectors must come to
// for it to look anywhere.
const lookingShare = 0.1

// middle returns the place where the line through the centre of area along the
// mean normal leaves the surface, or the place nearest to that centre.
func middle(p *slits.Part) mesh.Point {
	m := p.Top.Mesh
	var centre r3.Vec
	for f := range m.Triangles {
		centre = r3.Add(centre, r3.Scale(m.FaceArea(f)/p.Area, m.Centroid(f)))
	}
	if up := meanNormal(m); up != (r3.Vec{}) {
		hits := p.Locator.RayAll(centre, up, -m.Diagonal())
		if len(hits) > 0 {
			return hits[len(hits)-1].Point
		}
	}
	hit, _ := p.Locator.Closest(centre)
	return hit.Point
}

// meanNormal returns the direction in which a surface looks on the whole, zero
// where it looks all round.
func meanNormal(m *mesh.Mesh) (sum r3.Vec) {
	var area float64
	for f := range m.Triangles {
		a := m.AreaVector(f)
		sum, area = r3.Add(sum, a), area+r3.Norm(a)
	}
	if r3.Norm(sum) <= lookingShare*area {
		return r3.Vec{}
	}
	return r3.Unit(sum)
}
