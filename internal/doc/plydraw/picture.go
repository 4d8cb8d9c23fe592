package plydraw

import (
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/draw"
	"laywright/internal/job"
)

// Picture is one drawing with what its lines mean and its numbers as a table.
type Picture struct {
	Name    string  // short and stable: "ply-01-shear"
	Caption string  // one line
	Sort    string  // "On the mould"
	Note    string  // what holds for this picture alone: one short line
	Key     string  // what lines and signs mean in every picture of its sort
	Aspect  float64 // height against width that suits it, key left out
	Table   draw.Table

	draw func(r2.Box) []draw.Item
}

// Draw draws the picture as large as fits the box, without caption, key and
// table.
func (p Picture) Draw(box r2.Box) []draw.Item { return p.draw(box) }

// Measures of a picture alone on its page, in mm.
const (
	pageWide   = 180
	pageMargin = 8
	captionGap = 3
)

// Page is the picture alone on a page as high as it needs.
func (p Picture) Page() draw.Page {
	const wide = pageWide - 2*pageMargin
	lines := p.underLines(wide)
	picture := wide * p.Aspect
	table := p.Table.Height(wide)
	words := float64(len(lines)) * draw.Leading(draw.Small)
	high := 2*pageMargin + draw.Leading(draw.Head) + captionGap + picture + captionGap + words + captionGap + table
	pg := draw.NewPage(p.Caption, pageWide, high)
	y := high - pageMargin
	pg.Add(draw.Paper, draw.Text{At: r2.Vec{X: pageMargin, Y: y}, String: draw.Cropped(p.Caption, draw.Bold, draw.Head, wide), Size: draw.Head, Face: draw.Bold, Rise: draw.Below, Colour: draw.Ink})
	y -= draw.Leading(draw.Head) + captionGap
	box := r2.NewBox(pageMargin, y-picture, pageWide-pageMargin, y)
	pg.Add(draw.Paper, draw.Rect(box, draw.Pen{}, draw.Ground))
	pg.Add(draw.Paper, p.Draw(draw.Inset(box, 2))...)
	y -= picture + captionGap
	for _, line := range lines {
		pg.Add(draw.Paper, draw.Text{At: r2.Vec{X: pageMargin, Y: y}, String: line, Size: draw.Small, Rise: draw.Below, Colour: draw.Soft})
		y -= draw.Leading(draw.Small)
	}
	pg.Add(draw.Paper, p.Table.Draw(r2.Vec{X: pageMargin, Y: y - captionGap}, wide)...)
	return *pg
}

// underLines are the note and the key wrapped to a width in mm.
func (p Picture) underLines(wide float64) []string {
	return draw.Wrap(strings.TrimSpace(p.Note+" "+p.Key), draw.Regular, draw.Small, wide)
}

// Pages is every picture of the plan on a page of its own.
func Pages(p job.Plan) (out []draw.Page) {
	for _, pic := range Open(p).All() {
		out = append(out, pic.Page())
	}
	return out
}
