package mesh

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"
)

// leafSize is how many triangles a leaf of the tree holds at most.
const leafSize = 4

// Locator finds triangles near a place or along a ray, by a tree of boxes. It
// belongs to the mesh it was made from; many may ask it at the same time.
type Locator struct {
	m     *Mesh
	order []int32 // triangles, those of each node side by side
	nodes []node
}

// node is a box; its children are the next node and node right, or, where right
// is 0, it is a leaf with the triangles order[from:to].
type node struct {
	box             r3.Box
	right, from, to int32
}

// NewLocator builds the tree: boxes are cut at the median of the centroids
// across their longest side.
func NewLocator(m *Mesh) *Locator {
	count, _ := nodeCounts(len(m.Triangles))
	l := &Locator{m: m, order: make([]int32, len(m.Triangles)), nodes: make([]node, count)}
	middle := make([]r3.Vec, len(m.Triangles))
	for f := range l.order {
		l.order[f] = int32(f)
		middle[f] = m.Centroid(f)
	}
	if len(l.order) == 0 {
		l.nodes = nil
		return l
	}
	l.build(middle, 0, 0, len(l.order))
	return l
}

// sharedOut is from how many triangles on both halves of a box are built side by side.
const sharedOut = 1 << 16

// build fills in node at, with all below it after it, for order[from:to].
func (l *Locator) build(middle []r3.Vec, at, from, to int) {
	n := node{from: int32(from), to: int32(to)}
	if to-from <= leafSize {
		n.box = l.boxOf(from, to)
		l.nodes[at] = n
		return
	}
	axis := longestAxis(middle, l.order[from:to])
	mid := (from + to) / 2
	selectNth(l.order[from:to], mid-from, func(a, b int32) bool {
		x, y := along(middle[a], axis), along(middle[b], axis)
		return x < y || x == y && a < b
	})
	before, _ := nodeCounts(mid - from)
	right := at + 1 + before
	if to-from < sharedOut {
		l.build(middle, at+1, from, mid)
		l.build(middle, right, mid, to)
	} else {
		var wait sync.WaitGroup
		wait.Go(func() { l.build(middle, at+1, from, mid) })
		l.build(middle, right, mid, to)
		wait.Wait()
	}
	a, b := l.nodes[at+1].box, l.nodes[right].box
	n.box, n.right = r3.Box{Min: lower(a.Min, b.Min), Max: upper(a.Max, b.Max)}, int32(right)
	l.nodes[at] = n
}

// nodeCounts returns how many nodes the trees of n and of n + 1 triangles have:
// one, and those of both halves.
func nodeCounts(n int) (of, next int) {
	if n < leafSize {
		return 1, 1
	}
	half, more := nodeCounts(n / 2)
	of, next = 1+2*half, 1+half+more
	if n%2 == 1 {
		of, next = next, 1+2*more
	}
	if n == leafSize {
		of = 1
	}
	return of, next
}

func (l *Locator) boxOf(from, to int) r3.Box {
	inf := math.Inf(1)
	b := r3.Box{Min: r3.Vec{X: inf, Y: inf, Z: inf}, Max: r3.Vec{X: -inf, Y: -inf, Z: -inf}}
	for _, f := range l.order[from:to] {
		for _, v := range l.m.Triangles[f] {
			b.Min, b.Max = lower(b.Min, l.m.Vertices[v]), upper(b.Max, l.m.Vertices[v])
		}
	}
	return b
}

func longestAxis(middle []r3.Vec, faces []int32) int {
	lo, hi := middle[faces[0]], middle[faces[0]]
	for _, f := range faces {
		lo, hi = lower(lo, middle[f]), upper(hi, middle[f])
	}
	d := r3.Sub(hi, lo)
	switch {
	case d.X >= d.Y && d.X >= d.Z:
		return 0
	case d.Y >= d.Z:
		return 1
	}
	return 2
}

func along(v r3.Vec, axis int) float64 {
	switch axis {
	case 0:
		return v.X
	case 1:
		return v.Y
	}
	return v.Z
}

// selectNth puts the n-th smallest item in its place, smaller ones before it.
// The order is strict, so the middle of three is a sound pivot and the result
// does not depend on how the items came.
func selectNth(items []int32, n int, less func(a, b int32) bool) {
	for lo, hi := 0, len(items)-1; lo < hi; {
		pivot := median3(items[lo], items[(lo+hi)/2], items[hi], less)
		i, j := lo, hi
		for i <= j {
			for less(items[i], pivot) {
				i++
			}
			for less(pivot, items[j]) {
				j--
			}
			if i <= j {
				items[i], items[j] = items[j], items[i]
				i, j = i+1, j-1
			}
		}
		switch {
		case n <= j:
			hi = j
		case n >= i:
			lo = i
		default:
			return
		}
	}
}

func median3(a, b, c int32, less func(a, b int32) bool) int32 {
	if less(b, a) {
		a, b = b, a
	}
	if less(c, b) {
		b = c
		if less(b, a) {
			b = a
		}
	}
	return b
}

// Point is a place on the surface: a triangle and the weights of its corners.
type Point struct {
	Face int
	Bary [3]float64
}

// At returns where p lies.
func (m *Mesh) At(p Point) r3.Vec {
	a, b, c := m.Corners(p.Face)
	return r3.Add(r3.Scale(p.Bary[0], a), r3.Add(r3.Scale(p.Bary[1], b), r3.Scale(p.Bary[2], c)))
}

// Hit is a place that a Locator found.
type Hit struct {
	Point
	At       r3.Vec
	Distance float64 // from the place asked about, or along the ray in lengths of its direction
}

// Closest returns the place on the surface nearest to p; ok is false for a mesh
// without triangles. Where several triangles share that place, the first that
// the tree comes to is named, the same each time.
func (l *Locator) Closest(p r3.Vec) (hit Hit, ok bool) {
	return l.ClosestWithin(p, math.Inf(1))
}

// ClosestWithin is Closest among places nearer than limit, m.
func (l *Locator) ClosestWithin(p r3.Vec, limit float64) (hit Hit, ok bool) {
	if len(l.nodes) == 0 {
		return hit, false
	}
	best := limit * limit
	var room [64]int32 // the tree is balanced: depth under 32
	stack := append(room[:0], 0)
	for len(stack) > 0 {
		i := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		n := &l.nodes[i]
		if boxDistance2(n.box, p) >= best {
			continue
		}
		if n.right == 0 {
			for _, f := range l.order[n.from:n.to] {
				a, b, c := l.m.Corners(int(f))
				bary := nearestInTriangle(p, a, b, c)
				at := l.m.At(Point{int(f), bary})
				if d := r3.Norm2(r3.Sub(at, p)); d < best {
					best, ok = d, true
					hit = Hit{Point{int(f), bary}, at, math.Sqrt(d)}
				}
			}
			continue
		}
		if boxDistance2(l.nodes[i+1].box, p) <= boxDistance2(l.nodes[n.right].box, p) {
			stack = append(stack, n.right, i+1)
		} else {
			stack = append(stack, i+1, n.right)
		}
	}
	return hit, ok
}

func boxDistance2(b r3.Box, p r3.Vec) float64 {
	x := max(0, b.Min.X-p.X, p.X-b.Max.X)
	y := max(0, b.Min.Y-p.Y, p.Y-b.Max.Y)
	z := max(0, b.Min.Z-p.Z, p.Z-b.Max.Z)
	return x*x + y*y + z*z
}

// nearestInTriangle returns the weights of the corners at the place of triangle
// abc nearest to p, by the region of the triangle's plane that p falls in.
//
// Source: [ericson2005].
func nearestInTriangle(p, a, b, c r3.Vec) [3]float64 {
	ab, ac := r3.Sub(b, a), r3.Sub(c, a)
	ap, bp, cp := r3.Sub(p, a), r3.Sub(p, b), r3.Sub(p, c)
	d1, d2 := r3.Dot(ab, ap), r3.Dot(ac, ap)
	d3, d4 := r3.Dot(ab, bp), r3.Dot(ac, bp)
	d5, d6 := r3.Dot(ab, cp), r3.Dot(ac, cp)
	va, vb, vc := d3*d6-d5*d4, d5*d2-d1*d6, d1*d4-d3*d2
	switch {
	case d1 <= 0 && d2 <= 0:
		return [3]float64{1, 0, 0}
	case d3 >= 0 && d4 <= d3:
		return [3]float64{0, 1, 0}
	case d6 >= 0 && d5 <= d6:
		return [3]float64{0, 0, 1}
	case vc <= 0 && d1 >= 0 && d3 <= 0:
		v := d1 / (d1 - d3)
		return [3]float64{1 - v, v, 0}
	case vb <= 0 && d2 >= 0 && d6 <= 0:
		w := d2 / (d2 - d6)
		return [3]float64{1 - w, 0, w}
	case va <= 0 && d4-d3 >= 0 && d5-d6 >= 0:
		w := (d4 - d3) / ((d4 - d3) + (d5 - d6))
		return [3]float64{0, 1 - w, w}
	}
	sum := va + vb + vc
	return [3]float64{va / sum, vb / sum, vc / sum}
}
