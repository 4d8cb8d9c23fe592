package pattern

import (
	"strconv"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/draw"
)

// A diamond is jointHalf millimetres from its middle to each corner: as large
// as the band lets both pages show whole.
const jointHalf = 4

// seamPen draws the line in the middle of a shared band.
func seamPen() draw.Pen { return draw.Pen{Width: 0.2, Colour: draw.Soft, Dash: []float64{3, 2}} }

// joints draws the seams of one page with its neighbours, in the art's axes. A
// page and its neighbour draw the same seam at the same place.
func (t *tiling) joints(r, c int) []draw.Item {
	w := t.window(r, c)
	var items []draw.Item
	half := float64(tileBand) / 2
	if t.has(r, c-1) {
		items = append(items, t.seam(r, c-1, true, r2.Vec{X: w.Min.X + half, Y: w.Min.Y}, r2.Vec{X: w.Min.X + half, Y: w.Max.Y})...)
	}
	if t.has(r, c+1) {
		items = append(items, t.seam(r, c, true, r2.Vec{X: w.Max.X - half, Y: w.Min.Y}, r2.Vec{X: w.Max.X - half, Y: w.Max.Y})...)
	}
	if t.has(r-1, c) {
		items = append(items, t.seam(r-1, c, false, r2.Vec{X: w.Min.X, Y: w.Max.Y - half}, r2.Vec{X: w.Max.X, Y: w.Max.Y - half})...)
	}
	if t.has(r+1, c) {
		items = append(items, t.seam(r, c, false, r2.Vec{X: w.Min.X, Y: w.Min.Y + half}, r2.Vec{X: w.Max.X, Y: w.Min.Y + half})...)
	}
	return items
}

// seam draws the dashed line with a lettered diamond at a quarter and at three
// quarters of its length.
func (t *tiling) seam(r, c int, upright bool, a, b r2.Vec) []draw.Item {
	items := []draw.Item{draw.Line(seamPen(), a, b)}
	for i, share := range [...]float64{0.25, 0.75} {
		at := r2.Add(a, r2.Scale(share, r2.Sub(b, a)))
		d := func(x, y float64) r2.Vec { return r2.Add(at, r2.Vec{X: x * jointHalf, Y: y * jointHalf}) }
		items = append(items,
			draw.Path{Points: []r2.Vec{d(1, 0), d(0, 1), d(-1, 0), d(0, -1)}, Closed: true, Pen: draw.InkPen(draw.Fine)},
			draw.Line(draw.InkPen(draw.Fine), d(-1, 0), d(1, 0)),
			draw.Line(draw.InkPen(draw.Fine), d(0, -1), d(0, 1)),
			draw.Text{At: d(0, 1.3), String: t.seamName(r, c, upright) + strconv.Itoa(i+1), Size: 10, Face: draw.Bold, Align: draw.Centre, Colour: draw.Ink})
		if !upright { // beside the diamond, inside the band
			items[len(items)-1] = draw.Text{At: d(1.4, 0), String: t.seamName(r, c, upright) + strconv.Itoa(i+1), Size: 10, Face: draw.Bold, Rise: draw.MidHeight, Colour: draw.Ink}
		}
	}
	return items
}

// seamName letters the seam to the right of, or below, page r, c. Letters run
// through the pages row by row, so that two seams never share one.
func (t *tiling) seamName(r, c int, upright bool) string {
	n := 0
	for i := range t.rows {
		for j := range t.cols {
			for _, side := range [...]bool{true, false} {
				if i == r && j == c && side == upright {
					return letters(n)
				}
				if next := t.has(i, j+1) && side || t.has(i+1, j) && !side; t.has(i, j) && next {
					n++
				}
			}
		}
	}
	return ""
}

// letters counts A, B, ... Z, AA, AB, ...
func letters(n int) string {
	s := ""
	for n++; n > 0; n = (n - 1) / 26 {
		s = string(rune('A'+(n-1)%26)) + s
	}
	return s
}
