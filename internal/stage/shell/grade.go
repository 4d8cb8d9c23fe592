package shell

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
)

// Coarsest picks the fewest triangles that together make so much of the mesh's
// error, from the parts that [Solver.MeshError] gives.
//
// Source: [doerfler1996].
func Coarsest(by []float64, share float64) []bool {
	order := make([]int, len(by))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(by[b], by[a]) })
	out := make([]bool, len(by))
	var sum float64
	for _, f := range order {
		if sum >= share {
			break
		}
		out[f], sum = true, sum+by[f]
	}
	return out
}

// Grade makes the mesh finer at the triangles marked. New vertices lie where the
// curved surface runs that the triangles stand for.
func (s *Solver) Grade(marked []bool) (mesh.Graded, error) {
	t, err := mesh.NewTopology(s.model.Mesh)
	if err != nil {
		return mesh.Graded{}, err
	}
	return t.Grade(marked, func(e int) r3.Vec { return s.middle(t, e) }), nil
}

// middle returns where the curved surface runs over the middle of side e: that of
// a cubic with the directions of the side, laid square to the normals, at its ends.
//
//	p = (a + b)/2 + (tₐ − t_b)/8    t = d − (d·n)·n, d = b − a
//
// At a fold it is the mean of what the two triangles say. A rim stays straight
// within the surface.
//
// Source: [cook1993] (cubic over a side).
func (s *Solver) middle(t *mesh.Topology, e int) r3.Vec {
	v := t.Edges[e]
	a, b := t.Mesh.Vertices[v[0]], t.Mesh.Vertices[v[1]]
	d, p := r3.Sub(b, a), r3.Scale(0.5, r3.Add(a, b))
	faces := t.EdgeFaces(e)
	for _, f := range faces {
		el := &s.elements[f]
		for c, at := range el.nodes {
			share := 1 / (8 * float64(len(faces)))
			switch at {
			case v[0]:
				share = -share
			case v[1]:
			default:
				continue
			}
			n := el.axes.from(el.normal[c])
			p = r3.Add(p, r3.Scale(share*r3.Dot(d, n), n))
		}
	}
	return p
}
