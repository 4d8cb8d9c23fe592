package slits

import (
	"cmp"
	"math"
	"slices"

	"laywright/internal/base/mesh"
)

// Place is a locked place: where it is worst, and how large it is.
type Place struct {
	At    int     // vertex
	Worst float64 // shear, rad
	Area  float64 // m²
	All   []int32 // vertices
}

// Over returns the area on which shear, either way, is over a limit, m².
func Over(areas, shear []float64, limit float64) float64 {
	var sum float64
	for v, γ := range shear {
		if math.Abs(γ) > limit {
			sum += areas[v]
		}
	}
	return sum
}

// Places gathers vertices over the limit that hang together, the worst place
// first; those of no more area than a trifle, m², are left out.
func Places(top *mesh.Topology, areas, shear []float64, limit, trifle float64) []Place {
	seen := make([]bool, len(shear))
	var out []Place
	for first := range shear {
		if seen[first] || !(math.Abs(shear[first]) > limit) {
			continue
		}
		seen[first] = true
		p := Place{At: first, All: []int32{int32(first)}}
		for i := 0; i < len(p.All); i++ {
			v := int(p.All[i])
			p.Area += areas[v]
			if a := math.Abs(shear[v]); a > p.Worst {
				p.At, p.Worst = v, a
			}
			for _, e := range top.VertexEdges(v) {
				if u := top.Other(int(e), v); !seen[u] && math.Abs(shear[u]) > limit {
					seen[u] = true
					p.All = append(p.All, int32(u))
				}
			}
		}
		if p.Area > trifle {
			out = append(out, p)
		}
	}
	slices.SortStableFunc(out, func(a, b Place) int { return cmp.Compare(b.Worst, a.Worst) })
	return out
}
