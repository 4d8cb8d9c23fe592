package cut

import (
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// snap is how near to a corner, as a share of the side, a path that crosses a
// side runs through the corner instead: it keeps slivers out of the mesh.
const snap = 0.2

// Tracer follows straight cuts over a surface.
type Tracer struct {
	top     *mesh.Topology
	Normals []r3.Vec // of vertices
	rim     []bool
}

// NewTracer prepares a surface.
func NewTracer(top *mesh.Topology) *Tracer {
	return &Tracer{top, top.Mesh.VertexNormals(), top.RimVertices()}
}

// Along returns the path through vertices, each leg the section of the surface
// with the plane through its two ends along the surface's normal. It ends where
// it meets the rim.
func (t *Tracer) Along(way []int32) ([]Stop, bool) {
	path := []Stop{{A: way[0], B: -1}}
	for i := 1; i < len(way); i++ {
		leg, rim, ok := t.Leg(way[i-1], way[i])
		if !ok {
			return nil, false
		}
		path = append(path, leg...)
		if rim {
			break
		}
	}
	return unlooped(path), true
}

// Leg returns the stops after from, up to the other end or the rim.
func (t *Tracer) Leg(from, to int32) (path []Stop, rim, ok bool) {
	m := t.top.Mesh
	a := m.Vertices[from]
	d := r3.Sub(m.Vertices[to], a)
	across := r3.Cross(d, r3.Add(t.Normals[from], t.Normals[to]))
	if r3.Norm(across) == 0 {
		return nil, false, false
	}
	c := cut{t, a, r3.Unit(d), r3.Unit(across), to}
	here, face := Stop{A: from, B: -1}, int32(-1)
	for range len(m.Triangles) {
		next, f, found := c.step(here, face)
		if !found {
			return nil, false, false
		}
		path = append(path, next)
		switch {
		case next.B < 0 && next.A == to:
			return path, t.rim[to], true
		case t.atRim(next):
			return path, true, true
		}
		here, face = next, f
	}
	return nil, false, false
}

func (t *Tracer) atRim(s Stop) bool {
	if s.B < 0 {
		return t.rim[s.A]
	}
	return len(t.top.EdgeFaces(t.top.EdgeBetween(int(s.A), int(s.B)))) == 1
}

// cut is the plane of a leg.
type cut struct {
	*Tracer
	a           r3.Vec // on the plane
	dir, across r3.Vec // unit vectors: where the leg goes, and the plane's normal
	to          int32
}

func (c cut) off(v int32) float64 {
	return r3.Dot(r3.Sub(c.top.Mesh.Vertices[v], c.a), c.across)
}

// step goes through one triangle: from a vertex into the one in which the leg
// goes on farthest, from a side into the triangle beyond it.
func (c cut) step(here Stop, came int32) (next Stop, face int32, ok bool) {
	if here.B >= 0 {
		for _, f := range c.top.EdgeFaces(c.top.EdgeBetween(int(here.A), int(here.B))) {
			if f != came {
				return c.beyond(here, f)
			}
		}
		return next, 0, false
	}
	best := r3.Dot(r3.Sub(here.At(c.top.Mesh), c.a), c.dir)
	for _, f := range c.top.VertexFaces(int(here.A)) {
		tri := c.top.Mesh.Triangles[f]
		k := 0
		for tri[k] != here.A {
			k++
		}
		x, y := tri[(k+1)%3], tri[(k+2)%3]
		if x == c.to || y == c.to {
			return Stop{A: c.to, B: -1}, f, true
		}
		if s, crosses := c.crossing(x, y); crosses {
			if far := r3.Dot(r3.Sub(s.At(c.top.Mesh), c.a), c.dir); far > best {
				best, next, face, ok = far, s, f, true
			}
		}
	}
	return next, face, ok
}

// beyond crosses triangle f from a side of it.
func (c cut) beyond(here Stop, f int32) (Stop, int32, bool) {
	for _, r := range c.top.Mesh.Triangles[f] {
		if r == here.A || r == here.B {
			continue
		}
		if r == c.to {
			return Stop{A: r, B: -1}, f, true
		}
		if s, crosses := c.crossing(here.A, r); crosses {
			return s, f, true
		}
		s, crosses := c.crossing(r, here.B)
		return s, f, crosses
	}
	return Stop{}, 0, false
}

// crossing returns where the plane crosses a side.
func (c cut) crossing(x, y int32) (Stop, bool) {
	dx, dy := c.off(x), c.off(y)
	if (dx >= 0) == (dy >= 0) {
		return Stop{}, false
	}
	switch t := dx / (dx - dy); {
	case t < snap:
		return Stop{A: x, B: -1}, true
	case t > 1-snap:
		return Stop{A: y, B: -1}, true
	default:
		return Stop{x, y, t}, true
	}
}

// unlooped takes out what lies between two visits to the same vertex or side.
func unlooped(path []Stop) []Stop {
	type key [2]int32
	seen := map[key]int{}
	var out []Stop
	for _, s := range path {
		k := key{min(s.A, s.B), max(s.A, s.B)}
		if i, again := seen[k]; again {
			for _, gone := range out[i+1:] {
				delete(seen, key{min(gone.A, gone.B), max(gone.A, gone.B)})
			}
			out = out[:i]
		}
		seen[k] = len(out)
		out = append(out, s)
	}
	return out
}
