package cut

import (
	"slices"

	"laywright/internal/base/mesh"
)

// Ground is a surface with its slits cut open. Its own vertices keep their
// numbers and stay on the right of a slit, seen from where the slit begins with
// the normals up; copies for the left and vertices where a slit crosses a side
// come after them.
type Ground struct {
	Top   *mesh.Topology
	From  []int32 // vertex of the uncut surface, also for a copy; -1 for a crossing
	Slits []Slit
}

// Slit is the two sides of one cut, vertex against vertex, from its tip, which
// both share, to the rim. A cut from rim to rim has no tip: its sides differ at
// both ends. Where it parts the surface, each part has one side of it, and the
// other is nil there.
type Slit struct {
	Left, Right []int32
	Route       int  // whichever the caller named it by
	RightOver   bool // the right side is the one that lies over the other
}

// Tip tells whether the slit begins inside the surface.
func (s Slit) Tip() bool {
	return len(s.Left) > 0 && len(s.Right) > 0 && s.Left[0] == s.Right[0]
}

// Uncut returns the surface as it is.
func Uncut(top *mesh.Topology) *Ground {
	g := &Ground{Top: top, From: make([]int32, len(top.Mesh.Vertices))}
	for v := range g.From {
		g.From[v] = int32(v)
	}
	return g
}

// Open returns the ground with one more cut along a path that ends at the rim
// and begins inside the surface or at the rim; false where the path is none. A
// cut from rim to rim may leave the ground in two components. The sides of cuts
// are rim too: a cut that ends there breaks the other one into two slits of the
// same route.
func (g *Ground) Open(path []Stop, route int) (*Ground, bool) {
	m, line := embed(g.Top, path)
	top, err := mesh.NewTopology(m)
	if err != nil || !sound(top, line) {
		return nil, false
	}
	out := &Ground{From: slices.Clone(g.From), Slits: slices.Clone(g.Slits)}
	for len(out.From) < len(m.Vertices) {
		out.From = append(out.From, -1)
	}
	split := Slit{Right: line, Route: route}
	faces := slices.Clone(m.Triangles)
	inside := !top.RimVertices()[line[0]]
	for i, v := range line {
		before, next := int32(-1), int32(-1)
		if i > 0 {
			before = line[i-1]
		} else if inside {
			split.Left = append(split.Left, v)
			continue
		}
		if i+1 < len(line) {
			next = line[i+1]
		}
		twin := int32(len(m.Vertices))
		m.Vertices = append(m.Vertices, m.Vertices[v])
		out.From = append(out.From, out.From[v])
		split.Left = append(split.Left, twin)
		if !turnLeft(top, before, v, next, func(f int) {
			for k, u := range m.Triangles[f] {
				if u == v {
					faces[f][k] = twin
				}
			}
		}) {
			return nil, false
		}
	}
	m.Triangles = faces
	if out.Top, err = mesh.NewTopology(m); err != nil {
		return nil, false
	}
	ends := []int{len(line) - 1}
	if !inside {
		ends = append(ends, 0)
	}
	for _, i := range ends {
		out.refit(split.Right[i], split.Left[i])
	}
	out.Slits = append(out.Slits, split)
	return out, true
}

// turnLeft visits the triangles at v on the left of the path a, v, next; a is -1
// where the path begins at the rim, next is -1 where it ends there.
func turnLeft(top *mesh.Topology, a, v, next int32, visit func(f int)) bool {
	if a < 0 {
		return fromRim(top, v, next, visit)
	}
	h := halfBetween(top, a, v)
	for range top.VertexFaces(int(v)) {
		if h < 0 {
			return next < 0
		}
		visit(h / 3)
		out := mesh.Next(h)
		if top.To(out) == next {
			return true
		}
		h = int(top.Twin[out])
	}
	return h < 0 && next < 0
}

// fromRim visits the triangles at a rim vertex v on the left of the path v, next:
// from that side on round to the rim.
func fromRim(top *mesh.Topology, v, next int32, visit func(f int)) bool {
	h := halfBetween(top, v, next)
	if h < 0 {
		return false
	}
	for range top.VertexFaces(int(v)) {
		visit(h / 3)
		if h = int(top.Twin[mesh.Prev(h)]); h < 0 {
			return true
		}
	}
	return false
}

// halfBetween returns the half-edge from a to b, -1 where there is none.
func halfBetween(top *mesh.Topology, a, b int32) int {
	for _, f := range top.VertexFaces(int(a)) {
		for h := 3 * int(f); h < 3*int(f)+3; h++ {
			if top.From(h) == a && top.To(h) == b {
				return h
			}
		}
	}
	return -1
}

// sound tells whether a line of vertices runs along inner edges to the rim and
// touches the rim at its end only, or at both ends.
func sound(top *mesh.Topology, line []int32) bool {
	if len(line) < 2 {
		return false
	}
	rim := top.RimVertices()
	seen := map[int32]bool{}
	for i, v := range line {
		if i > 0 && rim[v] != (i == len(line)-1) || seen[v] {
			return false
		}
		seen[v] = true
		if i > 0 {
			if h := halfBetween(top, line[i-1], v); h < 0 || top.Twin[h] < 0 {
				return false
			}
		}
	}
	return true
}
