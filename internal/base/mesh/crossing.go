package mesh

import (
	"cmp"
	"math"
	"runtime"
	"slices"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"
)

// Crossing is a pair of triangles that run through each other, and a place where
// they do.
type Crossing struct {
	Faces [2]int32 // the lower first
	At    r3.Vec
}

// Work that Crossings puts in: tasksDeep levels of the tree are shared out, and a
// task looks at no more than pairsEach pairs a triangle of the mesh.
const (
	tasksDeep = 5
	pairsEach = 64
)

// Crossings returns pairs of triangles that run through each other, at most so
// many, the same each time and in rising order. all is false where there may be
// more: the list is full, or triangles lie so thick that not every pair was looked at.
//
// Triangles that touch, that share a side, or that lie in one plane over each
// other do not count; a side of one must pass through the other. It is decided
// in double precision: what passes by a side within rounding may be told either
// way.
func (l *Locator) Crossings(most int) (found []Crossing, all bool) {
	return l.crossings(most, pairsEach*len(l.order), l.m.cross)
}

// crossings returns the pairs of triangles whose boxes meet and that a test takes
// for crossing, with the place it gives. It looks at about so many pairs at the most.
func (l *Locator) crossings(most, pairs int, test func(f, g int) (r3.Vec, bool)) (found []Crossing, all bool) {
	if len(l.nodes) == 0 {
		return nil, true
	}
	boxes := make([]r3.Box, len(l.order))
	for i, f := range l.order {
		boxes[i] = l.m.box(f)
	}
	tasks := l.pairs(nil, 0, 0, tasksDeep)
	searches := make([]crossSearch, len(tasks))
	var group sync.WaitGroup
	next := make(chan int, len(tasks))
	for i := range tasks {
		next <- i
	}
	close(next)
	for range runtime.GOMAXPROCS(0) {
		group.Go(func() {
			for i := range next {
				searches[i] = crossSearch{l: l, test: test, boxes: boxes, most: most, left: pairs/len(tasks) + 1<<20}
				searches[i].both(tasks[i][0], tasks[i][1])
			}
		})
	}
	group.Wait()
	all = true
	for i := range searches {
		found = append(found, searches[i].found...)
		all = all && !searches[i].short
	}
	slices.SortFunc(found, func(a, b Crossing) int {
		return cmp.Or(cmp.Compare(a.Faces[0], b.Faces[0]), cmp.Compare(a.Faces[1], b.Faces[1]))
	})
	if len(found) > most {
		found, all = found[:most], false
	}
	return found, all
}

func (m *Mesh) box(f int32) r3.Box {
	a, b, c := m.Corners(int(f))
	return r3.Box{Min: lower(a, lower(b, c)), Max: upper(a, upper(b, c))}
}

// pairs lists the pairs of nodes so deep in the tree whose boxes meet.
func (l *Locator) pairs(out [][2]int32, a, b int32, deep int) [][2]int32 {
	if !boxesMeet(&l.nodes[a].box, &l.nodes[b].box) {
		return out
	}
	if deep == 0 || l.nodes[a].right == 0 || l.nodes[b].right == 0 {
		return append(out, [2]int32{a, b})
	}
	x, y := [2]int32{a + 1, l.nodes[a].right}, [2]int32{b + 1, l.nodes[b].right}
	if a == b {
		out = l.pairs(out, x[0], x[0], deep-1)
		out = l.pairs(out, x[0], x[1], deep-1)
		return l.pairs(out, x[1], x[1], deep-1)
	}
	for _, i := range x {
		for _, j := range y {
			out = l.pairs(out, i, j, deep-1)
		}
	}
	return out
}

func boxesMeet(a, b *r3.Box) bool {
	return a.Min.X <= b.Max.X && b.Min.X <= a.Max.X && a.Min.Y <= b.Max.Y && b.Min.Y <= a.Max.Y && a.Min.Z <= b.Max.Z && b.Min.Z <= a.Max.Z
}

// crossSearch is the search below one pair of nodes.
type crossSearch struct {
	l          *Locator
	test       func(f, g int) (r3.Vec, bool)
	boxes      []r3.Box // in the tree's order
	most, left int
	found      []Crossing
	short      bool // stopped before the end
}

// both walks a pair of nodes down, the larger one first.
func (s *crossSearch) both(a, b int32) {
	m, n := &s.l.nodes[a], &s.l.nodes[b]
	switch {
	case s.short || !boxesMeet(&m.box, &n.box):
	case m.right == 0 && n.right == 0:
		s.leaves(m, n, a == b)
	case a == b:
		s.both(a+1, a+1)
		s.both(a+1, m.right)
		s.both(m.right, m.right)
	case n.right == 0 || m.right != 0 && m.to-m.from >= n.to-n.from:
		s.both(a+1, b)
		s.both(m.right, b)
	default:
		s.both(a, b+1)
		s.both(a, n.right)
	}
}

func (s *crossSearch) leaves(m, n *node, same bool) {
	for i := m.from; i < m.to; i++ {
		from := n.from
		if same {
			from = i + 1
		}
		for j := from; j < n.to; j++ {
			if boxesMeet(&s.boxes[i], &s.boxes[j]) {
				s.pair(s.l.order[i], s.l.order[j])
			}
		}
	}
}

func (s *crossSearch) pair(f, g int32) {
	if s.left--; s.left < 0 {
		s.short = true
		return
	}
	at, ok := s.test(int(f), int(g))
	if !ok {
		return
	}
	if len(s.found) >= s.most {
		s.short = true
		return
	}
	s.found = append(s.found, Crossing{[2]int32{min(f, g), max(f, g)}, at})
}

// cross tells whether a side of one triangle passes through the other; of two
// that share a corner the sides opposite to it are tried.
func (m *Mesh) cross(f, g int) (r3.Vec, bool) {
	s, t := m.Triangles[f], m.Triangles[g]
	shared, cornerF, cornerG := 0, -1, -1
	for i, v := range s {
		for j, w := range t {
			if v == w {
				shared, cornerF, cornerG = shared+1, i, j
			}
		}
	}
	if shared > 1 {
		return r3.Vec{}, false
	}
	if at, ok := m.pierced(s, t, cornerF); ok {
		return at, true
	}
	return m.pierced(t, s, cornerG)
}

// pierced tells whether a side of triangle s passes through triangle t: only the
// one opposite to a corner, if that is not −1.
//
// The side pq passes through abc where p and q lie on opposite sides of its
// plane and the volumes pqab, pqbc and pqca have one sign.
func (m *Mesh) pierced(s, t [3]int32, corner int) (r3.Vec, bool) {
	a, b, c := m.Vertices[t[0]], m.Vertices[t[1]], m.Vertices[t[2]]
	n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
	var high [3]float64
	size := 0.0
	for k, v := range s {
		d := r3.Sub(m.Vertices[v], a)
		high[k] = r3.Dot(n, d)
		size = max(size, math.Abs(d.X), math.Abs(d.Y), math.Abs(d.Z))
	}
	zero := 1e-13 * size * (math.Abs(n.X) + math.Abs(n.Y) + math.Abs(n.Z))
	if high[0] > -zero && high[1] > -zero && high[2] > -zero || high[0] < zero && high[1] < zero && high[2] < zero {
		return r3.Vec{}, false
	}
	for k := range s {
		i, j := k, (k+1)%3
		if corner >= 0 && k != (corner+1)%3 || !(high[i] > zero && high[j] < -zero || high[i] < -zero && high[j] > zero) {
			continue
		}
		p, q := m.Vertices[s[i]], m.Vertices[s[j]]
		d := r3.Sub(q, p)
		pa, pb, pc := r3.Sub(a, p), r3.Sub(b, p), r3.Sub(c, p)
		u, v, w := r3.Dot(d, r3.Cross(pa, pb)), r3.Dot(d, r3.Cross(pb, pc)), r3.Dot(d, r3.Cross(pc, pa))
		if u >= 0 && v >= 0 && w >= 0 || u <= 0 && v <= 0 && w <= 0 {
			return r3.Add(p, r3.Scale(high[i]/(high[i]-high[j]), d)), true
		}
	}
	return r3.Vec{}, false
}
