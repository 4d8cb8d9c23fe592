package nest

import (
	"math"
	"sync/atomic"

	"gonum.org/v1/gonum/spatial/r2"
)

// cells is how many cells a pair's table has along each side.
const cells = 40

// pair answers for two poses, at any shift d from the first to the second,
// whether they overlap and how badly.
//
// The first is exact: d lies in one of the sums of their convex parts. A grid
// over d says at once "open" or "overlap" away from the border of the union
// and names the few sums to ask near it. The second is a smooth measure kept
// at the grid's nodes, filled in when first asked for.
type pair struct {
	a, b   *pose
	hx, hy float64 // half the box of overlapping shifts
	px, py float64 // cells per metre
	cell   []int32 // open, solid, or the start in list
	list   []int32 // runs of sums, each ended by −1
	sums   []sum
	node   []atomic.Uint32 // float32 bits; 0 = not yet known
}

const (
	open  int32 = -1
	solid int32 = -2
)

// newPair is the table of shifts sign · d, d from a to b.
func newPair(a, b *pose, sign float64) *pair {
	if sign < 0 {
		a, b = b, a
	}
	p := &pair{a: a, b: b, hx: a.hx + b.hx, hy: a.hy + b.hy}
	p.px, p.py = cells/(2*p.hx), cells/(2*p.hy)
	p.sums = make([]sum, 0, len(a.parts)*len(b.parts))
	for i := range a.parts {
		for k := range b.parts {
			s := sum{sides: make([]plane, 0, len(a.parts[i].sides)+len(b.parts[k].sides))}
			s.set(&a.parts[i], &b.parts[k])
			p.sums = append(p.sums, s)
		}
	}
	p.node = make([]atomic.Uint32, (cells+1)*(cells+1))
	p.cell = make([]int32, cells*cells)
	p.fillCells()
	return p
}

// fillCells classifies every cell of the grid of shifts.
func (p *pair) fillCells() {
	found := make([][]int32, cells*cells)
	for k := range p.sums {
		p.sums[k].markCells(p, int32(k), found)
	}
	for i, f := range found {
		switch {
		case p.cell[i] == solid:
		case len(f) == 0:
			p.cell[i] = open
		default:
			p.cell[i] = int32(len(p.list))
			p.list = append(append(p.list, f...), -1)
		}
	}
}

// markCells notes sum k in each cell that it meets and marks those that it
// holds wholly.
func (s *sum) markCells(p *pair, k int32, found [][]int32) {
	i0, j0 := p.cellAt(s.box.Min.X, s.box.Min.Y)
	i1, j1 := p.cellAt(s.box.Max.X, s.box.Max.Y)
	wx, wy := 0.5/p.px, 0.5/p.py
	for j := j0; j <= j1; j++ {
		for i := i0; i <= i1; i++ {
			at := j*cells + i
			if p.cell[at] == solid {
				continue
			}
			x, y := -p.hx+(2*float64(i)+1)*wx, -p.hy+(2*float64(j)+1)*wy
			switch in, out := s.cover(x, y, wx, wy); {
			case in:
				p.cell[at] = solid
			case !out:
				found[at] = append(found[at], k)
			}
		}
	}
}

func (p *pair) cellAt(dx, dy float64) (i, j int) {
	return min(cells-1, max(0, int((dx+p.hx)*p.px))), min(cells-1, max(0, int((dy+p.hy)*p.py)))
}

// overlap is 0 where the poses are clear of one another at the shift d, else
// the measure of how badly they overlap. d must lie within the box.
func (p *pair) overlap(dx, dy float64) float64 {
	u, v := (dx+p.hx)*p.px, (dy+p.hy)*p.py
	i, j := min(cells-1, max(0, int(u))), min(cells-1, max(0, int(v)))
	switch at := p.cell[j*cells+i]; at {
	case open:
		return 0
	case solid:
	default:
		if !p.inList(at, dx, dy) {
			return 0
		}
	}
	u, v = u-float64(i), v-float64(j)
	at := j*(cells+1) + i
	low := (1-u)*p.nodeAt(at) + u*p.nodeAt(at+1)
	high := (1-u)*p.nodeAt(at+cells+1) + u*p.nodeAt(at+cells+2)
	return (1-v)*low + v*high
}

func (p *pair) inList(at int32, dx, dy float64) bool {
	for ; p.list[at] >= 0; at++ {
		if p.sums[p.list[at]].holds(dx, dy) {
			return true
		}
	}
	return false
}

func (p *pair) nodeAt(k int) float64 {
	if bits := p.node[k].Load(); bits != 0 {
		return float64(math.Float32frombits(bits))
	}
	d := r2.Vec{X: -p.hx + float64(k%(cells+1))/p.px, Y: -p.hy + float64(k/(cells+1))/p.py}
	f := float32(discOverlap(p.a, p.b, d))
	p.node[k].Store(math.Float32bits(f))
	return float64(f)
}
