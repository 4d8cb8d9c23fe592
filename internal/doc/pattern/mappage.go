package pattern

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/draw"
)

// howTo is written on the map page, in the order of doing.
func howTo(goods string) []string {
	return []string{
		"Print every page at 100 % (actual size), never fitted to the page. Measure the check square.",
		"Cut each page along a dashed line, lay it on the same dashed line of its neighbour and tape: diamonds with the same letter and number must fall together.",
		"Measure the check square again, and the longest side, before the " + goods + " is cut.",
	}
}

// mapPage is the first page: what the piece is, how the pages lie, how they are
// joined, and the check square. It is drawn on a sheet of its own size.
func (t *tiling) mapPage(sheet draw.Sheet) draw.Page {
	pg := draw.NewPage("map", sheet.W, sheet.H)
	area := draw.Inset(pg.Box(), tileMargin+4)
	y := area.Max.Y
	put := func(s string, face draw.Face, size, gap float64) {
		for _, line := range draw.Wrap(s, face, size, area.Size().X) {
			pg.Add(draw.Paper, draw.Text{At: r2.Vec{X: area.Min.X, Y: y}, String: line, Size: size, Face: face, Rise: draw.Below, Colour: draw.Ink})
			y -= draw.Leading(size)
		}
		y -= gap
	}
	put(t.head, draw.Bold, draw.Title, 1)
	for _, s := range t.facts {
		if s != t.head {
			put(s, draw.Regular, 11, 0)
		}
	}
	size := t.size()
	put(fmt.Sprintf("%.0f x %.0f mm · %d pages of %s", size.X, size.Y, t.count(), t.paper.Name), draw.Regular, 11, 2)
	for i, s := range howTo(t.goods) {
		put(fmt.Sprintf("%d. %s", i+1, s), draw.Regular, draw.Shop, 0.6)
	}
	for _, s := range t.legend {
		put(s, draw.Regular, draw.Shop, 0.6)
	}
	for _, s := range t.notes {
		put(s, draw.Bold, draw.Shop, 0.6)
	}
	pg.Add(draw.Words, checkSquare(area.Min, checkSide)...)
	room := r2.Box{Min: r2.Vec{X: area.Min.X, Y: area.Min.Y + checkSide + 6}, Max: r2.Vec{X: area.Max.X, Y: y - 3}}
	beside := r2.Box{Min: r2.Vec{X: area.Min.X + checkSide + 8, Y: area.Min.Y}, Max: room.Max}
	if draw.Fit(t.whole(), beside).Scale() > draw.Fit(t.whole(), room).Scale() {
		room = beside
	}
	pg.Add(draw.Paper, t.tileMap(room)...)
	return *pg
}

// whole is the box of all pages joined, in the art's axes.
func (t *tiling) whole() r2.Box {
	return r2.Box{Min: t.window(t.rows-1, 0).Min, Max: t.window(0, t.cols-1).Max}
}

func (t *tiling) count() int {
	n := 0
	for _, u := range t.used {
		if u {
			n++
		}
	}
	return n
}

// tileMap draws the piece small with the pages over it, each with its row and
// column; pages that are not printed are washed out.
func (t *tiling) tileMap(room r2.Box) []draw.Item {
	fit := draw.Fit(t.whole(), room)
	var items []draw.Item
	for r := range t.rows {
		for c := range t.cols {
			w := t.window(r, c)
			half := r2.Vec{X: tileBand / 2.0, Y: tileBand / 2.0}
			cell := draw.Rect(r2.Box{Min: r2.Add(w.Min, half), Max: r2.Sub(w.Max, half)}, draw.Pen{Width: draw.Fine, Colour: draw.Soft}, 0)
			if !t.has(r, c) {
				cell.Fill = draw.Wash
			}
			items = append(items, cell.Moved(fit))
		}
	}
	for _, o := range t.outlines {
		items = append(items, draw.Path{Points: fit.All(o), Closed: true, Pen: draw.InkPen(draw.Medium)})
	}
	for r := range t.rows {
		for c := range t.cols {
			items = append(items, t.cellName(r, c, fit)...)
		}
	}
	return items
}

// cellName labels a page on the map: "2 | 3" is row 2, column 3.
func (t *tiling) cellName(r, c int, fit draw.Affine) []draw.Item {
	name := fmt.Sprintf("%d | %d", r+1, c+1)
	if !t.has(r, c) {
		name = "not used"
	}
	w := t.window(r, c)
	if draw.Width(name, draw.Bold, draw.Small) > fit.Scale()*t.step().X-1 {
		return nil // the cell is too small to write in; its place tells
	}
	size := draw.Small
	for size < 12 && draw.Width(name, draw.Bold, size+1) < fit.Scale()*t.step().X*0.6 {
		size++
	}
	return []draw.Item{draw.Text{At: fit.Do(w.Center()), String: name, Size: size, Face: draw.Bold, Align: draw.Centre, Rise: draw.MidHeight, Colour: draw.Soft}}
}
