package strength

import (
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
)

// square is the sine of the angle to a triangle's normal below which a direction
// says too little about the triangle's plane to be projected: 6 degrees.
const square = 0.1

// reference returns for each triangle where a layer of angle 0 has its warp: the
// given direction laid into the triangle. Where it stands nearly square on the
// surface it is carried over from the neighbour across their common edge, as if
// the two were unfolded, nearest neighbours first.
func reference(t *mesh.Topology, warp r3.Vec) ([]r3.Vec, error) {
	m := t.Mesh
	size := r3.Norm(warp)
	if !(size > 0) {
		return nil, &fault.Input{Field: "plies.warp", What: "the warp has no direction", Do: "write three numbers, like [1, 0, 0]"}
	}
	out := make([]r3.Vec, len(m.Triangles))
	known := make([]bool, len(out))
	var queue []int
	for f := range out {
		n := m.FaceNormal(f)
		d := r3.Sub(warp, r3.Scale(r3.Dot(warp, n), n))
		if l := r3.Norm(d); l > square*size {
			out[f], known[f] = r3.Scale(1/l, d), true
			queue = append(queue, f)
		}
	}
	for len(queue) > 0 {
		f := queue[0]
		queue = queue[1:]
		for k := range 3 {
			g := t.Neighbour(f, k)
			if g < 0 || known[g] {
				continue
			}
			out[g], known[g] = carry(m, t, f, k, g, out[f]), true
			queue = append(queue, g)
		}
	}
	for f, ok := range known {
		if !ok {
			return nil, &fault.Input{Field: "plies.warp", What: "the warp stands square on a whole piece of the surface, from triangle " + fault.Numbered("", f),
				Do: "give a direction that lies in the surface somewhere on each piece"}
		}
	}
	return out, nil
}

// carry turns a direction of triangle f into g across side k of f: its parts
// along and across the common edge stay.
func carry(m *mesh.Mesh, t *mesh.Topology, f, k, g int, d r3.Vec) r3.Vec {
	h := 3*f + k
	edge := r3.Unit(r3.Sub(m.Vertices[t.To(h)], m.Vertices[t.From(h)]))
	from, to := r3.Cross(m.FaceNormal(f), edge), r3.Cross(m.FaceNormal(g), edge)
	return r3.Unit(r3.Add(r3.Scale(r3.Dot(d, edge), edge), r3.Scale(r3.Dot(d, from), to)))
}
