package cut

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// Stop is a place on a path: vertex A, or, where B is not -1, the point at share
// T from A to B of a side.
type Stop struct {
	A, B int32
	T    float64
}

// At returns where the stop lies.
func (s Stop) At(m *mesh.Mesh) r3.Vec {
	if s.B < 0 {
		return m.Vertices[s.A]
	}
	return r3.Add(r3.Scale(1-s.T, m.Vertices[s.A]), r3.Scale(s.T, m.Vertices[s.B]))
}

// embed returns the mesh with a vertex wherever the path crosses a side, and the
// vertices along the path. Triangles are cut where it crosses them; the surface
// stays as it is.
func embed(top *mesh.Topology, path []Stop) (*mesh.Mesh, []int32) {
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
		if s.B < 0 {
			line = append(line, s.A)
			continue
		}
		v := int32(len(m.Vertices))
		m.Vertices = append(m.Vertices, s.At(m))
		around[v] = nil
		for _, f := range slices.Clone(at(s.A)) {
			t := m.Triangles[f]
			k := slices.Index(t[:], s.A)
			if !slices.Contains(t[:], s.B) {
				continue
			}
			// one half keeps the number and corner a, the other gets corner b
			g := int32(len(m.Triangles))
			rest := t
			rest[k] = v
			m.Triangles[f][slices.Index(t[:], s.B)] = v
			m.Triangles = append(m.Triangles, rest)
			for _, u := range t {
				switch u {
				case s.A:
				case s.B:
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
