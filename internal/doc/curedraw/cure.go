package curedraw

import (
	"math"
	"slices"

	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
	"laywright/internal/job"

	"gonum.org/v1/gonum/spatial/r2"
)

const aspect = 0.5

// Cure follows air, laminate and glass transition over time, and the degree of
// cure of the least cured place.
func Cure(p job.Plan) plydraw.Picture {
	w, c := wordsOf(p), p.Cure
	h := c.History
	unit, size := spell(slices.Max(h.Time))
	times := make([]float64, len(h.Time))
	for i, t := range h.Time {
		times[i] = t / size
	}
	over := func(label string, of []si.Temperature) draw.Series {
		s := draw.Series{Label: label, X: times}
		for _, t := range of {
			s.Y = append(s.Y, w.warm(t))
		}
		return s
	}
	chart := draw.Chart{X: draw.Axis{Label: "time from mixing", Unit: unit, Tight: true}, Y: draw.Axis{Label: "temperature", Unit: w.degrees()},
		Right:  &draw.Axis{Label: "degree of cure", Low: 0, High: 1},
		Series: []draw.Series{over("laminate", h.Temperature), over("glass transition", h.Tg), {Label: "cure", X: times, Y: h.Degree, OnRight: true}}}
	switch {
	case c.Oven != nil:
		chart.Series = append(chart.Series, over("oven's air", h.Air))
	case c.State == nil && parted(h.Air, h.Temperature):
		chart.Series = append(chart.Series, over("air", h.Air))
	}
	w.measured(&chart, c, size)
	event := func(at *si.Time, label string) {
		if at != nil {
			chart.Limits = append(chart.Limits, draw.Limit{At: float64(*at) / size, Label: label, Vertical: true, Plain: true})
		}
	}
	event(c.Gel, "gels")
	const apart = 0.1 // of the time drawn: nearer their words would lie on each other
	if c.Vitrify != nil && (c.Gel == nil || math.Abs(float64(*c.Vitrify-*c.Gel)) > apart*times[len(times)-1]*size) {
		event(c.Vitrify, "glass")
	}
	event(c.Demould, "stands by itself")
	return plydraw.Drawn(plydraw.Picture{Name: "cure-time", Caption: "Cure", Aspect: aspect, Table: w.forecast(p)},
		func(box r2.Box) []draw.Item { return chart.Draw(box) })
}

// parted reports whether air and laminate differ by more than the eye can see.
func parted(air, laminate []si.Temperature) bool {
	const seen = 2 // K
	for i := range min(len(air), len(laminate)) {
		if math.Abs(float64(air[i]-laminate[i])) > seen {
			return true
		}
	}
	return false
}

// forecast is what is reached and when, with its doubt where that is known.
func (w words) forecast(p job.Plan) draw.Table {
	c := p.Cure
	t := facts()
	add := func(what, value string) { t.Rows = append(t.Rows, []string{what, value}) }
	if c.Gel != nil {
		text := lasting(float64(*c.Gel)) + " after mixing"
		if c.GelLow != nil && c.GelHigh != nil {
			text += between(*c.GelLow, *c.GelHigh)
		}
		add("gels", text)
	}
	if c.Demould != nil {
		text := lasting(float64(*c.Demould)) + " after mixing"
		if c.DemouldLow != nil && c.DemouldHigh != nil {
			text += between(*c.DemouldLow, *c.DemouldHigh)
		}
		add("off the mould, not before", text)
	}
	add("warmest place of the laminate", w.warmText(c.Peak)+", "+lasting(float64(c.PeakAt))+" after mixing")
	add("degree of cure at the end", draw.Number(100*c.Degree, 0)+" %, at the least cured place")
	add("glass transition there, dry and moist", w.warmText(c.Tg)+" and "+w.warmText(c.TgWet))
	add("warmest in service", w.warmText(c.ServiceLimit))
	return t
}
