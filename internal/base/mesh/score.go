package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Score cuts the triangles that lie over the straight line from a to b so that
// the line runs along their sides: the surface stays as it was, and whatever is
// cut off at the line has its corners where lines meet. flat tells where a place
// lies seen along the way that is cut; a vertex nearer to the line than near, m,
// counts as on it. A cut triangle is cut right across.
func (t *Topology) Score(flat func(r3.Vec) r2.Vec, a, b r2.Vec, near float64) Refined {
	out := Refined{Mesh: &Mesh{Vertices: append([]r3.Vec(nil), t.Mesh.Vertices...)}}
	long := r2.Norm(r2.Sub(b, a))
	along := r2.Scale(1/long, r2.Sub(b, a))
	where, high := make([]float64, len(t.Mesh.Vertices)), make([]float64, len(t.Mesh.Vertices))
	for v, p := range t.Mesh.Vertices {
		q := r2.Sub(flat(p), a)
		where[v], high[v] = r2.Dot(along, q), r2.Cross(along, q)
		if math.Abs(high[v]) <= near {
			high[v] = 0
		}
	}
	mid := make([]int32, len(t.Edges))
	for e := range mid {
		mid[e] = -1
	}
	for f, tri := range t.Mesh.Triangles {
		lo, hi := math.Inf(1), math.Inf(-1) // where the line runs in it
		var cuts []int
		for k, v := range tri {
			w := tri[(k+1)%3]
			switch {
			case high[v] == 0:
				lo, hi = min(lo, where[v]), max(hi, where[v])
			case high[v]*high[w] < 0:
				s := high[v] / (high[v] - high[w])
				x := (1-s)*where[v] + s*where[w]
				lo, hi = min(lo, x), max(hi, x)
				cuts = append(cuts, int(t.EdgeOf[3*f+k]))
			}
		}
		if len(cuts) == 0 || hi < -near || lo > long+near {
			continue
		}
		for _, e := range cuts {
			if mid[e] < 0 {
				p, q := t.Edges[e][0], t.Edges[e][1]
				mid[e] = int32(len(out.Mesh.Vertices))
				out.Mesh.Vertices = append(out.Mesh.Vertices, between(t.Mesh.Vertices[p], t.Mesh.Vertices[q], high[p]/(high[p]-high[q])))
			}
		}
	}
	for f, tri := range t.Mesh.Triangles {
		var m [3]int32
		for k := range m {
			m[k] = mid[t.EdgeOf[3*f+k]]
		}
		for _, piece := range out.pieces(tri, m) {
			out.Mesh.Triangles = append(out.Mesh.Triangles, piece)
			out.Face = append(out.Face, int32(f))
		}
	}
	return out
}
