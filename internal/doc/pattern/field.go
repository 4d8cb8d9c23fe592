package pattern

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/doc/draw"
)

// field finds free places on a piece for threads and words. Millimetres.
type field struct {
	outline geom.Polygon
	free    *occupancy
	spot    r2.Vec // the roomiest place, off the border and all marks
}

// fieldCells is how finely a piece is looked at along its longer side, and
// leastCell the finest cell in mm: a third of the smallest letter.
const (
	fieldCells = 300
	leastCell  = 0.5
)

func newField(outline geom.Polygon, items []draw.Item) *field {
	box := outline.Bounds()
	size := box.Size()
	f := &field{outline: outline, free: newOccupancy(box, max(leastCell, max(size.X, size.Y)/fieldCells))}
	f.free.fill(outline, false)
	f.free.line(outline, true)
	f.free.block(items)
	f.spot = f.free.roomiest(outline.Centroid())
	return f
}

// reach is how far one can go from a point inside before meeting the border.
func (f *field) reach(from, dir r2.Vec) float64 {
	best := math.Inf(1)
	for i, a := range f.outline {
		b := f.outline[(i+1)%len(f.outline)]
		e := r2.Sub(b, a)
		det := r2.Cross(dir, e)
		if det == 0 {
			continue
		}
		w := r2.Sub(a, from)
		if s, t := r2.Cross(w, e)/det, r2.Cross(w, dir)/det; s > 0 && 0 <= t && t <= 1 {
			best = min(best, s)
		}
	}
	if math.IsInf(best, 1) {
		return 0
	}
	return best
}

// labelClear is kept free round the label in mm.
const labelClear = 2.5

// label writes the first of several choices of words that fits on the piece, as near
// to a place as may be. A piece too small for its name carries no words; its sheet
// names it.
func (f *field) label(choices [][]string, near r2.Vec) []draw.Item {
	for _, facts := range choices {
		for _, size := range [...]float64{16, 13, 11, 10} { // smaller is hard to read on the bench
			w, h := blockSize(facts, size)
			if mid, ok := f.free.nearest(w+2*labelClear, h+2*labelClear, near); ok {
				return lines(facts, size, r2.Add(mid, r2.Vec{Y: h / 2}), draw.Centre)
			}
		}
	}
	return nil
}

// blockSize is the width and height of lines of words.
func blockSize(facts []string, size float64) (w, h float64) {
	for _, s := range facts {
		w = max(w, draw.Width(s, draw.Bold, size))
	}
	return w, float64(len(facts)-1)*draw.Leading(size) + draw.CapHeight(size)
}

// lines writes words under one another from the top; the first is bold.
func lines(facts []string, size float64, top r2.Vec, align draw.Align) []draw.Item {
	var items []draw.Item
	for i, s := range facts {
		t := draw.Text{At: top, String: s, Size: size, Align: align, Rise: draw.Below, Colour: draw.Ink}
		if i == 0 {
			t.Face = draw.Bold
		}
		items = append(items, t)
		top.Y -= draw.Leading(size)
	}
	return items
}

// markSize is the size of a mark's word in points.
const markSize = 10

// beside writes a mark's word at the free place nearest to its middle, and
// notes the place. Where the piece has no room it stands on the mark's end.
func (f *field) beside(pts []r2.Vec, label string) []draw.Item {
	if label == "" || len(pts) == 0 {
		return nil
	}
	w, h := blockSize([]string{label}, markSize)
	at, ok := f.free.nearest(w+1, h+1, pts[len(pts)/2])
	if !ok {
		at = pts[len(pts)-1]
	}
	items := []draw.Item{draw.Text{At: at, String: label, Size: markSize, Align: draw.Centre, Rise: draw.MidHeight, Colour: draw.Ink}}
	f.free.block(items)
	return items
}
