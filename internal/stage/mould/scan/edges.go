package scan

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// guideRounds is how often normals are averaged before sides are judged by them.
const guideRounds = 5

// edgesOf tells which sides are rims, or edges of the shape: those at which
// normals still turn by more than an angle once noise is taken out of them. A
// triangle's normal becomes the mean of those that share a corner with it,
//
//	n ← Σ A·w·n / |Σ A·w·n|      w = (1 − δ²/δ₀²)²,  δ = |n − n'|, δ₀ = 2·sin(edge/2)
//
// so that what differs by more than the angle has no say.
//
// Source: [zheng2011] for filtering normals by how alike they are (the weights are
// ours).
func edgesOf(t *mesh.Topology, edge float64) []bool {
	const own = 3 // a triangle meets itself at its three corners
	areas, now := t.Mesh.FaceAreas(), t.Mesh.FaceNormals()
	next := make([]r3.Vec, len(now))
	cut := 4 * math.Sin(edge/2) * math.Sin(edge/2)
	for range guideRounds {
		for i, tri := range t.Mesh.Triangles {
			sum := r3.Scale(own*areas[i], now[i])
			for _, v := range tri {
				for _, j := range t.VertexFaces(int(v)) {
					if d := r3.Norm2(r3.Sub(now[i], now[j])); j != int32(i) && d < cut {
						sum = r3.Add(sum, r3.Scale(areas[j]*(1-d/cut)*(1-d/cut), now[j]))
					}
				}
			}
			if next[i] = now[i]; r3.Norm2(sum) > 0 {
				next[i] = r3.Unit(sum)
			}
		}
		now, next = next, now
	}
	is := make([]bool, len(t.Edges))
	for e := range is {
		f := t.EdgeFaces(e)
		is[e] = len(f) != 2 || r3.Dot(now[f[0]], now[f[1]]) < math.Cos(edge)
	}
	return is
}
