package cutting

import (
	"fmt"
	"strings"

	"github.com/piglig/go-qr"
	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/draw"
	"laywright/internal/doc/pattern"
	"laywright/internal/job"
)

// label is what stands on one piece until it is laid.
type label struct {
	part  string // number and revision: "DN-21-004 rev A"
	title string // the part's name
	piece pattern.Piece
	from  string // the roll, where it has a name or a lot of its own
	copy  string // "2 of 4"; empty where there is one
}

// Measures of a page of labels, in mm.
const (
	labelMargin = 12
	labelGap    = 4
	labelCols   = 2
	labelRows   = 5
)

// mostLabels is the most labels that are drawn.
const mostLabels = 500

// Labels draws a label for every piece that is cut, in the order of cutting, ten to a
// page. The square code on it holds what [label.code] says. A plan with more than
// [mostLabels] pieces has one label for all copies of a piece.
func Labels(plan job.Plan, sheet draw.Sheet) (pages []draw.Page, err error) {
	all := labelsOf(plan)
	page := draw.NewPage("", sheet.W, sheet.H)
	wide := (sheet.W - 2*labelMargin - (labelCols-1)*labelGap) / labelCols
	high := (sheet.H - 2*labelMargin - (labelRows-1)*labelGap) / labelRows
	for i, l := range all {
		slot := i % (labelCols * labelRows)
		if slot == 0 {
			page = draw.NewPage(fmt.Sprintf("labels %d", i/(labelCols*labelRows)+1), sheet.W, sheet.H)
		}
		x := labelMargin + float64(slot%labelCols)*(wide+labelGap)
		y := sheet.H - labelMargin - float64(slot/labelCols)*(high+labelGap)
		items, err := l.draw(r2.NewBox(x, y-high, x+wide, y))
		if err != nil {
			return nil, err
		}
		page.Add(draw.Paper, items...)
		if slot == labelCols*labelRows-1 || i == len(all)-1 {
			pages = append(pages, *page)
		}
	}
	return pages, nil
}

// labelsOf are the labels of a plan's pieces: those on its rolls, or those of its
// plies where none is laid on a roll.
func labelsOf(plan job.Plan) (out []label) {
	part := plan.Job.Part
	if plan.Job.Revision != "" {
		part += " rev " + plan.Job.Revision
	}
	if plan.Job.Part == "" {
		part = plan.Job.Name
	}
	copies := map[string]int{}
	add := func(p pattern.Piece, from string) {
		copies[p.Name]++
		p.Part = ""
		out = append(out, label{part: part, title: plan.Job.Name, piece: p, from: from})
	}
	rolls := Rolls(plan)
	for _, r := range rolls {
		for _, x := range cuttingOrder(r.Pieces) {
			add(x.Laid(), r.From)
		}
	}
	if len(rolls) == 0 && plan.Plies != nil {
		for _, p := range plan.Plies.Plies {
			for _, piece := range p.AllPieces() {
				for range max(1, plan.Job.Quantity) {
					add(Piece(plan, p, piece), "")
				}
			}
		}
	}
	return counted(out, copies)
}

// counted tells copies of a piece apart, or takes them together where there are too
// many to label.
func counted(all []label, copies map[string]int) (out []label) {
	seen := map[string]int{}
	for _, l := range all {
		name := l.piece.Name
		seen[name]++
		n := copies[name]
		switch {
		case len(all) > mostLabels && seen[name] > 1:
			continue
		case len(all) > mostLabels && n > 1:
			l.copy = fmt.Sprintf("all %d", n)
		case n > 1:
			l.copy = fmt.Sprintf("%d of %d", seen[name], n)
		}
		out = append(out, l)
	}
	return out
}

// code is the text that the square code holds: part with revision, piece, ply and
// copy, in plain words.
func (l label) code() string {
	out := []string{l.part, "piece " + l.piece.Name}
	if l.piece.Ply > 0 {
		out = append(out, fmt.Sprintf("ply %d", l.piece.Ply))
	}
	if l.copy != "" {
		out = append(out, l.copy)
	}
	return strings.TrimPrefix(strings.Join(out, ", "), ", ")
}

// Measures of a label in mm; the code's cell is as wide as a telephone reads from a
// hand's breadth.
const (
	labelPad = 4
	codeSide = 28
)

// draw draws the label in a box.
func (l label) draw(box r2.Box) ([]draw.Item, error) {
	items := []draw.Item{draw.Rect(box, draw.Pen{Width: draw.Fine, Colour: draw.Faint, Dash: []float64{2, 1.5}}, 0)}
	square := r2.NewBox(box.Max.X-labelPad-codeSide, box.Max.Y-labelPad-codeSide, box.Max.X-labelPad, box.Max.Y-labelPad)
	code, err := codeIn(l.code(), square)
	if err != nil {
		return nil, err
	}
	items = append(items, code...)
	left, y := box.Min.X+labelPad, box.Max.Y-labelPad
	put := func(s string, face draw.Face, size float64, wide float64) {
		for _, line := range draw.Wrap(s, face, size, wide) {
			items = append(items, draw.Text{At: r2.Vec{X: left, Y: y}, String: line, Size: size, Face: face, Rise: draw.Below, Colour: draw.Ink})
			y -= draw.Leading(size)
		}
	}
	beside := square.Min.X - left - 2
	put(l.part, draw.Bold, draw.Body, beside)
	if l.title != "" && l.title != l.part {
		put(draw.Cropped(l.title, draw.Regular, draw.Body, beside), draw.Regular, draw.Body, beside)
	}
	y -= 1.5
	put(draw.Cropped(l.piece.Name, draw.Bold, 24, beside), draw.Bold, 24, beside)
	if l.copy != "" {
		put(l.copy, draw.Bold, draw.Body, beside)
	}
	y = min(y, square.Min.Y+codeSide/8)
	wide := box.Size().X - 2*labelPad
	says := l.piece.Says()
	if l.piece.Ply == 0 { // it tells its name alone
		says = says[1:]
	}
	for _, s := range says {
		if y > box.Min.Y+labelPad+2*draw.Leading(draw.Body) {
			put(draw.Cropped(s, draw.Regular, draw.Body, wide), draw.Regular, draw.Body, wide)
		}
	}
	return append(items, l.toFill(box)...), nil
}

// toFill is the line for what is known only at the table.
func (l label) toFill(box r2.Box) []draw.Item {
	at := r2.Vec{X: box.Min.X + labelPad, Y: box.Min.Y + labelPad}
	word := draw.Text{At: at, String: "lot", Size: draw.Body, Colour: draw.Soft}
	if l.from != "" {
		word.String = draw.Cropped(l.from, draw.Regular, draw.Body, box.Size().X/2)
	}
	mid := (box.Min.X + box.Max.X) / 2
	by := draw.Text{At: r2.Vec{X: mid + 3, Y: at.Y}, String: "cut by", Size: draw.Body, Colour: draw.Soft}
	pen := draw.Pen{Width: draw.Fine, Colour: draw.Soft}
	items := []draw.Item{word, by, draw.Line(pen, r2.Vec{X: by.Bounds().Max.X + 1, Y: at.Y}, r2.Vec{X: box.Max.X - labelPad, Y: at.Y})}
	if l.from == "" {
		items = append(items, draw.Line(pen, r2.Vec{X: word.Bounds().Max.X + 1, Y: at.Y}, r2.Vec{X: mid, Y: at.Y}))
	}
	return items
}

// quiet is the empty border that a reader of codes needs, in cells.
const quiet = 4

// codeIn draws a square code that fits a box with its border, as one dark shape for
// each run of cells; runs of neighbouring rows touch.
func codeIn(text string, box r2.Box) ([]draw.Item, error) {
	code, err := go_qr.EncodeText(text, go_qr.Medium)
	if err != nil {
		return nil, fmt.Errorf("labels: %q: %w", text, err)
	}
	n := code.Size()
	cell := box.Size().X / float64(n+2*quiet)
	const lap = 0.01 // mm: no hairline between rows
	var items []draw.Item
	for y := range n {
		top := box.Max.Y - float64(quiet+y)*cell
		for x := 0; x < n; x++ {
			from := x
			for x < n && code.Module(x, y) {
				x++
			}
			if x > from {
				left := box.Min.X + float64(quiet+from)*cell
				items = append(items, draw.Rect(r2.NewBox(left, top-cell-lap, left+float64(x-from)*cell, top), draw.Pen{}, draw.RGB(0, 0, 0)))
			}
		}
	}
	return items, nil
}
