package cut

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// Roads are shortest ways over the surface from some vertices.
type Roads struct {
	Far  []float64 // m; +Inf where no way leads
	back []int32   // vertex before
}

// Terms say where roads may run; the zero value lets them run everywhere.
type Terms struct {
	Toll func(v int32) float64 // how much longer a step to a vertex counts than it is
	Ends func(v int32) bool    // a way may end at this vertex, and not go on
	Sets [][]int32             // vertices that are one place, such as the rim of a hole
	Head func(v int32) float64 // how far it is to a vertex from where its way really begins
}

// RoadsFrom finds shortest ways from a vertex along sides and across pairs of
// triangles (Dijkstra's method).
//
// Source: [dijkstra1959].
func RoadsFrom(top *mesh.Topology, v int32) Roads { return RoadsOn(top, []int32{v}, Terms{}) }

// RoadsOn is [RoadsFrom] for several vertices, on terms.
func RoadsOn(top *mesh.Topology, from []int32, t Terms) Roads {
	w := walk{top: top, terms: t, r: Roads{make([]float64, len(top.Mesh.Vertices)), make([]int32, len(top.Mesh.Vertices))}}
	for u := range w.r.Far {
		w.r.Far[u], w.r.back[u] = math.Inf(1), -1
	}
	if len(t.Sets) > 0 {
		w.set = map[int32][]int32{}
		for _, set := range t.Sets {
			for _, v := range set {
				w.set[v] = set
			}
		}
	}
	for _, v := range from {
		if t.Head != nil {
			w.r.Far[v] = t.Head(v)
		} else {
			w.r.Far[v] = 0
		}
		w.q.push(queued{v, w.r.Far[v]})
	}
	w.done = make([]bool, len(w.r.Far))
	for len(w.q) > 0 {
		at := w.q.pop()
		if !w.done[at.v] {
			w.done[at.v] = true
			if w.r.back[at.v] < 0 || t.Ends == nil || !t.Ends(at.v) {
				w.goOn(at)
			}
		}
	}
	return w.r
}

type walk struct {
	top   *mesh.Topology
	terms Terms
	r     Roads
	done  []bool
	set   map[int32][]int32
	q     queue
}

func (w *walk) goOn(at queued) {
	m, top := w.top.Mesh, w.top
	for _, f := range top.VertexFaces(int(at.v)) {
		t := m.Triangles[f]
		k := slices.Index(t[:], at.v)
		w.reach(at, t[(k+1)%3], Length(m, at.v, t[(k+1)%3]))
		w.reach(at, t[(k+2)%3], Length(m, at.v, t[(k+2)%3]))
		if twin := top.Twin[3*int(f)+(k+1)%3]; twin >= 0 {
			u := top.From(mesh.Prev(int(twin)))
			if !w.done[u] {
				if d, ok := unfolded(m, at.v, t[(k+1)%3], t[(k+2)%3], u); ok {
					w.reach(at, u, d)
				}
			}
		}
	}
	for _, u := range w.set[at.v] {
		if at.far < w.r.Far[u] {
			w.r.Far[u], w.r.back[u] = at.far, at.v
			w.q.push(queued{u, at.far})
		}
	}
}

func (w *walk) reach(at queued, u int32, d float64) {
	if w.done[u] {
		return
	}
	if w.terms.Toll != nil {
		d *= w.terms.Toll(u)
	}
	if d += at.far; d < w.r.Far[u] {
		w.r.Far[u], w.r.back[u] = d, at.v
		w.q.push(queued{u, d})
	}
}

// Length returns the distance in space between two vertices, m.
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

// queue is a heap, the nearest first; of those as near the lowest number.
type queue []queued

func (q queue) before(i, j int) bool {
	return q[i].far < q[j].far || q[i].far == q[j].far && q[i].v < q[j].v
}

func (q *queue) push(x queued) {
	*q = append(*q, x)
	h := *q
	for i := len(h) - 1; i > 0 && h.before(i, (i-1)/2); i = (i - 1) / 2 {
		h[i], h[(i-1)/2] = h[(i-1)/2], h[i]
	}
}

func (q *queue) pop() queued {
	h := *q
	first, last := h[0], len(h)-1
	h[0] = h[last]
	h = h[:last]
	for i := 0; ; {
		least := i
		for c := 2*i + 1; c <= 2*i+2 && c < last; c++ {
			if h.before(c, least) {
				least = c
			}
		}
		if least == i {
			break
		}
		h[i], h[least] = h[least], h[i]
		i = least
	}
	*q = h
	return first
}
