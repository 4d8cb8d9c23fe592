package cure

import (
	"math"
	"testing"

	"laywright/internal/base/material"
	"laywright/internal/base/resin"
	"laywright/internal/base/si"
)

// One hold, a resin of the first order, and laws that are 0.8 and 1.25 times as
// quick: gel and demould range by those factors, and the degree of cure at the end
// is 1 − exp(−kt) of each (closed forms).
func TestRangesOfAFirstOrderHold(t *testing.T) {
	law := func(quick float64) resin.Law {
		l, err := resin.New("r", material.Resin{HeatOfReaction: material.Exactly[si.SpecificEnergy](450e3),
			Tg:       material.DiBenedetto{Start: material.Exactly(si.Celsius(-40)), Full: material.Exactly(si.Celsius(95)), Lambda: material.Exactly(si.Fraction(0.4))},
			Kinetics: &material.Kinetics{Model: material.NthOrder, A1: material.Exactly(si.Rate(quick * 1e-4)), E1: material.Exactly(si.MolarEnergy(0)), N: material.Exactly(si.Fraction(1))}})
		if err != nil {
			t.Fatal(err)
		}
		return l
	}
	in := Input{Law: law(1), Spread: []resin.Law{law(0.8), law(1.25)}, Shop: si.Celsius(30)}
	in.Spec.Schedule.Given = true
	in.Spec.Schedule.Value = Curve{X: []si.Time{0, 20000}, Y: []si.Temperature{si.Celsius(30), si.Celsius(30)}}
	r := simulate(t, in)
	for _, c := range []struct {
		what      string
		got, want float64
	}{{"gel low", float64(*r.GelLow / *r.Gel), 0.8}, {"gel high", float64(*r.GelHigh / *r.Gel), 1.25},
		{"demould low", float64(*r.DemouldLow / *r.Demould), 0.8}, {"demould high", float64(*r.DemouldHigh / *r.Demould), 1.25}} {
		if math.Abs(c.got-c.want) > 1e-3 {
			t.Errorf("%s: %.5f, want %.5f", c.what, c.got, c.want)
		}
	}
	l := in.Law
	for _, c := range []struct{ got, want si.Temperature }{{*r.TgLow, l.Glass.Transition(1 - math.Exp(-1.6))}, {*r.TgHigh, l.Glass.Transition(1 - math.Exp(-2.5))}} {
		if math.Abs(float64(c.got-c.want)) > 0.05 {
			t.Errorf("glass transition %.3f degC, want %.3f", c.got.Celsius(), c.want.Celsius())
		}
	}
	in.Spread[0] = law(0.1) // which does not gel within the schedule
	if r := simulate(t, in); r.GelHigh != nil || r.GelLow == nil || r.DemouldHigh != nil {
		t.Error("a gel that may never come has an upper end")
	}
}
