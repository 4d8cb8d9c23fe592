package mouldbook

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/draw"
	"laywright/internal/stage/mould/carve"
)

// atFoot is how high the widths at the foot are taken, m: just off the base, where a
// fillet has no end.
const atFoot = 0.5e-3

// mostHeights is how many columns of widths a page holds.
const mostHeights = 5

// offsets is the table of the widths of each station at several heights.
func (w *writer) offsets(across []carve.Template) {
	hs := w.tableHeights(across)
	columns := []draw.Column{{Head: "Station", Share: 1, Face: draw.Bold}, {Head: across[0].Axis, Share: 1}, {Head: "Height", Share: 1}}
	word := "height"
	if w.cavity() {
		columns[2].Head, word = "Depth", "depth"
	}
	for _, h := range hs {
		head := "at " + number(math.Abs(h))
		if math.Abs(h) <= atFoot {
			if head = "at the foot"; w.cavity() {
				head = "at the mouth"
			}
		}
		columns = append(columns, draw.Column{Head: head, Share: 2})
	}
	var rows [][]string
	for _, t := range across {
		row := []string{t.Name, number(float64(t.At)), number(float64(t.Height))}
		for _, h := range hs {
			left, right, ok := carve.Widths(t.Section, h)
			cell := "–"
			if ok {
				cell = number(left) + " to " + number(right)
			}
			row = append(row, cell)
		}
		rows = append(rows, row)
	}
	w.Lead(fmt.Sprintf("Widths in mm, from one side of the line %s = 0 to the other, at each %s from the base plane.", across[0].Across, word))
	w.Table(draw.Table{Columns: columns, Rows: rows, Size: draw.Small})
}

// tableHeights are the base, the boards' upper faces and, where these are few, round
// measures between.
func (w *writer) tableHeights(across []carve.Template) (out []float64) {
	top, sign := 0.0, 1.0
	for _, t := range across {
		top = max(top, float64(t.Height))
	}
	if w.cavity() {
		sign = -1
	}
	for k := range mostHeights {
		h := top * float64(k) / mostHeights
		out = append(out, sign*max(h, atFoot))
	}
	if s := w.build.Stack; s != nil && !w.cavity() && w.build.Boards >= 3 {
		out = []float64{atFoot}
		for _, b := range s.Boards {
			if b.Number > 0 && float64(b.Head) < top {
				out = append(out, float64(b.Head))
			}
		}
		for len(out) > mostHeights { // every other one
			out = slices.DeleteFunc(slices.Clone(out), func(h float64) bool { return slices.Index(out, h)%2 == 1 })
		}
	}
	return out
}

// templates is the list of what the shape is checked with.
func (w *writer) templates() {
	if len(w.build.Templates) == 0 {
		return
	}
	w.Heading("Templates")
	w.Lead("Sawn from thin plywood, hardboard or stiff card. The side that is drawn stands on the station.")
	var rows [][]string
	for _, t := range w.build.Templates {
		note := ""
		if t.Halves {
			note = "in two halves, pushed on from both sides"
		}
		size := boundsOf(t.Outline).Size()
		rows = append(rows, []string{"template-" + t.Name, t.Axis + " = " + number(float64(t.At)), "from " + t.From, number(size.X) + " × " + number(size.Y), note, draw.Tick})
	}
	w.Table(draw.Table{Columns: []draw.Column{{Head: "Drawing", Share: 2, Face: draw.Bold}, {Head: "At, mm", Share: 1.4}, {Head: "Seen", Share: 1.2}, {Head: "Size, mm", Share: 1.8}, {Head: "", Share: 3}, {Head: "Sawn", Share: 0.9, Align: draw.Centre}}, Rows: rows})
}

// gauges shows the radius gauges.
func (w *writer) gauges() {
	g := w.build.Gauges
	if len(g) == 0 {
		return
	}
	w.Heading("Gauges")
	w.Lead("One for each radius: the round end goes into the hollow, the hollow end over the edge.")
	const each, high = 4, 56
	for i := 0; i < len(g); i += each {
		for k, box := range draw.Split(w.Room(high), each, 5) {
			if i+k >= len(g) {
				break
			}
			one := g[i+k]
			room := box
			room.Min.Y += 8
			fit := draw.Fit(one.Outline.Bounds(), draw.Inset(room, 2))
			w.Draw(draw.Path{Points: fit.All(one.Outline), Closed: true, Fill: draw.Ground, Pen: draw.InkPen(draw.Medium)},
				draw.Text{At: r2.Vec{X: box.Center().X, Y: box.Min.Y + 6}, String: "gauge-" + one.Name, Size: draw.Small, Face: draw.Bold, Align: draw.Centre, Rise: draw.Below, Colour: draw.Ink},
				small(r2.Vec{X: box.Center().X, Y: box.Min.Y + 2.2}, "radius "+w.length(one.Radius), draw.Centre, draw.Below))
		}
	}
}
