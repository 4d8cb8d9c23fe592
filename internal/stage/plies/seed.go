package plies

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/stage/drape"
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
		if p.Area > w.parts[first].Area {
			first = i
		}
		from := "given"
		if i != given {
			p.Seed = middle(p)
			point(p, w.in.Spec.Warp.V)
			from = w.search(p)
		}
		lost := point(p, w.in.Spec.Warp.V)
		if lost && i == first {
			out.Findings = append(out.Findings, upright(p.Warp))
		}
		if i == given || given < 0 && i == first {
			at := p.Top.Mesh.At(p.Seed)
			out.Seed, out.SeedFrom = [3]float64{at.X, at.Y, at.Z}, from
		}
	}
	return nil
}

func upright(warp r3.Vec) fault.Finding {
	return fault.Finding{Stage: "plies", Severity: fault.Caution, Code: "warp-off-surface",
		What: fmt.Sprintf("The warp's direction stands straight up on the part at the seed; [%.0f, %.0f, %.0f] is taken instead.", warp.X, warp.Y, warp.Z),
		Why:  "an angle can only be laid out along the surface", Do: "Give plies.warp along the surface at the seed."}
}

// leastShadow is the length of the warp's unit vector laid into the surface
// below which its direction there means nothing.
const leastShadow = 0.05

// point lays the warp's direction into the surface at the seed. Where it stands
// straight up there, the axis x, y or z that lies flattest is taken, and true
// returned.
func point(p *slits.Part, warp r3.Vec) (lost bool) {
	if warp == (r3.Vec{}) {
		warp = r3.Vec{X: 1}
	}
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

// middle returns the place where the line through the centre of area along the
// mean normal leaves the surface, or the place nearest to that centre.
func middle(p *slits.Part) mesh.Point {
	m := p.Top.Mesh
	var centre, normal r3.Vec
	for f := range m.Triangles {
		a := m.AreaVector(f)
		centre = r3.Add(centre, r3.Scale(r3.Norm(a)/p.Area, m.Centroid(f)))
		normal = r3.Add(normal, a)
	}
	if r3.Norm(normal) > 0.1*p.Area {
		hits := p.Locator.RayAll(centre, r3.Unit(normal), -m.Diagonal())
		if len(hits) > 0 {
			return hits[len(hits)-1].Point
		}
	}
	hit, _ := p.Locator.Closest(centre)
	return hit.Point
}

// trials is how many other seeds are tried, trialCells how many cells of the net
// go along the square root of the area. Another seed must have less than
// worthMoving of the burden of the middle, and less by leastGain, rad: work that
// goes out evenly from the middle is easier on the hands.
const (
	trials      = 8
	trialCells  = 30
	worthMoving = 0.7
	leastGain   = 3 * math.Pi / 180
)

// search tries seeds spread over the part with a coarse net for the first ply
// and moves the seed where that is worth it. On a part that nearly unrolls all
// are alike, and it stays in the middle.
func (w *work) search(p *slits.Part) string {
	here := w.trial(p, p.Seed)
	best := min(worthMoving*here, here-leastGain)
	moved := "middle"
	for _, seed := range spread(p, trials) {
		if burden := w.trial(p, seed); burden < best {
			best, p.Seed, moved = burden, seed, "least shear"
		}
	}
	return moved
}

func (w *work) trial(p *slits.Part, seed mesh.Point) float64 {
	q := *p
	q.Seed = seed
	point(&q, w.in.Spec.Warp.V)
	net, err := drape.Kinematic(drape.Input{Surface: q.Top, Seed: seed, Warp: q.Turned(float64(w.in.Plies[0].Angle))}, math.Sqrt(p.Area)/trialCells)
	if err != nil {
		return math.Inf(1)
	}
	return net.Burden()
}

// spread returns seeds at the middles of triangles, each as far as can be from
// the seed and from those before.
func spread(p *slits.Part, count int) []mesh.Point {
	m := p.Top.Mesh
	far := make([]float64, len(m.Triangles))
	middle := make([]r3.Vec, len(far))
	for f := range far {
		far[f], middle[f] = math.Inf(1), m.Centroid(f)
	}
	from := m.At(p.Seed)
	rim := p.Top.RimVertices()
	var out []mesh.Point
	for range count {
		best := -1
		for f, t := range m.Triangles {
			far[f] = min(far[f], r3.Norm(r3.Sub(middle[f], from)))
			if !rim[t[0]] && !rim[t[1]] && !rim[t[2]] && (best < 0 || far[f] > far[best]) {
				best = f
			}
		}
		if best < 0 {
			break
		}
		from = middle[best]
		out = append(out, mesh.Point{Face: best, Bary: [3]float64{1.0 / 3, 1.0 / 3, 1.0 / 3}})
	}
	return out
}
