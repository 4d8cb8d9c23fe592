package dutydraw

import (
	"fmt"
	"math"
	"slices"

	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
	"laywright/internal/job"
	"laywright/internal/stage/exchanger"

	"gonum.org/v1/gonum/spatial/r2"
)

const aspect = 0.5

func picture(name, caption string, chart draw.Chart, table draw.Table) plydraw.Picture {
	return plydraw.Drawn(plydraw.Picture{Name: name, Caption: caption, Aspect: aspect, Table: table},
		func(box r2.Box) []draw.Item { return chart.Draw(box) })
}

// Passes compares the numbers of passes: all heat, what of it warms the cabin, at
// the best throttle where that is searched for, and the air's outlet.
func Passes(p job.Plan) plydraw.Picture {
	w, h := wordsOf(p), p.Duty.Heater
	all, useful := draw.Series{Label: "heat", Dots: true}, draw.Series{Label: "useful heat", Dots: true}
	throttled := p.Spec.Duty.Heater.Throttle.Search
	if throttled {
		all.Label, useful.Label = "heat, open", "useful heat, best throttle"
	}
	out := draw.Series{Label: "air out", Dots: true, OnRight: true}
	for _, r := range h.PassTable {
		n := float64(r.Passes)
		all.X, all.Y = append(all.X, n), append(all.Y, power.number(w, r.Heat))
		out.X, out.Y = append(out.X, n), append(out.Y, warm.number(w, r.AirOut))
		best := r.Useful
		if throttled && r.BestHeat != nil {
			best = r.BestHeat
		}
		if best != nil {
			useful.X, useful.Y = append(useful.X, n), append(useful.Y, power.number(w, *best))
		}
	}
	chart := draw.Chart{X: draw.Axis{Label: "passes", Low: 0.5, High: float64(len(h.PassTable)) + 0.5, Whole: true}, Y: draw.Axis{Label: "heat", Unit: power.shown(w), FromZero: true},
		Right: &draw.Axis{Label: "air out", Unit: warm.shown(w)}, Series: []draw.Series{all}}
	if len(useful.X) > 0 {
		chart.Series = append(chart.Series, useful)
	}
	chart.Series = append(chart.Series, out)
	chart.Limits = append(chart.Limits, draw.Limit{At: float64(h.Passes), Vertical: true, Plain: true, Label: "taken"})
	if limit := p.Spec.Duty.Heater.Air.Limit; limit != nil {
		chart.Limits = append(chart.Limits, draw.Limit{At: warm.number(w, *limit), OnRight: true, Label: "air's limit"})
	}
	return picture("duty-passes", "Heat by number of passes", chart, w.passTable(h))
}

// point shows where supply meets demand, and the useful heat over the flow.
func point(p job.Plan) plydraw.Picture {
	w, c, h := wordsOf(p), p.Duty.Curve, p.Duty.Heater
	x := make([]float64, len(c.Flow))
	for i, v := range c.Flow {
		x[i] = flow.number(w, si.MassFlow(v))
	}
	over := func(label string, of []float64, number func(float64) float64, right bool) draw.Series {
		s := draw.Series{Label: label, X: x[:len(of)], OnRight: right}
		for _, v := range of {
			s.Y = append(s.Y, number(v))
		}
		return s
	}
	pressure := func(v float64) float64 { return drop.number(w, si.Pressure(v)) }
	heat := func(v float64) float64 { return power.number(w, si.Power(v)) }
	chart := draw.Chart{X: draw.Axis{Label: "air flow", Unit: flow.shown(w)}, Y: draw.Axis{Label: "pressure", Unit: drop.shown(w), FromZero: true},
		Right: &draw.Axis{Label: "useful heat", Unit: power.shown(w)}, Series: []draw.Series{over("demand: box and ducts", c.Demand, pressure, false)}}
	if len(c.Supply) > 0 {
		chart.Series = append(chart.Series, over("supply", c.Supply, pressure, false))
	}
	if len(c.Useful) > 0 {
		chart.Series = append(chart.Series, over("useful heat", c.Useful, heat, true))
	} else {
		chart.Right.Label = "heat"
		chart.Series = append(chart.Series, over("heat", c.Heat, heat, true))
	}
	chart.Limits = []draw.Limit{{At: flow.number(w, h.AirFlow), Vertical: true, Plain: true, Label: "works here"}}
	return picture("duty-point", fmt.Sprintf("Where supply meets demand, in %s", passes(h.Passes)), chart, w.lossTable(h))
}

// path follows air and liquid through the passes. Within a pass only the mean
// temperatures at its ends are known, joined by straight lines.
func path(p job.Plan) plydraw.Picture {
	w, h := wordsOf(p), p.Duty.Heater
	air, liquid := draw.Series{Label: "air", Dots: true}, draw.Series{Label: "liquid", Dots: true}
	end := func(s *draw.Series, x float64, t si.Temperature) {
		s.X, s.Y = append(s.X, x), append(s.Y, warm.number(w, t))
	}
	for k, pass := range h.Path {
		a, b := float64(k), float64(k+1)
		end(&air, a, pass.AirIn)
		end(&air, b, pass.AirOut)
		if h.Arrangement == exchanger.AcrossCounter {
			end(&liquid, a, pass.LiquidOut)
			end(&liquid, b, pass.LiquidIn)
			continue
		}
		if h.Arrangement == exchanger.Along && k > 0 { // each pass has liquid of its own
			liquid.X, liquid.Y = append(liquid.X, a), append(liquid.Y, nan)
		}
		end(&liquid, a, pass.LiquidIn)
		end(&liquid, b, pass.LiquidOut)
	}
	chart := draw.Chart{X: draw.Axis{Label: "passes of the air", Low: 0, High: float64(len(h.Path)), Whole: true}, Y: span(air.Y, liquid.Y, w),
		Series: []draw.Series{air, liquid}}
	return picture("duty-path", "Temperatures through the passes", chart, w.pathTable(h))
}

// tens is what the ends of a temperature's axis are rounded to, in either unit.
const tens = 20

// span is an axis that just holds both rows of temperatures.
func span(air, liquid []float64, w words) draw.Axis {
	a := draw.Axis{Label: "temperature", Unit: warm.shown(w)}
	a.Low, a.High = math.Inf(1), math.Inf(-1)
	for _, t := range slices.Concat(air, liquid) {
		if !math.IsNaN(t) {
			a.Low, a.High = min(a.Low, tens*math.Floor(t/tens)), max(a.High, tens*math.Ceil(t/tens))
		}
	}
	return a
}
