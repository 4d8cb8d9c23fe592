package relay

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
)

// lines are segments in the flat, sorted into the cells of a grid. Asking changes
// its marks, so that one goroutine asks at a time.
type lines struct {
	a, b   []r2.Vec
	origin r2.Vec
	size   float64 // of a cell
	nx, ny int
	start  []int32 // of each cell's items
	item   []int32
	mark   []int32
	asked  int32
}

// mostCells is how many cells the grid has along its longer side.
const mostCells = 128

func newLines(a, b []r2.Vec) *lines {
	l := &lines{a: a, b: b, mark: make([]int32, len(a)), nx: 1, ny: 1, size: 1}
	if len(a) == 0 {
		l.start = make([]int32, 2)
		return l
	}
	lo, hi := a[0], a[0]
	for i := range a {
		lo = r2.Vec{X: min(lo.X, a[i].X, b[i].X), Y: min(lo.Y, a[i].Y, b[i].Y)}
		hi = r2.Vec{X: max(hi.X, a[i].X, b[i].X), Y: max(hi.Y, a[i].Y, b[i].Y)}
	}
	l.origin = lo
	if wide := max(hi.X-lo.X, hi.Y-lo.Y); wide > 0 {
		l.size = wide / mostCells
	}
	l.nx, l.ny = int((hi.X-lo.X)/l.size)+1, int((hi.Y-lo.Y)/l.size)+1
	l.start = make([]int32, l.nx*l.ny+1)
	for i := range a {
		l.cells(i, func(c int) { l.start[c+1]++ })
	}
	for c := range l.nx * l.ny {
		l.start[c+1] += l.start[c]
	}
	l.item = make([]int32, l.start[l.nx*l.ny])
	fill := append([]int32(nil), l.start...)
	for i := range a {
		l.cells(i, func(c int) {
			l.item[fill[c]] = int32(i)
			fill[c]++
		})
	}
	return l
}

// cells visits the cells that segment i comes into, column by column.
func (l *lines) cells(i int, visit func(c int)) {
	a, b := l.a[i], l.b[i]
	if a.X > b.X {
		a, b = b, a
	}
	height := func(x float64) float64 {
		if b.X == a.X {
			return a.Y
		}
		return a.Y + (b.Y-a.Y)*min(1, max(0, (x-a.X)/(b.X-a.X)))
	}
	x0, x1 := l.column(a.X), l.column(b.X)
	for x := x0; x <= x1; x++ {
		left, right := l.origin.X+float64(x)*l.size, l.origin.X+float64(x+1)*l.size
		p, q := height(left), height(right)
		if b.X-a.X < 1e-12 {
			p, q = a.Y, b.Y
		}
		const slack = 1e-9
		for y := l.row(min(p, q) - slack); y <= l.row(max(p, q)+slack); y++ {
			visit(y*l.nx + x)
		}
	}
}

func (l *lines) column(x float64) int {
	return min(l.nx-1, max(0, int(math.Floor((x-l.origin.X)/l.size))))
}
func (l *lines) row(y float64) int {
	return min(l.ny-1, max(0, int(math.Floor((y-l.origin.Y)/l.size))))
}

// near visits the segments in cells that a box comes into, each once.
func (l *lines) near(lo, hi r2.Vec, visit func(i int32)) {
	if len(l.item) == 0 || hi.X < l.origin.X-l.size || hi.Y < l.origin.Y-l.size {
		return
	}
	l.asked++
	x0, x1 := l.column(lo.X-1e-9), l.column(hi.X+1e-9)
	for y := l.row(lo.Y - 1e-9); y <= l.row(hi.Y+1e-9); y++ {
		for x := x0; x <= x1; x++ {
			for _, i := range l.item[l.start[y*l.nx+x]:l.start[y*l.nx+x+1]] {
				if l.mark[i] != l.asked {
					l.mark[i] = l.asked
					visit(i)
				}
			}
		}
	}
}

// odd tells whether a ray from q along +x crosses an odd number of segments.
func (l *lines) odd(q r2.Vec) bool {
	in := false
	if len(l.item) == 0 || q.Y < l.origin.Y {
		return false
	}
	far := l.origin.X + float64(l.nx)*l.size
	l.near(q, r2.Vec{X: max(q.X, far), Y: q.Y}, func(i int32) {
		a, b := l.a[i], l.b[i]
		if (a.Y > q.Y) != (b.Y > q.Y) && q.X < a.X+(q.Y-a.Y)*(b.X-a.X)/(b.Y-a.Y) {
			in = !in
		}
	})
	return in
}

// nearest returns how far q is from the nearest segment, or the limit.
func (l *lines) nearest(q r2.Vec, limit float64) float64 {
	best := limit
	for reach := min(limit, l.size); ; reach = min(limit, 2*reach) {
		around := r2.Vec{X: reach, Y: reach}
		l.near(r2.Sub(q, around), r2.Add(q, around), func(i int32) {
			best = min(best, geom.SegmentDistance(q, l.a[i], l.b[i]))
		})
		if best <= reach || reach == limit {
			return best
		}
	}
}

// cross visits the segments that a ray from q along the unit vector d meets up to
// a length, in no order.
func (l *lines) cross(q, d r2.Vec, far float64, visit func(i int32, at float64)) {
	e := r2.Add(q, r2.Scale(far, d))
	lo := r2.Vec{X: min(q.X, e.X), Y: min(q.Y, e.Y)}
	hi := r2.Vec{X: max(q.X, e.X), Y: max(q.Y, e.Y)}
	l.near(lo, hi, func(i int32) {
		s := r2.Sub(l.b[i], l.a[i])
		w := r2.Sub(l.a[i], q)
		den := r2.Cross(d, s)
		if den == 0 {
			return
		}
		t, u := r2.Cross(w, s)/den, r2.Cross(w, d)/den
		slack := 1e-9 / max(1e-9, r2.Norm(s))
		if u >= -slack && u <= 1+slack && t >= 0 && t <= far {
			visit(i, t)
		}
	})
}

// first returns how far along a ray the first segment is met, or the limit and
// false.
func (l *lines) first(q, d r2.Vec, far float64) (at float64, met bool) {
	at = far
	l.cross(q, d, far, func(_ int32, t float64) { at, met = min(at, t), true })
	return at, met
}
