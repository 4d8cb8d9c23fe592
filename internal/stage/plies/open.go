package plies

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// ground is a part of the surface with its slits cut open. The part's own
// vertices keep their numbers and stay on the right of a slit, seen from its tip
// with the free side up; copies for the left and vertices where a slit crosses a
// side come after them.
type ground struct {
	top   *mesh.Topology
	from  []int32 // vertex of the part, also for a copy; -1 for a crossing
	slits []opened
}

// opened is one slit: the vertices of its two sides from the tip, which both
// share, to the rim.
type opened struct {
	left, right []int32
	route       int // the route that it follows
}

// stop is a place on a path: vertex a, or, where b is not -1, the point at share
// t from a to b of a side.
type stop struct {
	a, b int32
	t    float64
}

func (s stop) at(m *mesh.Mesh) r3.Vec {
	if s.b < 0 {
		return m.Vertices[s.a]
	}
	return r3.Add(r3.Scale(1-s.t, m.Vertices[s.a]), r3.Scale(s.t, m.Vertices[s.b]))
}

func uncut(p *part) *ground {
	g := &ground{top: p.top, from: make([]int32, len(p.vertices))}
	for v := range g.from {
		g.from[v] = int32(v)
	}
	return g
}

// open returns the ground with one more slit along a path from an inner vertex
// to the rim; false where the path is none.
func (g *ground) open(path []stop, route int) (*ground, bool) {
	m, line := embed(g.top, path)
	top, err := mesh.NewTopology(m)
	if err != nil || !sound(top, line) {
		return nil, false
	}
	out := &ground{from: slices.Clone(g.from), slits: slices.Clone(g.slits)}
	for len(out.from) < len(m.Vertices) {
		out.from = append(out.from, -1)
	}
	split := opened{left: []int32{line[0]}, right: line, route: route}
	faces := slices.Clone(m.Triangles)
	for i := 1; i < len(line); i++ {
		v, next := line[i], int32(-1)
		if i+1 < len(line) {
			next = line[i+1]
		}
		twin := int32(len(m.Vertices))
		m.Vertices = append(m.Vertices, m.Vertices[v])
		out.from = append(out.from, out.from[v])
		split.left = append(split.left, twin)
		if !turnLeft(top, line[i-1], v, next, func(f int) {
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
	if out.top, err = mesh.NewTopology(m); err != nil {
		return nil, false
	}
	if _, parts := out.top.Components(); parts != 1 {
		return nil, false
	}
	out.slits = append(out.slits, split)
	return out, true
}

// turnLeft visits the triangles at v on the left of the path a, v, next; next is
// -1 where the path ends at the rim.
func turnLeft(top *mesh.Topology, a, v, next int32, visit func(f int)) bool {
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

// sound tells whether a line of vertices runs along inner edges from an inner
// vertex to the rim and touches the rim there only.
func sound(top *mesh.Topology, line []int32) bool {
	if len(line) < 2 {
		return false
	}
	rim := top.RimVertices()
	seen := map[int32]bool{}
	for i, v := range line {
		if rim[v] != (i == len(line)-1) || seen[v] {
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

// embed returns the mesh with a vertex wherever the path crosses a side, and the
// vertices along the path. Triangles are cut where it crosses them; the surface
// stays as it is.
func embed(top *mesh.Topology, path []stop) (*mesh.Mesh, []int32) {
	m := top.Mesh.Clone()
	around := map[int32][]int32{}
	at := func(v int32) []int32 {
		if list, ok := around[v]; ok {
			return list
		}
		around[v] = slices.Clone(top.VertexFaces(int(v)))
		return around[v]
	}
	var line []int32
	for _, s := range path {
		if s.b < 0 {
			line = append(line, s.a)
			continue
		}
		v := int32(len(m.Vertices))
		m.Vertices = append(m.Vertices, s.at(m))
		around[v] = nil
		for _, f := range slices.Clone(at(s.a)) {
			t := m.Triangles[f]
			k := slices.Index(t[:], s.a)
			if !slices.Contains(t[:], s.b) {
				continue
			}
			// one half keeps the number and corner a, the other gets corner b
			g := int32(len(m.Triangles))
			rest := t
			rest[k] = v
			m.Triangles[f][slices.Index(t[:], s.b)] = v
			m.Triangles = append(m.Triangles, rest)
			for _, u := range t {
				switch u {
				case s.a:
				case s.b:
					list := at(u)
					list[slices.Index(list, f)] = g
				default:
					around[u] = append(at(u), g)
				}
			}
			around[v] = append(around[v], f, g)
		}
		line = append(line, v)
	}
	return m, line
}
