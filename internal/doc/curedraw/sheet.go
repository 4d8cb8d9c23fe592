package curedraw

import (
	"math"

	"laywright/internal/base/resin"
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
	"laywright/internal/job"

	"gonum.org/v1/gonum/spatial/r2"
)

// Spans of the scales on which the law is set beside the sheet: times from half to
// twice the sheet's, glass transitions from so many kelvins under it to over it.
const (
	timesSpan   = 2.0
	degreesSpan = 20.0
)

// sheet draws a row for each number of the data sheet: the law's own, to the left
// of the middle where it is less. The wash is what each kind can bear.
func sheet(p job.Plan) plydraw.Picture {
	w, fit := wordsOf(p), p.Cure.Fit
	rows := fit.Readings
	high := aspect * min(1, (float64(len(rows))+3)/12)
	return plydraw.Drawn(plydraw.Picture{Name: "cure-sheet", Caption: "The resin's law beside its data sheet", Aspect: high, Table: w.readings(fit),
		Note: "A dot on the middle line meets the sheet's number. The shaded band is a quarter of a time, or " + w.apart(8, 0) + " of a glass transition: makers' ways of measuring differ by that much."},
		func(box r2.Box) []draw.Item { return w.rows(rows, box) })
}

// place is where the law's number lies from the sheet's, −1 to 1 on the scale of
// its kind, and where the ends of the bearable lie.
func place(r resin.Reading) (at, low, high float64) {
	if r.Unit == "degC" {
		return (r.Model - r.Sheet) / degreesSpan, -8 / degreesSpan, 8 / degreesSpan
	}
	bear := math.Log(1.25) / math.Log(timesSpan)
	return math.Log(r.Model/r.Sheet) / math.Log(timesSpan), -bear, bear
}

func (w words) rows(rows []resin.Reading, box r2.Box) (out []draw.Item) {
	const words = 62.0 // mm for the names
	left, right := box.Min.X+words, box.Max.X-3
	middle, half := (left+right)/2, (right-left)/2
	each := (box.Size().Y - 5) / float64(len(rows))
	out = append(out, label(left, box.Max.Y, "half the time, "+w.apart(-degreesSpan, 0), draw.Start), label(middle, box.Max.Y, "as the sheet", draw.Centre), label(right, box.Max.Y, "twice, +"+w.apart(degreesSpan, 0), draw.End))
	for i, r := range rows {
		y := box.Max.Y - 5 - (float64(i)+0.5)*each
		at, low, high := place(r)
		out = append(out, draw.Rect(r2.NewBox(middle+low*half, y-each*0.32, middle+high*half, y+each*0.32), draw.Pen{}, draw.Wash))
		out = append(out, draw.Line(draw.Pen{Width: draw.Fine, Colour: draw.Faint}, r2.Vec{X: left, Y: y}, r2.Vec{X: right, Y: y}),
			draw.Line(draw.Pen{Width: draw.Medium, Colour: draw.Soft}, r2.Vec{X: middle, Y: y - each/2}, r2.Vec{X: middle, Y: y + each/2}))
		colour := draw.Ink
		if r.Off() {
			colour = draw.Accent
		}
		out = append(out, draw.Circle{At: r2.Vec{X: middle + min(max(at, -1), 1)*half, Y: y}, R: 1.1, Fill: colour})
		name := draw.Text{At: r2.Vec{X: box.Min.X, Y: y}, String: draw.Cropped(si.Typeset(r.What), draw.Regular, draw.Small, words-3), Size: draw.Small, Rise: draw.MidHeight, Colour: draw.Ink}
		out = append(out, name)
	}
	return out
}

func label(x, y float64, s string, align draw.Align) draw.Text {
	return draw.Text{At: r2.Vec{X: x, Y: y}, String: s, Size: draw.Small, Align: align, Rise: draw.Below, Colour: draw.Soft}
}

// readings sets the sheet's numbers beside the law's.
func (w words) readings(fit *resin.Fit) draw.Table {
	t := draw.Table{Size: draw.Small, Columns: []draw.Column{{Head: "number of the sheet", Share: 3.4}, {Head: "sheet", Share: 1, Align: draw.End}, {Head: "law", Share: 1, Align: draw.End}, {Head: "off by", Share: 1, Align: draw.End}}}
	for _, r := range fit.Readings {
		row := []string{si.Typeset(r.What), "", "", ""}
		if r.Unit == "degC" {
			row[1], row[2] = w.warmText(si.Celsius(r.Sheet)), w.warmText(si.Celsius(r.Model))
			row[3] = w.apart(r.Model-r.Sheet, 1)
		} else {
			row[1], row[2] = lasting(r.Sheet), lasting(r.Model)
			row[3] = draw.Number(100*(r.Model/r.Sheet-1), 0) + " %"
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
