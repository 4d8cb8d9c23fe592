package draw

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// Tick in a table cell draws an empty square to be ticked by hand.
const Tick = "\uFFFC"

// tickSide is the side of the square to tick, in mm.
const tickSide = 3.6

// Column is one column of a table.
type Column struct {
	Head  string
	Share float64 // its part of the table's width, relative to the other columns'
	Align Align
	Face  Face
}

// Table is rows of words under a head. Cells wrap; a row is as high as its
// highest cell.
type Table struct {
	Columns []Column
	Rows    [][]string
	Size    float64 // points; 0: Body
	MinRow  float64 // least height of a row in mm, for writing by hand
	Upright bool    // draw lines between the columns: a form to fill in
}

// Filled leaves out the columns that no row fills.
func (t Table) Filled() Table {
	out := t
	out.Columns, out.Rows = nil, make([][]string, len(t.Rows))
	for c, column := range t.Columns {
		if !slices.ContainsFunc(t.Rows, func(r []string) bool { return c < len(r) && r[c] != "" }) {
			continue
		}
		out.Columns = append(out.Columns, column)
		for i, r := range t.Rows {
			out.Rows[i] = append(out.Rows[i], r[c])
		}
	}
	return out
}

// cell padding in mm, and line spacing as a share of the size.
const (
	padX    = 1.6
	padY    = 1.3
	leading = 1.32
)

// Leading is the distance between base lines in mm at a size in points.
func Leading(size float64) float64 { return leading * size * Point }

func (t Table) size() float64 {
	if t.Size == 0 {
		return Body
	}
	return t.Size
}

// widths shares the width out to the columns.
func (t Table) widths(total float64) []float64 {
	sum := 0.0
	for _, c := range t.Columns {
		sum += c.Share
	}
	out := make([]float64, len(t.Columns))
	for i, c := range t.Columns {
		if sum > 0 {
			out[i] = total * c.Share / sum
		} else {
			out[i] = total / float64(len(t.Columns))
		}
	}
	return out
}

// row is one row broken into lines.
type row struct {
	cells  [][]string
	height float64
	head   bool
}

func (t Table) layRow(cells []string, widths []float64, head bool) row {
	r := row{head: head}
	lines := 1
	for i, w := range widths {
		s := ""
		if i < len(cells) {
			s = cells[i]
		}
		face := t.Columns[i].Face
		if head {
			face = Bold
		}
		cell := []string{s}
		if s != Tick {
			cell = Wrap(s, face, t.size(), w-2*padX)
		}
		r.cells = append(r.cells, cell)
		lines = max(lines, len(cell))
	}
	r.height = float64(lines-1)*Leading(t.size()) + CapHeight(t.size()) + 2*padY + 1
	if !head {
		r.height = max(r.height, t.MinRow)
	}
	return r
}

// drawRow draws one row whose top left corner is at.
func (t Table) drawRow(r row, widths []float64, at r2.Vec) []Item {
	total := 0.0
	for _, w := range widths {
		total += w
	}
	box := r2.NewBox(at.X, at.Y-r.height, at.X+total, at.Y)
	var items []Item
	if r.head {
		items = append(items, Rect(box, Pen{}, Wash))
	}
	x := at.X
	for i, w := range widths {
		items = append(items, t.drawCell(r, i, r2.NewBox(x, box.Min.Y, x+w, box.Max.Y))...)
		x += w
		if t.Upright && i+1 < len(widths) {
			items = append(items, Line(Pen{Width: Fine, Colour: Faint}, r2.Vec{X: x, Y: box.Min.Y}, r2.Vec{X: x, Y: box.Max.Y}))
		}
	}
	pen := Pen{Width: Fine, Colour: Faint}
	if r.head {
		pen = Pen{Width: Medium, Colour: Soft}
	}
	return append(items, Line(pen, box.Min, r2.Vec{X: box.Max.X, Y: box.Min.Y}))
}

func (t Table) drawCell(r row, i int, box r2.Box) []Item {
	c := t.Columns[i]
	face := c.Face
	if r.head {
		face = Bold
	}
	x := box.Min.X + padX + (box.Size().X-2*padX)*float64(c.Align)/2
	y := box.Max.Y - padY - 0.5
	var items []Item
	for _, s := range r.cells[i] {
		if s == Tick {
			left := x - tickSide*float64(c.Align)/2
			mid := box.Center().Y
			items = append(items, Rect(r2.NewBox(left, mid-tickSide/2, left+tickSide, mid+tickSide/2), InkPen(Medium), 0))
			continue
		}
		items = append(items, Text{At: r2.Vec{X: x, Y: y}, String: s, Size: t.size(), Face: face, Align: c.Align, Rise: Below, Colour: Ink})
		y -= Leading(t.size())
	}
	return items
}

// Height is the room the whole table needs at a width, both in mm.
func (t Table) Height(width float64) float64 {
	widths, h := t.widths(width), 0.0
	for _, r := range t.laid(widths) {
		h += r.height
	}
	return h
}

// laid breaks head and rows into lines.
func (t Table) laid(widths []float64) []row {
	var out []row
	if t.hasHead() {
		heads := make([]string, len(t.Columns))
		for i, c := range t.Columns {
			heads[i] = c.Head
		}
		out = append(out, t.layRow(heads, widths, true))
	}
	for _, cells := range t.Rows {
		out = append(out, t.layRow(cells, widths, false))
	}
	return out
}

func (t Table) hasHead() bool {
	for _, c := range t.Columns {
		if c.Head != "" {
			return true
		}
	}
	return false
}

// Draw draws the table with its top left corner at the point, on one page.
func (t Table) Draw(at r2.Vec, width float64) []Item {
	widths := t.widths(width)
	var items []Item
	for _, r := range t.laid(widths) {
		items = append(items, t.drawRow(r, widths, at)...)
		at.Y -= r.height
	}
	return items
}
