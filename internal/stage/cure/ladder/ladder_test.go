package ladder

import (
	"math"
	"testing"

	"laywright/internal/base/resin"
	"laywright/internal/base/si"
)

// sheet is the resin of case postcure_ramp_margin of the reference collection: gel
// in 3 h at 25 °C, Tg −45 to 98 °C.
func sheet() resin.Law {
	f := 3.31798 / 10800 * math.Exp(55e3/(8.314462618*298.15))
	return resin.Law{Kinetics: resin.Kinetics{A1: si.Rate(0.1 * f), A2: si.Rate(f), E1: 55e3, E2: 55e3, M: 1, N: 2},
		Diffusion: &resin.Diffusion{Shift: 4.7, Width: 5}, Gel: 0.55, Firm: 5,
		Glass: resin.Glass{Start: si.Celsius(-45), Full: si.Celsius(98), Lambda: 0.4}}
}

// afterADay is its degree of cure after 24 h at 21 °C.
func afterADay(t *testing.T, law resin.Law) float64 {
	t.Helper()
	a, err := law.After(0, []resin.Hold{{For: 86400, At: si.Celsius(21)}})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// The whole of case postcure_ramp_margin, computed with LSODA.
func TestLeadOfRamps(t *testing.T) {
	law := sheet()
	a := afterADay(t, law)
	for perHour, want := range map[float64]float64{5: 8.22318, 10: 5.64935, 20: 2.34151, 60: -6.64834, 120: -15.6465} {
		_, lead, err := Ramp(&law, a, si.Celsius(21), si.Celsius(80), perHour/3600)
		if err != nil {
			t.Fatal(err)
		}
		if !(math.Abs(lead-want) < 0.1) {
			t.Errorf("%g K/h: %.3f K ahead, want %.3f", perHour, lead, want)
		}
	}
}

// Between the 5.6 K of 10 K an hour and the 2.3 K of 20.
func TestFastest(t *testing.T) {
	law := sheet()
	a := afterADay(t, law)
	rate, c, ok, err := Fastest(&law, a, si.Celsius(21), si.Celsius(80), 3, 60.0/3600)
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	perHour := rate * 3600
	t.Logf("%.1f K/h, then %.1f degC", perHour, law.Glass.Transition(c.Degree()).Celsius())
	if !(perHour > 14 && perHour < 20) || math.Abs(2*perHour-math.Round(2*perHour)) > 1e-9 {
		t.Errorf("fastest is %.3f K/h", perHour)
	}
	for step, enough := range map[float64]bool{0: true, 0.5: false} {
		if _, lead, err := Ramp(&law, a, si.Celsius(21), si.Celsius(80), (perHour+step)/3600); err != nil || (lead >= 3) != enough {
			t.Errorf("%.1f K/h: %.2f K ahead", perHour+step, lead)
		}
	}
	if rate, _, ok, _ := Fastest(&law, a, si.Celsius(21), si.Celsius(80), 3, 10.0/3600); !ok || rate != 10.0/3600 {
		t.Errorf("a limit of 10 K/h gives %.3f", rate*3600)
	}
	if _, _, ok, _ := Fastest(&law, a, si.Celsius(21), si.Celsius(97), 3, 10.0/3600); ok {
		t.Error("a ramp goes where the glass transition ends")
	}
}

// A ladder walked through by the law alone keeps its lead at every step up.
func TestSteps(t *testing.T) {
	law := sheet()
	a := afterADay(t, law)
	steps, ok, err := Steps(&law, a, si.Celsius(21), si.Celsius(80), 3, 10.0/3600, si.Celsius(90))
	if err != nil || !ok || len(steps) < 5 {
		t.Fatal(steps, ok, err)
	}
	c := law.Start(a)
	if up := Total(steps[:len(steps)-1]); float64(up) < (80-25)/10.0*3600-1 {
		t.Errorf("55 K in %.2f h is faster than 10 K an hour", float64(up)/3600)
	}
	for i, s := range steps {
		t.Logf("%.0f degC %.2f h, %.1f degC", s.At.Celsius(), float64(s.For)/3600, s.Tg.Celsius())
		if tg := law.Glass.Transition(c.Degree()); tg-s.At < 2.99 {
			t.Errorf("step %d: %.2f K ahead", i, float64(tg-s.At))
		}
		if err := c.Follow(0, s.For, s.At, s.At, nil); err != nil {
			t.Fatal(err)
		}
	}
	if tg := law.Glass.Transition(c.Degree()); tg < si.Celsius(90) || math.Abs(float64(tg-steps[len(steps)-1].Tg)) > 0.05 {
		t.Errorf("ends at %.2f degC, told %.2f", tg.Celsius(), steps[len(steps)-1].Tg.Celsius())
	}
	if _, ok, _ := Steps(&law, a, si.Celsius(21), si.Celsius(97), 3, 1, si.Celsius(97)); ok {
		t.Error("steps go where the glass transition ends")
	}
}
