package pattern

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/doc/draw"
)

// occupancy notes which cells of a box are drawn on, to find room for words and
// for the check square. Whatever touches a cell fills it, so room that is found
// is truly free.
type occupancy struct {
	box    r2.Box
	cell   float64 // mm
	nx, ny int
	full   []bool
}

func newOccupancy(box r2.Box, cell float64) *occupancy {
	size := box.Size()
	o := &occupancy{box: box, cell: cell, nx: int(size.X / cell), ny: int(size.Y / cell)}
	o.full = make([]bool, o.nx*o.ny)
	return o
}

// block enters items: words as their box, lines as the cells they cross.
func (o *occupancy) block(items []draw.Item) {
	for _, it := range items {
		switch v := it.(type) {
		case draw.Path:
			o.line(v.Points, v.Closed)
		case draw.Circle:
			o.line(v.Polygon(0.2).Points, true)
		case draw.Text:
			b := v.Bounds()
			for y := b.Min.Y; y < b.Max.Y+o.cell; y += o.cell {
				o.line([]r2.Vec{{X: b.Min.X, Y: min(y, b.Max.Y)}, {X: b.Max.X, Y: min(y, b.Max.Y)}}, false)
			}
		}
	}
}

// line fills the cells along a polyline, sampled at half a cell.
func (o *occupancy) line(pts []r2.Vec, closed bool) {
	n := len(pts)
	if !closed {
		n--
	}
	for i := range n {
		a, b := pts[i], pts[(i+1)%len(pts)]
		steps := max(1, int(math.Ceil(r2.Norm(r2.Sub(b, a))/(o.cell/2))))
		for k := range steps + 1 {
			p := r2.Sub(r2.Add(a, r2.Scale(float64(k)/float64(steps), r2.Sub(b, a))), o.box.Min)
			ix, iy := int(math.Floor(p.X/o.cell)), int(math.Floor(p.Y/o.cell))
			if 0 <= ix && ix < o.nx && 0 <= iy && iy < o.ny {
				o.full[iy*o.nx+ix] = true
			}
		}
	}
}

// empty reports that nothing is drawn in the part of a box that the cells cover.
func (o *occupancy) empty(b r2.Box) bool {
	lo, hi := r2.Sub(b.Min, o.box.Min), r2.Sub(b.Max, o.box.Min)
	for iy := max(0, int(lo.Y/o.cell)); iy < o.ny && float64(iy)*o.cell < hi.Y; iy++ {
		for ix := max(0, int(lo.X/o.cell)); ix < o.nx && float64(ix)*o.cell < hi.X; ix++ {
			if o.full[iy*o.nx+ix] {
				return false
			}
		}
	}
	return true
}

// fill fills the cells whose middle lies inside the ring, or outside it.
func (o *occupancy) fill(ring geom.Polygon, inside bool) {
	b := ring.Bounds()
	for j := range o.ny {
		y := o.box.Min.Y + (float64(j)+0.5)*o.cell
		if inside && (y < b.Min.Y || y > b.Max.Y) {
			continue
		}
		xs := crossings(ring, y)
		from, to := 0, o.nx
		if inside && len(xs) > 0 { // a piece is small on a roll
			from = max(0, int((xs[0]-o.box.Min.X)/o.cell))
			to = min(o.nx, int((xs[len(xs)-1]-o.box.Min.X)/o.cell)+1)
		}
		k := 0
		for i := from; i < to; i++ {
			x := o.box.Min.X + (float64(i)+0.5)*o.cell
			for k < len(xs) && xs[k] <= x {
				k++
			}
			if (k%2 == 1) == inside {
				o.full[j*o.nx+i] = true
			}
		}
	}
}

// crossings are the places where a level line enters and leaves a ring, in order.
func crossings(ring geom.Polygon, y float64) (xs []float64) {
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a.Y <= y) != (b.Y <= y) {
			xs = append(xs, a.X+(y-a.Y)/(b.Y-a.Y)*(b.X-a.X))
		}
	}
	slices.Sort(xs)
	return xs
}

// find returns the lower left corner of an empty place of w by h mm, the lowest
// and then the leftmost there is.
func (o *occupancy) find(w, h float64) (spot r2.Vec, ok bool) {
	o.each(w, h, func(corner r2.Vec) bool {
		spot, ok = corner, true
		return false
	})
	return spot, ok
}

// nearest returns the middle of the empty place of w by h mm that lies nearest
// to a point.
func (o *occupancy) nearest(w, h float64, to r2.Vec) (spot r2.Vec, ok bool) {
	best := math.Inf(1)
	o.each(w, h, func(corner r2.Vec) bool {
		mid := r2.Add(corner, r2.Vec{X: w / 2, Y: h / 2})
		if d := r2.Norm(r2.Sub(mid, to)); d < best {
			best, spot, ok = d, mid, true
		}
		return true
	})
	return spot, ok
}

// each calls f with the lower left corner of every empty place of w by h mm, by
// rows from below, until f returns false.
func (o *occupancy) each(w, h float64, f func(corner r2.Vec) bool) {
	cw, ch := int(math.Ceil(w/o.cell)), int(math.Ceil(h/o.cell))
	sum := o.sums()
	at := func(x, y int) int { return sum[y*(o.nx+1)+x] }
	for j := 0; j+ch <= o.ny; j++ {
		for i := 0; i+cw <= o.nx; i++ {
			if at(i+cw, j+ch)-at(i, j+ch)-at(i+cw, j)+at(i, j) != 0 {
				continue
			}
			if !f(r2.Add(o.box.Min, r2.Vec{X: float64(i) * o.cell, Y: float64(j) * o.cell})) {
				return
			}
		}
	}
}

// sums holds how many cells are full below and left of every corner.
func (o *occupancy) sums() []int {
	n := o.nx + 1
	sum := make([]int, n*(o.ny+1))
	for j := range o.ny {
		for i := range o.nx {
			v := 0
			if o.full[j*o.nx+i] {
				v = 1
			}
			sum[(j+1)*n+i+1] = v + sum[j*n+i+1] + sum[(j+1)*n+i] - sum[j*n+i]
		}
	}
	return sum
}

// nearlyRoomiest is how large a square must be, of the largest, to be chosen
// for lying nearer the middle.
const nearlyRoomiest = 0.85

// roomiest returns the middle of a large empty square: of those nearly as large
// as the largest, the one nearest to a point.
func (o *occupancy) roomiest(to r2.Vec) r2.Vec {
	size := o.squares()
	largest := 0
	for _, s := range size {
		largest = max(largest, s)
	}
	at, best := to, math.Inf(1)
	for c, s := range size {
		if s == 0 || float64(s) < nearlyRoomiest*float64(largest) {
			continue
		}
		mid := r2.Vec{X: float64(c%o.nx+1) - float64(s)/2, Y: float64(c/o.nx+1) - float64(s)/2}
		mid = r2.Add(o.box.Min, r2.Scale(o.cell, mid))
		if d := r2.Norm(r2.Sub(mid, to)); d < best {
			at, best = mid, d
		}
	}
	return at
}

// squares holds, for every cell, the side of the largest empty square whose
// upper right cell it is: one longer than the least of those that end at its
// three neighbours below and to the left.
func (o *occupancy) squares() []int {
	size := make([]int, o.nx*o.ny)
	for j := range o.ny {
		for i := range o.nx {
			c := j*o.nx + i
			switch {
			case o.full[c]:
			case i == 0 || j == 0:
				size[c] = 1
			default:
				size[c] = 1 + min(size[c-1], size[c-o.nx], size[c-o.nx-1])
			}
		}
	}
	return size
}
