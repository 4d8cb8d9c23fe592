// Package offset answers where a face lies that stands off another one by a
// thickness: the mould's face from the drawn one, or the finished face from the
// mould's.
//
// Places are in metres. A surface may be a signed distance, positive outside,
// whose parallel is exact, or a mesh of triangles with a height for each vertex.
// Where a hollow is tighter than the height the parallel folds; that is
// reported with its place and radius, and no folded triangle is handed back.
//
// It knows neither cloth nor stacks, and nothing of why a face is moved.
package offset

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/stage/mould/solid"
)

// Moved is a body whose face is moved out by By, m; inward where that is
// negative:
//
//	d'(p) = d(p) − t
//
// Exact where d is Euclidean between the face and its parallel.
type Moved struct {
	Of solid.Solid
	By float64
}

// Bounds returns a box round the moved face.
func (m Moved) Bounds() r3.Box {
	b, w := m.Of.Bounds(), r3.Vec{X: m.By, Y: m.By, Z: m.By}
	return r3.Box{Min: r3.Sub(b.Min, w), Max: r3.Add(b.Max, w)}
}

// At returns the distance from the moved face.
func (m Moved) At(p r3.Vec) (float64, r3.Vec) {
	d, n := m.Of.At(p)
	return d - m.By, n
}

// Crisp is At with faces that go on past sharp edges. A face moved outward has
// none: round a sharp edge its parallel is round.
func (m Moved) Crisp(p r3.Vec) (float64, r3.Vec) {
	c, ok := m.Of.(solid.Crisp)
	if !ok || m.By > 0 {
		return m.At(p)
	}
	d, n := c.Crisp(p)
	return d - m.By, n
}

// Encloses tells whether the body encloses p: the ball stays where it was.
func (m Moved) Encloses(p r3.Vec, r float64) bool {
	e, ok := m.Of.(solid.Enclosing)
	return ok && e.Encloses(p, r+m.By)
}

// Scaled is a body made larger by a factor about a place.
type Scaled struct {
	Of    solid.Solid
	About r3.Vec
	By    float64
}

// Bounds returns a box round the scaled body.
func (s Scaled) Bounds() r3.Box {
	b := s.Of.Bounds()
	return r3.Box{Min: s.out(b.Min), Max: s.out(b.Max)}
}

func (s Scaled) out(p r3.Vec) r3.Vec { return r3.Add(s.About, r3.Scale(s.By, r3.Sub(p, s.About))) }

func (s Scaled) in(p r3.Vec) r3.Vec { return r3.Add(s.About, r3.Scale(1/s.By, r3.Sub(p, s.About))) }

// At returns the distance from the scaled face.
func (s Scaled) At(p r3.Vec) (float64, r3.Vec) {
	d, n := s.Of.At(s.in(p))
	return d * s.By, n
}

// Crisp is At with faces that go on past sharp edges.
func (s Scaled) Crisp(p r3.Vec) (float64, r3.Vec) {
	c, ok := s.Of.(solid.Crisp)
	if !ok {
		return s.At(p)
	}
	d, n := c.Crisp(s.in(p))
	return d * s.By, n
}

// Encloses tells whether the body encloses p.
func (s Scaled) Encloses(p r3.Vec, r float64) bool {
	e, ok := s.Of.(solid.Enclosing)
	return ok && e.Encloses(s.in(p), r/s.By)
}

// Nearest makes the distance of a body Euclidean within Reach of its face that is
// only right on the face and to first order beside it: it walks to the place on
// the face whose normal leads to p.
//
//	q ← q − d(q) n(q), then q ← q + (1 − n nᵀ)(p − q), until the last is nothing
//
// The walk comes in where Reach is less than the radius of curvature on p's side;
// where it does not settle the first-order distance stands.
type Nearest struct {
	Of    solid.Solid
	Reach float64
}

// Bounds returns the body's own box.
func (s Nearest) Bounds() r3.Box { return s.Of.Bounds() }

// At returns the distance.
func (s Nearest) At(p r3.Vec) (float64, r3.Vec) {
	d, n := s.Of.At(p)
	if math.Abs(d) > s.Reach || math.Abs(d) < nearby {
		return d, n
	}
	q := r3.Sub(p, r3.Scale(d, n))
	before := math.Inf(1)
	for range mostSteps {
		e, m := s.Of.At(q)
		q = r3.Sub(q, r3.Scale(e, m))
		v := r3.Sub(p, q)
		aside := r3.Sub(v, r3.Scale(r3.Dot(v, m), m))
		if r3.Norm(aside) < nearby && math.Abs(e) < nearby {
			return math.Copysign(r3.Norm(v), d), m
		}
		if now := r3.Norm(aside) + math.Abs(e); now > 0.9*before && now > 1e3*nearby {
			break // at a rim there is no way on
		} else {
			before = now
		}
		q = r3.Add(q, aside)
	}
	return d, n
}

// How near the walk to the nearest place must come, m, and how many steps it may
// take.
const (
	nearby    = 1e-10
	mostSteps = 30
)
