package curedraw

import (
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/stage/cure"
)

// measured adds what a log knows to the picture of the cure: the schedule that was
// meant, the warmest probe beside the slowest, and where the log ends. A time on
// the chart has size seconds.
func (w words) measured(chart *draw.Chart, c *cure.Result, size float64) {
	if c.State == nil {
		return
	}
	chart.Series[0].Label = "measured"
	add := func(label string, l cure.Line) {
		s := draw.Series{Label: label}
		for i, t := range l.Time {
			if t >= 0 {
				s.X, s.Y = append(s.X, t/size), append(s.Y, w.warm(l.Temperature[i]))
			}
		}
		chart.Series = append(chart.Series, s)
	}
	if warm := warmest(c.Probes); warm != nil {
		chart.Series[0].Label = "coldest probe"
		add("warmest probe", warm.History)
	}
	if c.Planned != nil {
		add("schedule", *c.Planned)
	}
	chart.Limits = append(chart.Limits, draw.Limit{At: float64(c.State.At) / size, Label: "log ends", Vertical: true, Plain: true})
}

// warmest is the followed probe that is most cured; nil where one alone is followed.
func warmest(all []cure.ProbeState) (warm *cure.ProbeState) {
	followed := 0
	highest := si.Temperature(0)
	for i, s := range all {
		if !s.Followed {
			continue
		}
		if followed++; *s.Tg > highest {
			warm, highest = &all[i], *s.Tg
		}
	}
	if followed < 2 {
		return nil
	}
	return warm
}
