package loads

import (
	"math"
	"slices"
	"testing"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s: got %.6g, want %.6g within %.2g", what, got, want, rel)
	}
}

func has(fs []fault.Finding, code string) bool {
	return slices.ContainsFunc(fs, func(f fault.Finding) bool { return f.Code == code })
}

// Isentropic impact pressure at 120 m/s and sea level is 9098 Pa; a part that is
// given less is told so, and half of it stands as suction.
func TestPressures(t *testing.T) {
	r, _, err := Of(Spec{Speed: 120, Inertia: 6}, Own{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "pressure", float64(r.Pressure), 9098, 0.001)
	near(t, "suction", float64(r.Suction), 4549, 0.001)
	given := si.Pressure(5000)
	if _, found, err := Of(Spec{Speed: 120, Pressure: &given}, Own{}); err != nil || !has(found, "pressure-too-low") {
		t.Errorf("%+v %v", found, err)
	}
	if r, _, err = Of(Spec{Pressure: &given}, Own{Suction: 4000, Bore: 0.0045}); err != nil || r.Suction != 4000 {
		t.Errorf("%+v %v", r, err)
	}
	near(t, "pull on a 76 mm hose", float64(r.Clamp), 22.5, 1e-9)
}

// Radiation of a pipe at 600 °C that fills a fifth of the view, ε 0.8, on a wall of
// 90 °C: 5.1 kW/m² ([incropera2007] chapter 13, by hand). A polished sheet between
// keeps 7.3 % of it. A wall that settles gives back what it takes.
func TestRadiation(t *testing.T) {
	s := Exhaust{Temperature: si.Celsius(600), View: 0.2}.filled()
	near(t, "flux", s.flux(363.15), 5120, 0.005)
	shielded := Exhaust{Temperature: si.Celsius(600), View: 0.2, Shield: true}.filled()
	near(t, "behind a sheet", shielded.flux(363.15)/s.flux(363.15), 1.5/20.5, 1e-9)
	wall := s.settles()
	near(t, "balance", s.flux(wall), s.film*(wall-s.bay)+0.8*0.8*stefanBoltzmann*(math.Pow(wall, 4)-math.Pow(s.bay, 4)), 1e-4)
	if !(wall > shielded.settles() && shielded.settles() > s.bay) {
		t.Errorf("walls %.0f and %.0f K", wall, shielded.settles())
	}
	pipe := Exhaust{Temperature: si.Celsius(600), View: 0.2}
	r, found, err := Of(Spec{Exhaust: &pipe}, Own{})
	if err != nil || *r.Wall != *r.Radiated || !has(found, "wall-by-exhaust") {
		t.Errorf("%+v %v", r, err)
	}
	given := si.Celsius(90)
	r, found, err = Of(Spec{Exhaust: &pipe, Wall: &given}, Own{})
	if err != nil || *r.Wall != given || !has(found, "wall-below-exhaust") {
		t.Errorf("%+v %v", r, err)
	}
}

func TestRefusals(t *testing.T) {
	far, cold := si.Pressure(2e6), si.Celsius(-80)
	for name, l := range map[string]Spec{
		"pressure of a boiler": {Pressure: &far},
		"wall beyond cold":     {Wall: &cold},
		"speed of sound":       {Speed: 340},
		"cold pipe":            {Exhaust: &Exhaust{Temperature: si.Celsius(20), View: 0.2}},
		"unseen pipe":          {Exhaust: &Exhaust{Temperature: si.Celsius(600)}},
	} {
		if _, _, err := Of(l, Own{}); err == nil {
			t.Errorf("%s was taken", name)
		}
	}
}
