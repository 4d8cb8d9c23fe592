package plies

import (
	"cmp"
	"container/heap"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// route is where a slit is to run: vertices of the part from the tip to the rim,
// straight between them.
type route struct {
	way  []int32
	pins []int32 // vertices of the way that can't be moved: the curvature let out sits there
	by   float64 // how far it is to be moved to its left, m
}

func (r route) pinned(v int32) bool { return slices.Contains(r.pins, v) }

// holeFavour is how much nearer a cut-out counts than it is: a slit that ends in
// what is cut away later weakens nothing.
const holeFavour = 0.7

// detour is how much longer a slit may get by running through a hollow corner on
// its way, which would else lock the cloth beside it.
const detour = 1.4

// roads are shortest ways over the surface from one vertex.
type roads struct {
	far  []float64
	back []int32
}

// roadsFrom finds shortest ways along sides and across pairs of triangles
// (Dijkstra's method).
//
// Source: [dijkstra1959].
func (p *part) roadsFrom(v int32) roads {
	m := p.top.Mesh
	r := roads{make([]float64, len(m.Vertices)), make([]int32, len(m.Vertices))}
	for u := range r.far {
		r.far[u], r.back[u] = math.Inf(1), -1
	}
	r.far[v] = 0
	done := make([]bool, len(r.far))
	q := &queue{{v, 0}}
	for q.Len() > 0 {
		at := heap.Pop(q).(queued)
		if done[at.v] {
			continue
		}
		done[at.v] = true
		reach := func(u int32, d float64) {
			if d += at.far; d < r.far[u] {
				r.far[u], r.back[u] = d, at.v
				heap.Push(q, queued{u, d})
			}
		}
		for _, f := range p.top.VertexFaces(int(at.v)) {
			t := m.Triangles[f]
			k := slices.Index(t[:], at.v)
			reach(t[(k+1)%3], length(m, at.v, t[(k+1)%3]))
			reach(t[(k+2)%3], length(m, at.v, t[(k+2)%3]))
			if twin := p.top.Twin[3*int(f)+(k+1)%3]; twin >= 0 {
				u := p.top.From(mesh.Prev(int(twin)))
				if d, ok := unfolded(m, at.v, t[(k+1)%3], t[(k+2)%3], u); ok {
					reach(u, d)
				}
			}
		}
	}
	return r
}

func length(m *mesh.Mesh, a, b int32) float64 {
	return r3.Norm(r3.Sub(m.Vertices[a], m.Vertices[b]))
}

// unfolded returns the straight distance from v to u over the side x, y between
// their triangles; false where the straight line misses the side.
func unfolded(m *mesh.Mesh, v, x, y, u int32) (float64, bool) {
	long := length(m, x, y)
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

func (r roads) to(v int32) []int32 {
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

// exit returns the rim vertex to which a slit leaves, and how far it is.
func (r roads) exit(favour []float64) (int32, float64) {
	best, at := math.Inf(1), int32(-1)
	for v, f := range favour {
		if d := f * r.far[v]; f > 0 && d < best-1e-9 {
			best, at = d, int32(v)
		}
	}
	return at, best
}

// findRims sets for each rim vertex how near it counts against how near it is,
// 0 for the others: with cut-outs, and without.
func (p *part) findRims() {
	p.favour, p.outer = make([]float64, len(p.vertices)), make([]float64, len(p.vertices))
	for i, rim := range p.top.Rims() { // the longest first
		for _, v := range rim.Loop {
			p.favour[v] = holeFavour
			if i == 0 {
				p.favour[v], p.outer[v] = 1, 1
			}
		}
	}
}

// routeFrom returns the way from a hot spot out to the rim. Where the surface
// opens on the way, at the foot of a corner, it leads through there, since cloth
// would lock beside the slit else.
func (p *part) routeFrom(from hotspot, hollows []hotspot) (route, bool) {
	tip := from.at
	here := p.roadsFrom(tip)
	end, _ := here.exit(p.favour)
	if end < 0 {
		return route{}, false
	}
	r := route{way: here.to(end)}
	if from.curvature != 0 {
		r.pins = []int32{tip}
	}
	_, best := here.exit(p.outer)
	best *= detour
	for _, h := range hollows {
		if d := here.far[h.at]; h.at == tip || d > best {
			continue
		}
		there := p.roadsFrom(h.at)
		out, rest := there.exit(p.outer)
		if d := here.far[h.at] + rest; d < best {
			best = d
			r.way = append(here.to(h.at), there.to(out)[1:]...)
			r.pins = []int32{tip, h.at}
		}
	}
	r.way = p.pulled(r)
	return r, len(r.way) > 1
}

// pulled takes vertices out of a way as long as that makes it no longer.
func (p *part) pulled(r route) []int32 {
	t := newTracer(p.top)
	m := p.top.Mesh
	long := func(from int32, path []stop) (sum float64) {
		at := m.Vertices[from]
		for _, s := range path {
			sum += r3.Norm(r3.Sub(s.at(m), at))
			at = s.at(m)
		}
		return sum
	}
	way := r.way
	// doubling strides: straight runs shrink to their ends in a few passes
	for stride := len(way); stride >= 2; stride /= 2 {
		for i := 0; i+2 < len(way); {
			j := min(i+stride, len(way)-1)
			if k := slices.IndexFunc(way[i+1:j], r.pinned); k >= 0 {
				j = i + 1 + k
			}
			if j-i < 2 {
				i++
				continue
			}
			was := 0.0
			for k := i; k < j; k++ {
				was += length(m, way[k], way[k+1])
			}
			path, _, ok := t.leg(way[i], way[j])
			if ok && len(path) > 0 && path[len(path)-1] == (stop{a: way[j], b: -1}) && long(way[i], path) < was*(1+straightEnough) {
				way = append(slices.Clone(way[:i+1]), way[j:]...)
			}
			i++
		}
	}
	return way
}

// straightEnough is how much longer a straight cut may measure than the steps it
// replaces, which cut corners over sides.
const straightEnough = 2e-3

// distance returns how far q is from the segment from a to b.
func distance(q, a, b r3.Vec) float64 {
	d, r := r3.Sub(b, a), r3.Sub(q, a)
	if n := r3.Norm2(d); n > 0 {
		r = r3.Sub(r, r3.Scale(min(1, max(0, r3.Dot(r, d)/n)), d))
	}
	return r3.Norm(r)
}

func nearestWhere(m *mesh.Mesh, at r3.Vec, is func(v int) bool) int32 {
	best, out := math.Inf(1), int32(-1)
	for v, x := range m.Vertices {
		if d := r3.Norm2(r3.Sub(x, at)); d < best && is(v) {
			best, out = d, int32(v)
		}
	}
	return out
}
