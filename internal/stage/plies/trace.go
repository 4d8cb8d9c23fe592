package plies

import (
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// snap is how near to a corner, as a share of the side, a path that crosses a
// side runs through the corner instead: it keeps slivers out of the mesh.
const snap = 0.2

// tracer follows straight cuts over a surface.
type tracer struct {
	top     *mesh.Topology
	normals []r3.Vec
	rim     []bool
}

func newTracer(top *mesh.Topology) *tracer {
	return &tracer{top, top.Mesh.VertexNormals(), top.RimVertices()}
}

// along returns the path through vertices, each leg the section of the surface
// with the plane through its two ends along the surface's normal. It ends where
// it meets the rim.
func (t *tracer) along(way []int32) ([]stop, bool) {
	path := []stop{{a: way[0], b: -1}}
	for i := 1; i < len(way); i++ {
		leg, rim, ok := t.leg(way[i-1], way[i])
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

// leg returns the stops after from, up to the other end or the rim.
func (t *tracer) leg(from, to int32) (path []stop, rim, ok bool) {
	m := t.top.Mesh
	a := m.Vertices[from]
	d := r3.Sub(m.Vertices[to], a)
	across := r3.Cross(d, r3.Add(t.normals[from], t.normals[to]))
	if r3.Norm(across) == 0 {
		return nil, false, false
	}
	c := cut{t, a, r3.Unit(d), r3.Unit(across), to}
	here, face := stop{a: from, b: -1}, int32(-1)
	for range len(m.Triangles) {
		next, f, found := c.step(here, face)
		if !found {
			return nil, false, false
		}
		path = append(path, next)
		switch {
		case next.b < 0 && next.a == to:
			return path, t.rim[to], true
		case t.atRim(next):
			return path, true, true
		}
		here, face = next, f
	}
	return nil, false, false
}

func (t *tracer) atRim(s stop) bool {
	if s.b < 0 {
		return t.rim[s.a]
	}
	return len(t.top.EdgeFaces(t.top.EdgeBetween(int(s.a), int(s.b)))) == 1
}

// cut is the plane of a leg.
type cut struct {
	*tracer
	a           r3.Vec // on the plane
	dir, across r3.Vec // unit vectors: where the leg goes, and the plane's normal
	to          int32
}

func (c cut) off(v int32) float64 {
	return r3.Dot(r3.Sub(c.top.Mesh.Vertices[v], c.a), c.across)
}

// step goes through one triangle: from a vertex into the one in which the leg
// goes on farthest, from a side into the triangle beyond it.
func (c cut) step(here stop, came int32) (next stop, face int32, ok bool) {
	if here.b >= 0 {
		for _, f := range c.top.EdgeFaces(c.top.EdgeBetween(int(here.a), int(here.b))) {
			if f != came {
				return c.beyond(here, f)
			}
		}
		return next, 0, false
	}
	best := r3.Dot(r3.Sub(here.at(c.top.Mesh), c.a), c.dir)
	for _, f := range c.top.VertexFaces(int(here.a)) {
		tri := c.top.Mesh.Triangles[f]
		k := 0
		for tri[k] != here.a {
			k++
		}
		x, y := tri[(k+1)%3], tri[(k+2)%3]
		if x == c.to || y == c.to {
			return stop{a: c.to, b: -1}, f, true
		}
		if s, crosses := c.crossing(x, y); crosses {
			if far := r3.Dot(r3.Sub(s.at(c.top.Mesh), c.a), c.dir); far > best {
				best, next, face, ok = far, s, f, true
			}
		}
	}
	return next, face, ok
}

// beyond crosses triangle f from a side of it.
func (c cut) beyond(here stop, f int32) (stop, int32, bool) {
	for _, r := range c.top.Mesh.Triangles[f] {
		if r == here.a || r == here.b {
			continue
		}
		if r == c.to {
			return stop{a: r, b: -1}, f, true
		}
		if s, crosses := c.crossing(here.a, r); crosses {
			return s, f, true
		}
		s, crosses := c.crossing(r, here.b)
		return s, f, crosses
	}
	return stop{}, 0, false
}

// crossing returns where the plane crosses a side.
func (c cut) crossing(x, y int32) (stop, bool) {
	dx, dy := c.off(x), c.off(y)
	if (dx >= 0) == (dy >= 0) {
		return stop{}, false
	}
	switch t := dx / (dx - dy); {
	case t < snap:
		return stop{a: x, b: -1}, true
	case t > 1-snap:
		return stop{a: y, b: -1}, true
	default:
		return stop{x, y, t}, true
	}
}

// unlooped takes out what lies between two visits to the same vertex or side.
func unlooped(path []stop) []stop {
	type key [2]int32
	seen := map[key]int{}
	var out []stop
	for _, s := range path {
		k := key{min(s.a, s.b), max(s.a, s.b)}
		if i, again := seen[k]; again {
			for _, gone := range out[i+1:] {
				delete(seen, key{min(gone.a, gone.b), max(gone.a, gone.b)})
			}
			out = out[:i]
		}
		seen[k] = len(out)
		out = append(out, s)
	}
	return out
}
