package traveller

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
)

// Heights of the pictures of a ply, the gap between two, and what stands over
// and under them, in mm.
const (
	onMouldHigh = 74
	besideHigh  = 62
	besideGap   = 4
	keyGap      = 1.5
	tableGap    = 3  // what the flow leaves under a picture and a table
	headHigh    = 11 // of a heading on one line
	itemMark    = 7  // room of a step's number beside its words
)

// laying shows how each kind of ply goes down: what it looks like on the mould
// and flat, its numbers, the order of work, and a line to sign for each ply.
func (t *writer) laying() {
	if t.plan.Mould == nil || t.plan.Mould.Surface == nil {
		return
	}
	for _, k := range plydraw.Kinds(t.plan) {
		t.kind(k)
	}
	t.seams()
}

// kind is the sheet of one kind of ply. It stays on one page if one holds it.
func (t *writer) kind(k plydraw.Kind) {
	shear, strip := plydraw.Shear(t.plan, k), []plydraw.Picture{plydraw.Flat(t.plan, k)}
	if work, advised := plydraw.Work(t.plan, k); advised {
		strip = append([]plydraw.Picture{work}, strip...)
	}
	var steps []string
	high := headHigh + t.pictureHigh(onMouldHigh, shear) + t.pictureHigh(besideHigh, strip...) + shear.Table.Height(t.Width()) + tableGap
	for _, s := range k.Advice().Steps {
		steps = append(steps, sentence(s.What))
		high += float64(len(draw.Wrap(steps[len(steps)-1], draw.Regular, draw.Body, t.Width()-itemMark)))*draw.Leading(draw.Body) + 1
	}
	form := laidForm(k)
	t.Keep(high + form.Height(t.Width()))
	t.Heading(k.Label() + ": " + k.Cloth())
	t.picture(onMouldHigh, shear)
	t.picture(besideHigh, strip...)
	t.Table(shear.Table)
	for i, s := range steps {
		t.Item(fmt.Sprint(i+1), s)
	}
	t.Table(form)
}

// laidForm is a line to sign for each ply of a kind.
func laidForm(k plydraw.Kind) draw.Table {
	slits := "Slits lapped as drawn"
	if len(k.First.Seams) == 0 {
		slits = "Not slit"
	}
	form := draw.Table{MinRow: 8, Upright: true, Columns: []draw.Column{{Head: "Laid", Share: 1.2}, {Head: "Warp within 3° at the seed", Share: 2.3, Align: draw.Centre}, {Head: slits, Share: 2, Align: draw.Centre},
		{Head: "No bridge, pucker or dry place", Share: 2.5, Align: draw.Centre}, {Head: "By, time", Share: 2}}}
	for _, p := range k.Plies {
		form.Rows = append(form.Rows, []string{fmt.Sprintf("Ply %d", p.Number), draw.Tick, draw.Tick, draw.Tick, ""})
	}
	return form
}

// seams is the sheet of what all plies share: where their seams run and how
// thick they lie.
func (t *writer) seams() {
	if pic, any := plydraw.Seams(t.plan); any {
		t.Heading("Seams of all plies")
		t.picture(onMouldHigh, pic)
		if s := plydraw.Stagger(t.plan); s != "" {
			t.Lead(s)
		}
		t.Table(pic.Table)
	}
	if pic, any := plydraw.Stack(t.plan); any {
		t.Heading(pic.Caption)
		t.picture(onMouldHigh, pic)
		t.Table(pic.Table)
	}
}

// pictureHigh is the room of pictures side by side with their keys, in mm.
func (t *writer) pictureHigh(high float64, pics ...plydraw.Picture) float64 {
	most := 0
	for _, p := range pics {
		most = max(most, len(p.KeyLines(t.wide(len(pics)))))
	}
	return high + keyGap + float64(most)*draw.Leading(draw.Small) + tableGap
}

// wide is the width of one of n pictures side by side.
func (t *writer) wide(n int) float64 { return (t.Width() - besideGap*float64(n-1)) / float64(n) }

// picture draws pictures side by side, each on its ground with its key under it.
func (t *writer) picture(high float64, pics ...plydraw.Picture) {
	strip := t.Room(t.pictureHigh(high, pics...) - tableGap)
	for i, box := range draw.Split(strip, len(pics), besideGap) {
		frame := r2.NewBox(box.Min.X, box.Max.Y-high, box.Max.X, box.Max.Y)
		t.Draw(draw.Rect(frame, draw.Pen{}, draw.Ground))
		t.Draw(pics[i].Draw(draw.Inset(frame, 2))...)
		y := frame.Min.Y - keyGap
		for _, line := range pics[i].KeyLines(box.Size().X) {
			t.Draw(draw.Text{At: r2.Vec{X: box.Min.X, Y: y}, String: line, Size: draw.Small, Rise: draw.Below, Colour: draw.Soft})
			y -= draw.Leading(draw.Small)
		}
	}
}
