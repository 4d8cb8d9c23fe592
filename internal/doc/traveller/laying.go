package traveller

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
)

// Measures of the sheet of a kind of ply, in mm.
const (
	onMouldMost, onMouldLeast = 74, 52 // height of the picture on the mould
	besideMost, besideLeast   = 66, 46 // of the pictures under it
	besideGap                 = 4      // between two pictures
	noteGap                   = 1.5    // over a picture's note
	blockGap                  = 3      // what the flow leaves under a picture and a table
	headHigh                  = 11     // of a heading on one line
	itemMark                  = 7      // room of a step's number beside its words
)

// laying shows how each kind of ply goes down: what it looks like on the mould
// and flat, its numbers, the order of work, and a line to sign for each ply.
func (t *writer) laying() {
	if t.plan.Mould == nil || t.plan.Mould.Surface == nil {
		return
	}
	for i, k := range plydraw.Kinds(t.plan) {
		if i == 0 {
			t.signs(k)
		}
		t.kind(k)
	}
	t.seams()
}

// signs says once what lines and signs mean.
func (t *writer) signs(k plydraw.Kind) {
	t.Heading("How to read the pictures of the plies")
	t.Item("–", "On the mould. "+plydraw.Shear(t.plan, k).Key)
	if work, advised := plydraw.Work(t.plan, k); advised {
		t.Item("–", "Order of work. "+work.Key)
	}
	t.Item("–", "Laid flat. "+plydraw.Flat(t.plan, k).Key)
	t.Space(blockGap)
}

// kind is the sheet of one kind of ply: a page, with its pictures as high as the
// words leave room for.
func (t *writer) kind(k plydraw.Kind) {
	shear, strip := plydraw.Shear(t.plan, k), []plydraw.Picture{plydraw.Flat(t.plan, k)}
	if work, advised := plydraw.Work(t.plan, k); advised {
		strip = append([]plydraw.Picture{work}, strip...)
	}
	form := t.laidForm(k)
	words := headHigh + shear.Table.Height(t.Width()) + form.Height(t.Width()) + 2*blockGap
	var steps []string
	for _, s := range k.Advice().Steps {
		steps = append(steps, sentence(s.What))
		words += float64(len(draw.Wrap(sentence(s.What), draw.Regular, draw.Body, t.Width()-itemMark)))*draw.Leading(draw.Body) + 1
	}
	rest := t.page - words - pictureExtra(shear) - pictureExtra(strip...)
	high := min(max(rest*onMouldMost/(onMouldMost+besideMost), onMouldLeast), onMouldMost)
	low := min(max(rest-high, besideLeast), besideMost)
	t.Keep(min(t.page, words+high+low+pictureExtra(shear)+pictureExtra(strip...)))
	t.Heading(k.Label() + ": " + k.Cloth())
	t.picture(high, shear)
	t.picture(low, strip...)
	t.Table(shear.Table)
	for i, s := range steps {
		t.Item(fmt.Sprint(i+1), s)
	}
	t.Table(form)
}

// laidForm is a line to sign for each ply of a kind.
func (t *writer) laidForm(k plydraw.Kind) draw.Table {
	checks := []string{"Warp within " + t.tolerance(), "No bridge, no pucker"}
	if len(k.First.Seams) > 0 {
		checks = append(checks, "Slits lapped")
	}
	form := draw.Table{MinRow: 8, Upright: true, Columns: []draw.Column{{Head: "Laid", Share: 1.2}}}
	for _, c := range checks {
		form.Columns = append(form.Columns, draw.Column{Head: c, Share: 2, Align: draw.Centre})
	}
	form.Columns = append(form.Columns, draw.Column{Head: "By, time", Share: 2.2})
	for _, p := range k.Plies {
		row := []string{fmt.Sprintf("Ply %d", p.Number)}
		for range checks {
			row = append(row, draw.Tick)
		}
		form.Rows = append(form.Rows, append(row, ""))
	}
	return form
}

// tolerance is how far a yarn may be off its direction; 3° is common practice.
func (t *writer) tolerance() string {
	if s := t.plan.Spec.Plies; s != nil && s.Tolerance != nil {
		return draw.Short(s.Tolerance.Degrees()) + "°"
	}
	return "3°"
}

// seams is the sheet of what all plies share: where their seams run and how
// thick they lie.
func (t *writer) seams() {
	if pic, any := plydraw.Seams(t.plan); any {
		t.Heading(pic.Caption)
		t.picture(onMouldMost, pic)
		t.Para(pic.Key)
		if s := plydraw.Stagger(t.plan); s != "" {
			t.Lead(s)
		}
		t.Table(pic.Table)
	}
	if pic, any := plydraw.Stack(t.plan); any {
		t.Keep(headHigh + onMouldMost + pictureExtra(pic) + pic.Table.Height(t.Width()) + 2*draw.Leading(draw.Body))
		t.Heading(pic.Caption)
		t.picture(onMouldMost, pic)
		t.Lead(pic.Key)
		t.Table(pic.Table)
	}
}

// pictureExtra is what pictures side by side need under them for their notes, in mm.
func pictureExtra(pics ...plydraw.Picture) float64 {
	for _, p := range pics {
		if p.Note != "" {
			return noteGap + draw.Leading(draw.Small) + blockGap
		}
	}
	return blockGap
}

// picture draws pictures side by side, each on its ground with its note under it.
func (t *writer) picture(high float64, pics ...plydraw.Picture) {
	strip := t.Room(high + pictureExtra(pics...) - blockGap)
	for i, box := range draw.Split(strip, len(pics), besideGap) {
		frame := r2.NewBox(box.Min.X, box.Max.Y-high, box.Max.X, box.Max.Y)
		t.Draw(draw.Rect(frame, draw.Pen{}, draw.Ground))
		t.Draw(pics[i].Draw(draw.Inset(frame, 2))...)
		if note := pics[i].Note; note != "" {
			t.Draw(draw.Text{At: r2.Vec{X: box.Min.X, Y: frame.Min.Y - noteGap}, String: draw.Cropped(note, draw.Regular, draw.Small, box.Size().X), Size: draw.Small, Rise: draw.Below, Colour: draw.Soft})
		}
	}
}
