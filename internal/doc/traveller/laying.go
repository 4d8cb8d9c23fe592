package traveller

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
)

// Measures of the sheet of a kind of ply, in mm.
const (
	onMouldMost, onMouldLeast = 74, 40 // height of the picture on the mould
	besideMost, besideLeast   = 66, 38 // of the pictures under it
	besideGap                 = 4      // between two pictures
	noteGap                   = 1.5    // over a picture's note
	blockGap                  = 3      // what the flow leaves under a picture and a table
	headHigh                  = 11     // of a heading on one line
	itemMark                  = 7      // room of a step's number beside its words
)

// laying shows how each kind of ply goes down: what it looks like on the mould
// and flat, its numbers, the order of work, and a line to sign for each ply.
func (t *writer) laying() {
	for i, k := range t.album.Kinds() {
		t.kind(k, i == 0)
	}
	t.seams()
}

// kind is the sheet of one kind of ply: a page, with its pictures as high as the
// words leave room for; where they leave too little, the order of work goes over
// to the next page. The first sheet says what signs mean.
func (t *writer) kind(k plydraw.Kind, first bool) {
	shear, strip := t.album.Shear(k), []plydraw.Picture{t.album.Flat(k)}
	if work, advised := t.album.Work(k); advised {
		strip = append([]plydraw.Picture{work}, strip...)
	}
	var keys []string
	if first {
		keys = t.keys(append([]plydraw.Picture{shear}, strip...))
	}
	over := headHigh + pictureExtra(shear) + pictureExtra(strip...) + shear.Table.Height(t.Width()) + blockGap + smallHigh(keys)
	steps, form := orderOf(k), t.laidForm(k)
	under := t.stepsHigh(steps) + form.Height(t.Width()) + blockGap
	high, low := float64(onMouldMost), float64(besideMost)
	if rest := t.page - over - under; rest >= onMouldLeast+besideLeast {
		high = min(max(rest*onMouldMost/(onMouldMost+besideMost), onMouldLeast), onMouldMost)
		low = min(rest-high, besideMost)
		t.Keep(over + high + low + under)
	} else {
		t.Keep(over + high + low)
	}
	t.Heading(k.Label() + ": " + k.Cloth())
	t.picture(high, shear)
	t.picture(low, strip...)
	t.small(keys)
	t.Table(shear.Table)
	t.Keep(under)
	for i, s := range steps {
		t.Item(fmt.Sprint(i+1), s)
	}
	t.Table(form)
}

// orderOf is the order of work in sentences.
func orderOf(k plydraw.Kind) (out []string) {
	for _, s := range k.Advice().Steps {
		out = append(out, plydraw.Sentence(s.What))
	}
	return out
}

// stepsHigh is the room of the order of work, in mm.
func (t *writer) stepsHigh(steps []string) (sum float64) {
	for _, s := range steps {
		sum += float64(len(draw.Wrap(s, draw.Regular, draw.Body, t.Width()-itemMark)))*draw.Leading(draw.Body) + 1
	}
	return sum
}

// keys says what the signs of pictures mean, in small lines.
func (t *writer) keys(pics []plydraw.Picture) (out []string) {
	for _, p := range pics {
		out = append(out, draw.Wrap(p.Sort+": "+p.Key, draw.Regular, draw.Small, t.Width())...)
	}
	return out
}

// small writes small lines.
func (t *writer) small(lines []string) {
	if len(lines) == 0 {
		return
	}
	box := t.Room(float64(len(lines)) * draw.Leading(draw.Small))
	for i, s := range lines {
		t.Draw(draw.Text{At: r2.Vec{X: box.Min.X, Y: box.Max.Y - float64(i)*draw.Leading(draw.Small)}, String: s, Size: draw.Small, Rise: draw.Below, Colour: draw.Soft})
	}
}

// smallHigh is the room of small lines, in mm.
func smallHigh(lines []string) float64 {
	if len(lines) == 0 {
		return 0
	}
	return float64(len(lines))*draw.Leading(draw.Small) + blockGap
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
	if pic, any := t.album.Seams(); any {
		t.Heading(pic.Caption)
		t.picture(onMouldMost, pic)
		t.Para(pic.Key)
		if s := t.album.Stagger(); s != "" {
			t.Lead(s)
		}
		t.Table(pic.Table)
	}
	if pic, any := t.album.Stack(); any {
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
