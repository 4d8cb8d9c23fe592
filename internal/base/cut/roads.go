package cut

import (
	"cmp"
	"container/heap"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// Roads are shortest ways over the surface from one vertex.
type Roads struct {
	Far  []float64 // m; +Inf where no way leads
	back []int32   // vertex before
}

// RoadsFrom finds shortest ways along sides and across pairs of triangles
// (Dijkstra's method).
//
// Source: [dijkstra1959].
func RoadsFrom(top *mesh.Topology, v int32) Roads {
	m := top.Mesh
	r := Roads{make([]float64, len(m.Vertices)), make([]int32, len(m.Vertices))}
	for u := range r.Far {
		r.Far[u], r.back[u] = math.Inf(1), -1
	}
	r.Far[v] = 0
	done := make([]bool, len(r.Far))
	q := &queue{{v, 0}}
	for q.Len() > 0 {
		at := heap.Pop(q).(queued)
		if done[at.v] {
			continue
		}
		done[at.v] = true
		reach := func(u int32, d float64) {
			if d += at.far; d < r.Far[u] {
				r.Far[u], r.back[u] = d, at.v
				heap.Push(q, queued{u, d})
			}
		}
		for _, f := range top.VertexFaces(int(at.v)) {
			t := m.Triangles[f]
			k := slices.Index(t[:], at.v)
			reach(t[(k+1)%3], Length(m, at.v, t[(k+1)%3]))
			reach(t[(k+2)%3], Length(m, at.v, t[(k+2)%3]))
			if twin := top.Twin[3*int(f)+(k+1)%3]; twin >= 0 {
				u := top.From(mesh.Prev(int(twin)))
				if d, ok := unfolded(m, at.v, t[(k+1)%3], t[(k+2)%3], u); ok {
					reach(u, d)
				}
			}
		}
	}
	return r
}

func Length(m *mesh.Mesh, a, b int32) float64 {
	return r3.Norm(r3.Sub(m.Vertices[a], m.Vertices[b]))
}

// unfolded returns the straight distance from v to u over the side x, y between
// their triangles; false where the straight line misses the side.
func unfolded(m *mesh.Mesh, v, x, y, u int32) (float64, bool) {
	long := Length(m, x, y)
	if long == 0 {
		return 0, false
	}
	e := r3.Scale(1/long, r3.Sub(m.Vertices[y], m.Vertices[x]))
	place := func(w int32) (along, off float64) {
		d := r3.Sub(m.Vertices[w], m.Vertices[x])
		along = r3.Dot(d, e)
		return along, math.Sqrt(max(0, r3.Norm2(d)-along*along))
	}
	av, hv := place(v)
	au, hu := place(u)
	if hv+hu == 0 {
		return 0, false
	}
	if at := (av*hu + au*hv) / (hv + hu); at < 0 || at > long {
		return 0, false
	}
	return math.Hypot(av-au, hv+hu), true
}

// To returns the way to v.
func (r Roads) To(v int32) []int32 {
	way := []int32{v}
	for r.back[v] >= 0 {
		v = r.back[v]
		way = append(way, v)
	}
	slices.Reverse(way)
	return way
}

type queued struct {
	v   int32
	far float64
}

type queue []queued

func (q queue) Len() int { return len(q) }
func (q queue) Less(i, j int) bool {
	return cmp.Or(cmp.Compare(q[i].far, q[j].far), cmp.Compare(q[i].v, q[j].v)) < 0
}
func (q queue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(x any)   { *q = append(*q, x.(queued)) }
func (q *queue) Pop() any {
	last := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return last
}
