package answer

import (
	"fmt"
	"math"
	"strings"

	"laywright/internal/base/material"
	"laywright/internal/base/si"
	"laywright/internal/job"
)

// teller puts a plan's numbers into words.
type teller struct {
	plan   job.Plan
	system si.System
}

func newTeller(plan job.Plan) teller {
	t := teller{plan, plan.Spec.Show}
	if t.system == "" {
		t.system = si.Metric
	}
	return t
}

// show writes a quantity in the plan's units.
func show[Q si.Quantity](t teller, q Q, digits int) string {
	return si.Typeset(si.Show(q, t.system, digits))
}

// warm writes a temperature to the degree.
func (t teller) warm(x si.Temperature) string {
	unit := "degC"
	if t.system == si.US {
		unit = "degF"
	}
	return strings.Replace(fmt.Sprintf("%.0f ", si.In(x, unit)), "-0 ", "0 ", 1) + si.Typeset(unit)
}

// apart writes a difference of temperatures.
func (t teller) apart(x si.TemperatureDifference) string { return show(t, x, 2) }

// weight is in grams, which every shop's scale reads, and in ounces or pounds where the
// flags were.
func (t teller) weight(m si.Mass) string {
	text := grams(m)
	if t.system == si.US {
		text += " (" + show(t, m, 3) + ")"
	}
	return text
}

func grams(m si.Mass) string {
	if g := 1000 * float64(m); g < 10 {
		return fmt.Sprintf("%.1f g", g)
	}
	if m >= 10 {
		return fmt.Sprintf("%.1f kg", float64(m))
	}
	return fmt.Sprintf("%.0f g", 1000*float64(m))
}

// gauge writes a pressure as gauges in both kinds of shop do.
func gauge(p si.Pressure) string {
	return fmt.Sprintf("%.1f inHg (%.1f kPa)", float64(p/si.InchOfMercury), float64(p)/1000)
}

// area is in square metres from the size of a sheet of paper on.
func (t teller) area(a si.Area) string {
	if t.system == si.US {
		return show(t, a, 3)
	}
	if a < 0.05 {
		return fmt.Sprintf("%.0f cm²", 1e4*float64(a))
	}
	return fmt.Sprintf("%.3g m²", float64(a))
}

// span writes a time as a person says it.
func span(s si.Time) string {
	minutes := math.Round(float64(s) / 60)
	switch {
	case s < 90:
		return fmt.Sprintf("%.0f s", float64(s))
	case minutes < 120:
		return fmt.Sprintf("%.0f min", minutes)
	case s < 36000:
		return fmt.Sprintf("%.2g h", float64(s)/3600)
	case s < 72*3600:
		return fmt.Sprintf("%.3g h", float64(s)/3600)
	}
	return fmt.Sprintf("%.3g days", float64(s)/86400)
}

// known tells how a record's value is known.
func known[Q si.Quantity](d material.Datum[Q]) string {
	switch {
	case !d.Known:
		return "usual"
	case d.Source == "" || d.Source == "none":
		return string(d.Origin)
	}
	return string(d.Origin) + ", " + d.Source
}

func percent(x float64) string { return fmt.Sprintf("%.0f %%", 100*x) }
