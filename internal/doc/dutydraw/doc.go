// Package dutydraw draws the duty of a finished plan: the heater at every number
// of passes, the point where supply meets demand, the temperatures through the
// passes, the cases side by side and the other ways to the same heat. It works
// nothing out.
//
// Pictures are in millimetres of paper, as [draw] has them. Numbers for people are
// in the job's units; flow and pressure of air in those of a shop's gauges.
package dutydraw

import (
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
	"laywright/internal/job"

	"gonum.org/v1/gonum/spatial/r2"
)

// Pictures lists the pictures of a plan's heater; none where it has none.
func Pictures(p job.Plan) (out []plydraw.Picture) {
	if p.Duty == nil || p.Duty.Heater == nil {
		return nil
	}
	if len(p.Duty.Heater.PassTable) > 1 {
		out = append(out, Passes(p))
	}
	if c := p.Duty.Curve; c != nil && len(c.Flow) > 1 {
		out = append(out, point(p))
	}
	return append(out, path(p))
}

// Measures of the sheet in mm.
const (
	chartHigh  = 62
	captionGap = 6
	columnGap  = 6
)

// Write says on pages of its own what the heater of a plan does: pictures with
// their tables, cases and ways. Nothing where there is no heater.
func Write(f *draw.Flow, p job.Plan) {
	if p.Duty == nil || p.Duty.Heater == nil {
		return
	}
	w := wordsOf(p)
	f.Break()
	f.Title("What the heater does", w.verdict(p.Duty.Heater))
	f.Para(si.Typeset("Passes: " + p.Duty.Heater.Reason + "."))
	w.cabin(f, p)
	pictures := Pictures(p)
	if len(p.Duty.Heater.PassTable) > 1 {
		row(f, pictures[:1])
		pictures = pictures[1:]
	}
	row(f, pictures)
	w.ducts(f, p.Duty.Heater)
	w.cases(f, p)
	w.screen(f, p)
	w.residuals(f, p.Duty.Heater)
	w.ways(f, p)
}

// row lays pictures side by side, and their tables under them.
func row(f *draw.Flow, pictures []plydraw.Picture) {
	for i, box := range draw.Split(f.Room(chartHigh), len(pictures), columnGap) {
		pic := pictures[i]
		f.Draw(draw.Text{At: r2.Vec{X: box.Min.X, Y: box.Max.Y}, String: draw.Cropped(pic.Caption, draw.Bold, draw.Body, box.Size().X), Size: draw.Body, Face: draw.Bold, Rise: draw.Below, Colour: draw.Ink})
		box.Max.Y -= captionGap
		f.Draw(draw.Rect(box, draw.Pen{}, draw.Ground))
		f.Draw(pic.Draw(draw.Inset(box, 2))...)
	}
	for _, pic := range pictures {
		f.Table(pic.Table)
	}
}
