package resin

import (
	"math"
	"strings"
	"testing"

	"laywright/internal/base/material"
	"laywright/internal/base/si"
)

// truth is a resin unlike its sheet: energy and ratio at the ends of what is usual,
// and 40 % slower.
func truth(t *testing.T) Law {
	t.Helper()
	r := pair(60e3)
	r.Sheet.PotLife.Known, r.Sheet.FilmGel = false, known[si.Time](1.4*3900)
	l, err := calibrateWith("r", r, mustBase(t, r), 60e3, 0.13)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func mustBase(t *testing.T, r material.Resin) Law {
	t.Helper()
	l, err := New("r", r)
	if err != nil {
		t.Fatal(err)
	}
	l.Kinetics, l.Fit, l.Diffusion = Kinetics{}, nil, nil
	return l
}

// Readings computed with a known law bring it back, from a sheet that says otherwise.
func TestShopBringsTheTrueLawBack(t *testing.T) {
	real := truth(t)
	var cups []GelCup
	for _, c := range []GelCup{{At: si.Celsius(8)}, {At: si.Celsius(18)}, {At: si.Celsius(28)}, {At: si.Celsius(38)},
		{Mass: 0.1, At: si.Celsius(12)}, {Mass: 0.1, At: si.Celsius(22)}, {Mass: 0.2, At: si.Celsius(30), Start: si.Celsius(25)}} {
		for range 6 { // many readings outweigh what was thought before
			gel, err := c.predict(&real)
			if err != nil {
				t.Fatal(err)
			}
			c.Gel = si.Time(gel)
			cups = append(cups, c)
		}
	}
	l, ends, err := Bracket("r", pair(55e3), cups...)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "energy", float64(l.Fit.ActivationE), 60e3, 300)
	near(t, "ratio", l.Fit.Ratio, 0.13, 0.006)
	near(t, "film at 15 degC over the truth", float64(gelAt(t, l, 15)/gelAt(t, real, 15)), 1, 0.01)
	var gels []si.Time
	for _, e := range ends {
		gels = append(gels, gelAt(t, e, 15))
	}
	if low, high := Span(gelAt(t, l, 15), gels); high/low > 1.05 {
		t.Errorf("after 42 readings the gel is still %v to %v s", low, high)
	}
}

func gelAt(t *testing.T, l Law, celsius float64) si.Time {
	t.Helper()
	at, ok, err := l.GelTime(si.Celsius(celsius))
	if !ok || err != nil {
		t.Fatal(ok, err)
	}
	return at
}

// One film of a sheet without a spread: the rate's prior of 15 % against the
// reading's 5 %, in logarithms, leaves a tenth of the difference (worked by hand),
// and a little goes into energy and ratio.
func TestOneReadingStandsOverTheSheet(t *testing.T) {
	r := pair(55e3)
	c := GelCup{At: si.Celsius(22), Gel: 3900 * 1.5}
	l, err := New("r", r, c)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "share of the difference", math.Log(float64(gelAt(t, l, 22))/3900)/math.Log(1.5), 0.9, 0.01)
	x := l.Fit.Readings[len(l.Fit.Readings)-1]
	if !x.Shop || !x.Disagrees() || l.Fit.Shop.Faster > 0.72 {
		t.Errorf("%+v, %+v", x, l.Fit.Shop)
	}
	near(t, "the sheet alone", *x.Alone, 3900, 3)
	c.Gel = 3900 * 1.2
	if l, err = New("r", r, c); err != nil || l.Fit.Readings[2].Disagrees() {
		t.Error("a fifth is no disagreement", err)
	}
}

// A reading narrows what is known: the range of the film's gel shrinks to near the
// reading's own 5 %.
func TestReadingNarrowsTheRange(t *testing.T) {
	r := pair(55e3)
	r.Sheet.FilmGel.Spread, r.Sheet.PotLife.Spread = 900, 150
	width := func(cups ...GelCup) float64 {
		l, ends, err := Bracket("r", r, cups...)
		if err != nil {
			t.Fatal(err)
		}
		var gels []si.Time
		for _, e := range ends {
			gels = append(gels, gelAt(t, e, 22))
		}
		low, high := Span(gelAt(t, l, 22), gels)
		return math.Log(float64(high / low))
	}
	before, after := width(), width(GelCup{At: si.Celsius(22), Gel: 4200})
	near(t, "before", before, math.Log((1+900./3900)/(1-900./3900)), 0.01)
	near(t, "after", after, 2*0.05, 0.01)
}

// A rate law moves by one factor: 15 % against 5 % again.
func TestRateLawHeedsTheShop(t *testing.T) {
	r := pair(55e3)
	r.Sheet = nil
	r.Kinetics = &material.Kinetics{Model: material.NthOrder, A1: known[si.Rate](2e5), E1: known(si.MolarEnergy(50e3)), N: known(si.Fraction(1))}
	plain, err := New("r", r)
	if err != nil {
		t.Fatal(err)
	}
	l, ends, err := Bracket("r", r, GelCup{At: si.Celsius(25), Gel: gelAt(t, plain, 25) * 2})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "moved", math.Log(float64(plain.Kinetics.A1/l.Kinetics.A1))/math.Log(2), 0.9, 0.001)
	if len(ends) != 2 || l.Kinetics.E1 != 50e3 {
		t.Errorf("%d ends, E %v", len(ends), l.Kinetics.E1)
	}
}

func TestShopReadingsAreChecked(t *testing.T) {
	for field, c := range map[string]GelCup{
		"shop.gel_cups[0].mass":        {Mass: si.Mass(math.NaN()), At: 293, Gel: 600},
		"shop.gel_cups[0].temperature": {At: 500, Gel: 600},
		"shop.gel_cups[0].start":       {At: 293, Start: 1, Gel: 600},
		"shop.gel_cups[0].gel":         {At: 293, Gel: si.Time(math.NaN())},
	} {
		if _, err := New("r", pair(55e3), c); err == nil || !strings.HasPrefix(err.Error(), field) {
			t.Errorf("%s: %v", field, err)
		}
	}
}
