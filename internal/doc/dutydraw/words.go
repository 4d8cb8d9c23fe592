package dutydraw

import (
	"fmt"
	"math"
	"strings"

	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/job"
	"laywright/internal/stage/duty"
)

// words writes numbers as the job wants them shown.
type words struct{ us bool }

func wordsOf(p job.Plan) words { return words{p.Spec.Show == si.US} }

// gauge is a quantity as a shop's gauge shows it: its unit, and how to get there.
type gauge[Q si.Quantity] struct{ metric, us string }

// The gauges.
var (
	flow  = gauge[si.MassFlow]{"g/s", "lb/min"}
	drop  = gauge[si.Pressure]{"Pa", "inH2O"}
	power = gauge[si.Power]{"kW", "BTU/h"}
	warm  = gauge[si.Temperature]{"degC", "degF"}
	depth = gauge[si.Length]{"mm", "in"}
	speed = gauge[si.Velocity]{"m/s", "ft/s"}
	mass  = gauge[si.Mass]{"kg", "lb"}
)

func (g gauge[Q]) unit(w words) string {
	if w.us {
		return g.us
	}
	return g.metric
}

// shown is the unit as it is set in type.
func (g gauge[Q]) shown(w words) string { return strings.TrimSpace(si.Typeset("0 " + g.unit(w))[1:]) }

func (g gauge[Q]) number(w words, q Q) float64 { return si.In(q, g.unit(w)) }

// text is the number without its unit, for a column that names it; empty for nil.
func (g gauge[Q]) text(w words, q *Q) string {
	if q == nil {
		return ""
	}
	return short(g.number(w, *q))
}

// said is the number with its unit.
func (g gauge[Q]) said(w words, q Q) string { return short(g.number(w, q)) + " " + g.shown(w) }

// degrees writes a temperature to whole degrees.
func (w words) degrees(t si.Temperature) string { return draw.Number(warm.number(w, t), 0) }

func (w words) verdict(h *duty.HeaterResult) string {
	out := fmt.Sprintf("%s to the air in %s, %s at %s", power.said(w, h.Heat), passes(h.Passes), flow.said(w, h.AirFlow), w.degrees(h.AirOut)+" "+warm.shown(w))
	if h.Useful != nil {
		out += "; " + power.said(w, *h.Useful) + " of it warms the cabin"
	}
	return out
}

func passes(n int) string {
	if n == 1 {
		return "1 pass"
	}
	return fmt.Sprintf("%d passes", n)
}

// short writes three significant digits, with noughts for what lies before the point.
func short(x float64) string {
	if x != 0 {
		unit := math.Pow(10, math.Floor(math.Log10(math.Abs(x)))-2)
		x = math.Round(x/unit) * unit
	}
	return draw.Short(x)
}
