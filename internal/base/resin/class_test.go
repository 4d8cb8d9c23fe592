package resin

import (
	"math"
	"strings"
	"testing"

	"laywright/internal/base/material"
	"laywright/internal/base/si"
)

// The viscosity doubles at degree 0.18545, 1349.03 s into a film's gel of an hour
// with r₀ = 0.1 (case visc_doubling_time, solved apart from this program). A sheet
// that tells that time gives the film's gel back.
func TestDoubledViscosityIsAPotLife(t *testing.T) {
	c := load(t, "visc_doubling_time")
	a, err := (&Law{Gel: 0.55}).thickened(2)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "degree", a, c.Expected["alpha_at_doubling"].(float64), 1e-5)
	r := pair(55e3)
	r.Sheet.FilmGel.Known = false
	r.Sheet.PotLife, r.Sheet.PotEnds = known(si.Time(c.Expected["t_s"].(float64))), Doubled
	l, err := New("r", r)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "film gel", float64(gelAt(t, l, 22)), 3600, 1)
	r.Sheet.FilmGel = known[si.Time](3600) // both: the ratio comes out as 0.1
	if l, err = New("r", r); err != nil {
		t.Fatal(err)
	}
	near(t, "ratio", l.Fit.Ratio, 0.1, 2e-4)
}

// What a record leaves out comes from its class, and the plan says what and how it
// is known. Gel of a diamine and of an anhydride on diepoxide: 1/√3 [flory1953];
// heat of a diamine of 42.6 g/eq: 105 kJ/eq over (190 + 42.6) g, 451 J/g.
func TestClassGivesWhatIsMissing(t *testing.T) {
	for class, p := range byClass {
		r := pair(55e3)
		r.Class, r.HeatOfReaction.Known = class, false
		r.Sheet.ActivationE.Known, r.Sheet.PotLife.Known = false, false
		l, err := New("r", r)
		if err != nil {
			t.Error(class, err)
			continue
		}
		if float64(l.Fit.ActivationE) != p.e.value || l.Gel != p.gel.value || float64(l.Heat) != p.heat.value || l.Fit.Ratio != p.ratio.value {
			t.Errorf("%s: %+v", class, l.Fit)
		}
		if len(l.Fit.Taken) != 5 || !strings.Contains(strings.Join(l.Fit.Assumed, ";"), p.name) {
			t.Errorf("%s: taken %+v, assumed %q", class, l.Fit.Taken, l.Fit.Assumed)
		}
		for _, x := range []prior{p.e, p.ratio, p.gel, p.heat} {
			if !(x.low < x.value && x.value < x.high) || x.origin == "" || x.origin == material.Handbook && x.source == "" {
				t.Errorf("%s: %+v", class, x)
			}
		}
	}
	near(t, "gel of a diamine", byClass[material.Cycloaliphatic].gel.value, 1/math.Sqrt(3), 0.01)
	near(t, "gel of an anhydride", byClass[material.Anhydride].gel.value, 1/math.Sqrt(3), 0.01)
	near(t, "heat of a diamine", byClass[material.Cycloaliphatic].heat.value, 105/0.2326*1e3, 5e3)
}

// The sheet's numbers and how far the law leaves them open stand side by side.
func TestReadingsTellTheirRange(t *testing.T) {
	r := pair(55e3)
	r.Sheet.FilmGel.Spread = 780 // a fifth
	l, ends, err := Bracket("r", r)
	if err != nil || len(ends) != 4 {
		t.Fatal(len(ends), err)
	}
	film := l.Fit.Readings[1]
	near(t, "low", *film.Low, 3900*0.8, 1)
	near(t, "high", *film.High, 3900*1.2, 1)
	near(t, "residual", film.Residual, film.Model-film.Sheet, 0)
	if film.Kind != FilmGel || film.At != si.Celsius(22) || film.Spread != 780 || *l.Fit.Readings[0].Mass != 0.1 {
		t.Errorf("%+v", l.Fit.Readings)
	}
	near(t, "at 12 degC", float64(l.Fit.Away(si.Celsius(12))), 10, 1e-9)
	near(t, "at 22 degC", float64(l.Fit.Away(si.Celsius(22))), 0, 1e-9)
}

// Squares of what errs by itself add.
func TestRange(t *testing.T) {
	low, high := Range(10, []float64{7, 6, 11, 10, math.NaN()})
	near(t, "low", low, 5, 1e-12)
	near(t, "high", high, 11, 1e-12)
	a, b := Span(100, []si.Time{50, 200, 0})
	near(t, "low", float64(a), 50, 1e-9)
	near(t, "high", float64(b), 200, 1e-9)
}

// A cure of the sheet summed up in pieces is the cure followed in time.
func TestHoldsAgreeWithTheCourse(t *testing.T) {
	r := library(t)["high-temperature-epoxy"]
	l, err := New("r", r)
	if err != nil {
		t.Fatal(err)
	}
	f := newSheetFit("r", r, l)
	for _, holds := range [][]Hold{{{86400, si.Celsius(25)}}, {{3600, si.Celsius(10)}, {7200, si.Celsius(65)}}, {{7200, si.Celsius(177)}}, {{86400, si.Celsius(23)}, {3600, si.Celsius(120)}}} {
		want, err := l.After(0, holds)
		if err != nil {
			t.Fatal(err)
		}
		a := 0.0
		for _, h := range holds {
			a = f.hold(a, float64(h.For), float64(h.At))
		}
		near(t, "degree", a, want, 2e-5)
	}
}
