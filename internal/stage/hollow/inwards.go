package hollow

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// Limits of what counts as a bend.
const (
	// leastBend is the turn at an edge below which it is flat for the cloth;
	// one of sharpBend or more at a single edge is a sharp corner, whatever the
	// size of its triangles.
	leastBend = 0.5 * math.Pi / 180
	sharpBend = 40 * math.Pi / 180
	// thin is the height of a triangle over an edge, against the mean side,
	// below which its plane is no more than rounding.
	thin = 0.02
)

// inwards is the hollow bending gathered at vertices.
type inwards struct {
	top     *mesh.Topology
	normals []r3.Vec // of triangles
	upright []r3.Vec // normals at vertices
	rim     []bool

	edge, diagonal float64              // of the surface, m
	along          map[int32][]weighted // hollow sides at a vertex
	order          []int32              // vertices with such, tightest first
	tight          map[int32]float64    // their least radius, m
}

// weighted is a unit vector along a side, and half of its length times turn, m.
type weighted struct {
	dir    r3.Vec
	weight float64
}

// bendsInwards gathers the sides at which the surface bends inwards on a radius
// below reach: the mean height of the two triangles over the side, over the angle
// between them.
func bendsInwards(top *mesh.Topology, reach float64) *inwards {
	m := top.Mesh
	area, edge := m.FaceAreas(), m.MeanEdge()
	h := &inwards{top: top, normals: m.FaceNormals(), upright: m.VertexNormals(), rim: top.RimVertices(), edge: edge, diagonal: m.Diagonal(),
		along: map[int32][]weighted{}, tight: map[int32]float64{}}
	for k, twin := range top.Twin {
		if int(twin) < k {
			continue
		}
		f, g := k/3, int(twin)/3
		u, v := top.From(k), top.To(k)
		e := r3.Sub(m.Vertices[v], m.Vertices[u])
		long := r3.Norm(e)
		if long == 0 || 2*min(area[f], area[g])/long < thin*edge {
			continue
		}
		// seen along the edge the normal turns to the left over a ridge, to the right in a hollow
		θ := math.Atan2(-r3.Dot(r3.Cross(h.normals[f], h.normals[g]), e)/long, r3.Dot(h.normals[f], h.normals[g]))
		radius := (area[f] + area[g]) / long / θ
		if θ > sharpBend {
			radius = 0
		}
		if θ < leastBend || radius > reach {
			continue
		}
		side := weighted{r3.Scale(1/long, e), long * θ / 2}
		for _, x := range [2]int32{u, v} {
			if least, ok := h.tight[x]; !ok || radius < least {
				h.tight[x] = radius
			}
			h.along[x] = append(h.along[x], side)
		}
	}
	for v := range h.along {
		h.order = append(h.order, v)
	}
	slices.SortFunc(h.order, func(a, b int32) int { return cmp.Or(cmp.Compare(h.tight[a], h.tight[b]), cmp.Compare(a, b)) })
	return h
}

// groups parts the vertices into those that hang together, each tightest first,
// the group with the most bending first.
func (h *inwards) groups() [][]int32 {
	of := map[int32]int{}
	count := 0
	for _, first := range h.order {
		if _, seen := of[first]; seen {
			continue
		}
		of[first] = count
		for list := []int32{first}; len(list) > 0; {
			v := list[len(list)-1]
			list = list[:len(list)-1]
			for _, e := range h.top.VertexEdges(int(v)) {
				u := int32(h.top.Other(int(e), int(v)))
				if _, seen := of[u]; !seen && h.along[u] != nil {
					of[u] = count
					list = append(list, u)
				}
			}
		}
		count++
	}
	out := make([][]int32, count)
	for _, v := range h.order {
		out[of[v]] = append(out[of[v]], v)
	}
	much := func(group []int32) (sum float64) {
		for _, v := range group {
			sum += h.weight(v)
		}
		return sum
	}
	slices.SortStableFunc(out, func(a, b []int32) int { return cmp.Compare(much(b), much(a)) })
	return out
}

func (h *inwards) weight(v int32) (sum float64) {
	for _, s := range h.along[v] {
		sum += s.weight
	}
	return sum
}
