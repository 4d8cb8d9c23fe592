package shapes

import (
	"math/rand/v2"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// Moved returns m shifted.
func Moved(m *mesh.Mesh, by r3.Vec) *mesh.Mesh {
	return changed(m, func(p r3.Vec) r3.Vec { return r3.Add(p, by) })
}

// Scaled returns m at a size about the origin.
func Scaled(m *mesh.Mesh, size float64) *mesh.Mesh {
	return changed(m, func(p r3.Vec) r3.Vec { return r3.Scale(size, p) })
}

// Turned returns m turned about an axis through the origin, rad.
func Turned(m *mesh.Mesh, axis r3.Vec, angle float64) *mesh.Mesh {
	turn := r3.NewRotation(angle, axis)
	return changed(m, turn.Rotate)
}

func changed(m *mesh.Mesh, to func(r3.Vec) r3.Vec) *mesh.Mesh {
	out := m.Clone()
	for v, p := range out.Vertices {
		out.Vertices[v] = to(p)
	}
	return out
}

// Shuffled returns m with vertices and triangles in another order, and with each
// triangle begun at another corner. It is the same surface.
func Shuffled(m *mesh.Mesh, seed uint64) *mesh.Mesh {
	chance := rand.New(rand.NewPCG(seed, 2))
	out := &mesh.Mesh{Vertices: make([]r3.Vec, len(m.Vertices)), Triangles: make([][3]int32, len(m.Triangles))}
	number := chance.Perm(len(m.Vertices))
	for v, p := range m.Vertices {
		out.Vertices[number[v]] = p
	}
	for i, f := range chance.Perm(len(m.Triangles)) {
		t, first := m.Triangles[f], chance.IntN(3)
		for k := range t {
			out.Triangles[i][k] = int32(number[t[(first+k)%3]])
		}
	}
	return out
}
