// Package curedraw draws how the resin of a finished plan hardens: temperature and
// cure over time, and how well the law of the resin meets the numbers of its data
// sheet. It works nothing out.
//
// Pictures are in millimetres of paper, as [draw] has them. Numbers for people are
// in the job's units.
package curedraw

import (
	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
	"laywright/internal/job"

	"gonum.org/v1/gonum/spatial/r2"
)

// Pictures lists the pictures that the plan has, each with its numbers.
func Pictures(p job.Plan) (out []plydraw.Picture) {
	if p.Cure == nil {
		return nil
	}
	if len(p.Cure.History.Time) > 1 {
		out = append(out, Cure(p))
	}
	if fit := p.Cure.Fit; fit != nil && len(fit.Readings) > 0 {
		out = append(out, sheet(p))
	}
	return out
}

// Measures of the sheet in mm.
const (
	shrink     = 0.85 // of a picture's own height: two fit on a page with their tables
	captionGap = 6
)

// Write says on pages of its own how the resin hardens: each picture with its
// table. Nothing where the plan has no cure.
func Write(f *draw.Flow, p job.Plan) {
	pictures := Pictures(p)
	if len(pictures) == 0 {
		return
	}
	w := wordsOf(p)
	f.Break()
	f.Title("How it hardens", w.verdict(p))
	for _, pic := range pictures {
		high := captionGap + f.Width()*pic.Aspect*shrink
		f.Keep(high + pic.Table.Height(f.Width()))
		box := f.Room(high)
		f.Draw(draw.Text{At: r2.Vec{X: box.Min.X, Y: box.Max.Y}, String: draw.Cropped(pic.Caption, draw.Bold, draw.Body, box.Size().X), Size: draw.Body, Face: draw.Bold, Rise: draw.Below, Colour: draw.Ink})
		box.Max.Y -= captionGap
		f.Draw(draw.Rect(box, draw.Pen{}, draw.Ground))
		f.Draw(pic.Draw(draw.Inset(box, 2))...)
		if pic.Note != "" {
			f.Para(pic.Note)
		}
		f.Table(pic.Table)
	}
}
