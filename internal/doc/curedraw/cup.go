package curedraw

import (
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
	"laywright/internal/job"

	"gonum.org/v1/gonum/spatial/r2"
)

// cup follows the first pot if it is left standing as mixed. What lies past 150 degC
// is not drawn: a cup boils, chars and melts there, and the model does not.
func cup(p job.Plan) plydraw.Picture {
	w, c := wordsOf(p), p.Wetout.Cup
	unit, size := spell(c.Trace.Time[len(c.Trace.Time)-1])
	s := draw.Series{Label: "resin in the cup"}
	degree := draw.Series{Label: "cure", OnRight: true}
	for i, t := range c.Trace.Time {
		s.X, s.Y = append(s.X, t/size), append(s.Y, w.warm(c.Trace.Temperature[i]))
		degree.X, degree.Y = append(degree.X, t/size), append(degree.Y, c.Trace.Degree[i])
	}
	chart := draw.Chart{X: draw.Axis{Label: "time from mixing", Unit: unit, Tight: true}, Y: draw.Axis{Label: "temperature", Unit: w.degrees()},
		Right: &draw.Axis{Label: "degree of cure", Low: 0, High: 1}, Series: []draw.Series{s, degree}}
	upright := func(at *si.Time, label string, plain bool) {
		if at != nil {
			chart.Limits = append(chart.Limits, draw.Limit{At: float64(*at) / size, Label: label, Vertical: true, Plain: plain})
		}
	}
	upright(c.RunsOff, "runs off", false)
	if c.RunsOff == nil { // else it gels as good as then
		upright(c.Gel, "gels", true)
	}
	if first := p.Wetout.Pots[0]; first.UseBefore != nil {
		upright(first.UseBefore, "out of the cup", false)
	}
	return plydraw.Drawn(plydraw.Picture{Name: "cup", Caption: "The first pot, if it is left standing", Aspect: aspect, Table: w.cupTable(p),
		Note: "One lump of resin losing heat to the shop's air: good for when it gels, and no promise of how hot it gets."},
		func(box r2.Box) []draw.Item { return chart.Draw(box) })
}

func (w words) cupTable(p job.Plan) draw.Table {
	c := p.Wetout.Cup
	t := facts()
	add := func(what, value string) { t.Rows = append(t.Rows, []string{what, value}) }
	add("this pot", grams(c.Mass)+" in a "+string(c.Kind)+", air "+w.warmText(c.Air))
	if first := p.Wetout.Pots[0]; first.Life != nil {
		text := lasting(float64(*first.Life))
		if first.LifeLow != nil && first.LifeHigh != nil {
			text += between(*first.LifeLow, *first.LifeHigh)
		}
		add("lives, to gel or "+w.warmText(si.Celsius(40)), text)
	}
	switch {
	case c.SafeAny:
		add("may be left alone", "any cup, in air this cool")
	case c.SafeMass != nil:
		add("may be left alone", "up to "+grams(*c.SafeMass))
	default:
		add("may be left alone", "no cup")
	}
	if c.Tray != nil {
		text := "up to " + w.short(c.Tray.Depth) + " deep"
		if c.Tray.Life != nil {
			text += ", lives " + lasting(float64(*c.Tray.Life))
		}
		add("in a flat tray", text)
	}
	return t
}

// facts is a table of names and what is said of them.
func facts() draw.Table {
	return draw.Table{Size: draw.Small, Columns: []draw.Column{{Head: "", Share: 2.4, Face: draw.Bold}, {Head: "", Share: 3}}}
}

// between is the range that the resin's numbers leave open.
func between(low, high si.Time) string {
	return ", or " + lasting(float64(low)) + " to " + lasting(float64(high)) + " by what the data sheet leaves open"
}
