package relay

import (
	"cmp"
	"container/heap"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// distances returns how far each vertex is from a line over the surface, up to a
// limit; beyond that +Inf. Each step of the line lies in one triangle. From
// there a front crosses one triangle at a time: as if it were straight ([frontAt])
// beside the line, which is exact on what unrolls, and round ([roundAt]) about
// its ends.
//
// Source: [kimmel1998].
func distances(top *mesh.Topology, find *mesh.Locator, line []r3.Vec, limit float64) []float64 {
	f := newFront(top, limit)
	for i := 1; i < len(line); i++ {
		hit, ok := find.Closest(r3.Scale(0.5, r3.Add(line[i-1], line[i])))
		if !ok {
			continue
		}
		for _, v := range top.Mesh.Triangles[hit.Face] {
			d, share := toSegment(top.Mesh.Vertices[v], line[i-1], line[i])
			from := side
			if i == 1 && share == 0 {
				from = start
			} else if i == len(line)-1 && share == 1 {
				from = finish
			}
			f.lower(v, d, from)
		}
	}
	f.run()
	return f.far
}

// origin says from where on the line the front came.
type origin int8

const (
	side origin = iota
	start
	finish
)

// front is what it has reached.
type front struct {
	top   *mesh.Topology
	limit float64
	far   []float64
	from  []origin
	queue
}

func newFront(top *mesh.Topology, limit float64) *front {
	n := len(top.Mesh.Vertices)
	f := &front{top: top, limit: limit, far: make([]float64, n), from: make([]origin, n)}
	for v := range f.far {
		f.far[v] = math.Inf(1)
	}
	return f
}

func (f *front) lower(v int32, d float64, from origin) {
	if d < f.far[v] && d <= f.limit {
		f.far[v], f.from[v] = d, from
		heap.Push(&f.queue, reached{v, d})
	}
}

// run passes the front on from the nearest vertex each time: over the triangles
// there and, for such as are obtuse, over the next ones, laid into their plane.
func (f *front) run() {
	p := f.top.Mesh.Vertices
	done := make([]bool, len(f.far))
	for f.Len() > 0 {
		v := heap.Pop(&f.queue).(reached).v
		if done[v] {
			continue
		}
		done[v] = true
		for _, g := range f.top.VertexFaces(int(v)) {
			t := f.top.Mesh.Triangles[g]
			k := slices.Index(t[:], v)
			x, y := t[(k+1)%3], t[(k+2)%3]
			f.cross(x, p[x], v, y, done)
			f.cross(y, p[y], v, x, done)
			if twin := int(f.top.Twin[3*int(g)+(k+1)%3]); twin >= 0 {
				u := f.top.From(mesh.Prev(twin))
				if at, ok := unfolded(p[v], p[x], p[y], p[u]); ok {
					f.cross(u, at, v, x, done)
					f.cross(u, at, v, y, done)
				}
			}
		}
	}
}

// cross passes the front from v on to u at its place in the triangle's plane: along
// the side, and where w is known too over that from v to w.
func (f *front) cross(u int32, at r3.Vec, v, w int32, done []bool) {
	if done[u] {
		return
	}
	p := f.top.Mesh.Vertices
	f.lower(u, f.far[v]+r3.Norm(r3.Sub(at, p[v])), f.from[v])
	if !done[w] {
		return
	}
	from, over := side, frontAt
	if f.from[v] == f.from[w] {
		from = f.from[v]
	}
	if from != side {
		over = roundAt
	}
	f.lower(u, over(at, p[v], p[w], f.far[v], f.far[w]), from)
}

// unfolded lays u beyond the side from x to y into the plane of v, x and y; false
// where the straight way from v misses the side.
func unfolded(v, x, y, u r3.Vec) (at r3.Vec, ok bool) {
	e := r3.Sub(y, x)
	long := r3.Norm(e)
	if long == 0 {
		return at, false
	}
	e = r3.Scale(1/long, e)
	split := func(p r3.Vec) (along float64, off r3.Vec) {
		d := r3.Sub(p, x)
		along = r3.Dot(d, e)
		return along, r3.Sub(d, r3.Scale(along, e))
	}
	av, ov := split(v)
	au, ou := split(u)
	hv, hu := r3.Norm(ov), r3.Norm(ou)
	if !(hv > 0) {
		return at, false
	}
	if cross := (av*hu + au*hv) / (hv + hu); cross < 0 || cross > long {
		return at, false
	}
	return r3.Add(x, r3.Add(r3.Scale(au, e), r3.Scale(-hu/hv, ov))), true
}

// frontAt returns when a straight front that passes a and b at their distances
// comes to c; +Inf where it does not come from between them.
//
//	(1ᵀQ1) p² − 2 (1ᵀQt) p + tᵀQt − 1 = 0,  Q = (XᵀX)⁻¹
//
// X are the sides from c to a and b, t the distances there, p that at c.
func frontAt(c, a, b r3.Vec, da, db float64) float64 {
	x, y := r3.Sub(a, c), r3.Sub(b, c)
	xx, xy, yy := r3.Norm2(x), r3.Dot(x, y), r3.Norm2(y)
	det := xx*yy - xy*xy
	if !(det > 1e-12*xx*yy) {
		return math.Inf(1)
	}
	q := func(p0, p1, r0, r1 float64) float64 { return (p0*(yy*r0-xy*r1) + p1*(xx*r1-xy*r0)) / det }
	one, mixed, rest := q(1, 1, 1, 1), q(1, 1, da, db), q(da, db, da, db)-1
	disc := mixed*mixed - one*rest
	if disc < 0 {
		return math.Inf(1)
	}
	p := (mixed + math.Sqrt(disc)) / one
	if s, t := da-p, db-p; yy*s-xy*t > 0 || xx*t-xy*s > 0 {
		return math.Inf(1)
	}
	return p
}

// roundAt returns when a round front that passes a and b at their distances comes
// to c: from its centre, laid into the triangle's plane beyond the side from a to b,
// straight over that side; +Inf where the straight way misses it.
func roundAt(c, a, b r3.Vec, da, db float64) float64 {
	ab := r3.Sub(b, a)
	long := r3.Norm(ab)
	if !(long > 0) {
		return math.Inf(1)
	}
	x := (da*da - db*db + long*long) / (2 * long)
	y2 := da*da - x*x
	if y2 < 0 {
		return math.Inf(1)
	}
	y := math.Sqrt(y2)
	u := r3.Dot(r3.Sub(c, a), ab) / long
	v := math.Sqrt(max(0, r3.Norm2(r3.Sub(c, a))-u*u))
	if at := x*v + u*y; !(v+y > 0) || at < 0 || at > long*(v+y) {
		return math.Inf(1)
	}
	return math.Hypot(u-x, v+y)
}

// toSegment returns how far p is from the segment from a to b, and the share of
// it at which it is nearest.
func toSegment(p, a, b r3.Vec) (d, share float64) {
	e, r := r3.Sub(b, a), r3.Sub(p, a)
	if n := r3.Norm2(e); n > 0 {
		share = min(1, max(0, r3.Dot(r, e)/n))
	}
	return r3.Norm(r3.Sub(r, r3.Scale(share, e))), share
}

type reached struct {
	v   int32
	far float64
}

type queue []reached

func (q queue) Len() int { return len(q) }
func (q queue) Less(i, j int) bool {
	return cmp.Or(cmp.Compare(q[i].far, q[j].far), cmp.Compare(q[i].v, q[j].v)) < 0
}
func (q queue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(x any)   { *q = append(*q, x.(reached)) }
func (q *queue) Pop() any {
	last := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return last
}
