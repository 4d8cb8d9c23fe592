package duty

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"laywright/internal/base/air"
	"laywright/internal/base/si"
	"laywright/internal/stage/cabin"
	"laywright/internal/stage/ducting"
	"laywright/internal/stage/exchanger"
	"laywright/internal/stage/loads"
)

// oneCase is a row of testdata/cases.json: a check value with its source.
type oneCase struct {
	Name, Source, Kind, Grade, Fn, Unit, Note string
	Inputs                                    map[string]any
	Expected                                  float64
	Tolerance                                 struct{ Rel, Abs float64 }
}

func (c oneCase) f(key string) float64 { v, _ := c.Inputs[key].(float64); return v }

func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s: got %.6g, want %.6g within %.2g", what, got, want, rel)
	}
}

var functions = map[string]func(c oneCase) float64{
	"colebrook":        func(c oneCase) float64 { return ducting.Darcy(c.f("Re"), c.f("eD")) },
	"haaland":          func(c oneCase) float64 { return ducting.Darcy(c.f("Re"), c.f("eD")) },
	"K_expansion":      func(c oneCase) float64 { return ducting.Expansion(c.f("A1_A2")) },
	"K_contraction":    func(c oneCase) float64 { return ducting.Contraction(c.f("A2_A1")) },
	"dh_rect":          func(c oneCase) float64 { return ducting.HydraulicDiameter(c.f("a"), c.f("b")) },
	"hose_f_hawthorne": func(c oneCase) float64 { return ducting.HoseFriction(c.f("D"), c.f("s")) },
	"flex_pdcf": func(c oneCase) float64 {
		return ducting.Crumple(si.Fraction(c.f("rc_pct")/100), si.Length(c.f("D_mm")/1000))
	},
	"q_comp": func(c oneCase) float64 {
		return float64(air.Impact(si.Pressure(c.f("p")), si.Temperature(c.f("T")), si.Velocity(c.f("V"))))
	},
	"ram_rise":          func(c oneCase) float64 { return float64(air.RamRise(si.Velocity(c.f("V")))) },
	"isa_q":             standardAir,
	"u_wall":            wallCase,
	"cabin_supply_temp": supplyCase,
	"cabin_tau":         timeConstant,
	"bleed":             func(c oneCase) float64 { return cabin.BleedAt(c.f("PR"), c.f("T1")).Outlet },
	"bleed_fuel":        func(c oneCase) float64 { return c.f("mdot") * cabin.BleedAt(6, 263).Fuel },
	"hose_axial": func(c oneCase) float64 {
		_, hose, _ := ducting.Split([]ducting.Duct{{Hose: si.Length(c.f("D"))}}, nil, false, "duty.heater")
		p := si.Pressure(c.f("p"))
		r, _, _ := loads.Of(loads.Spec{Pressure: &p}, loads.Own{Bore: hose.Widest()})
		return float64(r.Clamp)
	},
	"K_perforated": func(c oneCase) float64 { return ducting.Plate(c.f("phi")) },
	"lib_miter":    func(oneCase) float64 { return ducting.Mitre },
	"co_equilibrium_ppm": func(c oneCase) float64 {
		return 1e6 * cabin.Monoxide(si.VolumeFlow(c.f("source_m3s")), si.VolumeFlow(c.f("vent_m3s")))
	},
	"oil_heat_max": func(c oneCase) float64 {
		q, _ := Liquid{Fluid: "piston-oil-sae50", Shaft: si.Power(c.f("P_shaft"))}.available()
		return q
	},
	"dict_get": otherCase,
}

func TestPublishedCases(t *testing.T) {
	text, err := os.ReadFile("testdata/cases.json")
	if err != nil {
		t.Fatal(err)
	}
	var cases []oneCase
	if err := json.Unmarshal(text, &cases); err != nil {
		t.Fatal(err)
	}
	for _, c := range cases {
		f, known := functions[c.Fn]
		if !known {
			t.Errorf("%s: no function for %s", c.Name, c.Fn)
			continue
		}
		limit := max(c.Tolerance.Abs, c.Tolerance.Rel*math.Abs(c.Expected))
		if got := f(c); !(math.Abs(got-c.Expected) <= limit) {
			t.Errorf("%s: got %.6g, want %.6g within %.2g (%s)", c.Name, got, c.Expected, limit, c.Source)
		}
	}
	t.Logf("%d cases", len(cases))
}

func standardAir(c oneCase) float64 {
	p, temperature := air.Standard(si.Length(c.f("h_m")))
	switch c.Inputs["quantity"] {
	case "p":
		return float64(p)
	case "T":
		return float64(temperature)
	case "mu":
		return float64(air.Viscosity(temperature))
	}
	return float64(air.Density(p, temperature))
}

func wallCase(c oneCase) float64 {
	inner, outer := si.HeatTransfer(c.f("h_in")), si.HeatTransfer(c.f("h_out"))
	w := cabin.Wall{Inner: &inner, Outer: &outer}
	for _, l := range c.Inputs["layers"].([]any) {
		pair := l.([]any)
		w.Layers = append(w.Layers, cabin.Layer{Thickness: si.Length(pair[0].(float64)), Conductivity: si.Conductivity(pair[1].(float64))})
	}
	u, _ := w.UValue("wall")
	return u
}

// supplyCase returns the outlet temperature that just does, at the constant c_p
// of 1005 J/(kg K) that the case was worked with.
func supplyCase(c oneCase) float64 {
	each := si.MassFlow(c.f("mdot"))
	s, err := cabin.Of(cabin.Spec{Target: si.Celsius(c.f("T_cab")), Conductance: si.Conductance(c.f("UA")), People: 1, Fresh: &each,
		Infiltration: si.MassFlow(c.f("mdot_leak")), Gains: si.Power(c.f("Q_gain"))}, si.Celsius(c.f("T_oat")))
	if err != nil {
		return math.NaN()
	}
	at := s.Judge(c.f("mdot"), c.Expected+273.15, true).Supply.Celsius()
	cp := float64(air.SpecificHeat(si.Celsius((c.Expected + c.f("T_cab")) / 2)))
	return c.f("T_cab") + (at-c.f("T_cab"))*cp/1005
}

// timeConstant reads the time constant off the warm-up: the time to a target at
// 1 − 1/e of the way to where the cabin settles is one time constant.
func timeConstant(c oneCase) float64 {
	capacity, each := si.HeatCapacity(c.f("C_th")), si.MassFlow(c.f("mdot"))
	spec := cabin.Spec{Target: 290, Conductance: si.Conductance(c.f("UA")), People: 1, Fresh: &each, Capacity: &capacity}
	const out, outside = 350, 263.15
	judge := func() cabin.Result {
		s, err := cabin.Of(spec, outside)
		if err != nil {
			return cabin.Result{}
		}
		return s.Judge(c.f("mdot"), out, true)
	}
	for range 60 {
		spec.Target = outside + (1-1/math.E)*(*judge().Settles-outside)
	}
	return float64(*judge().Warmup)
}

func otherCase(c oneCase) float64 {
	switch c.Inputs["fn"] {
	case "_lbmin":
		return freshOfOne()
	case "wall_temp": // heat through a wall from hot air: the inner face
		a, b := si.HeatTransfer(c.f("h_in")), si.HeatTransfer(c.f("h_out"))
		w := cabin.Wall{Inner: &a, Outer: &b, Layers: []cabin.Layer{{Thickness: si.Length(c.f("t")), Conductivity: si.Conductivity(c.f("k"))}}}
		u, _ := w.UValue("wall")
		return c.f("T_air") - u*(c.f("T_air")-c.f("T_out"))/c.f("h_in")
	case "oil_280kW":
		return oilOf280kW(c.Inputs["key"].(string))
	case "fan_point": // a blower of Δp = p₀(1 − (Q/Q₀)²) on a loss of K·Q²
		return fanPoint(c.f("p0"), c.f("Q0"), c.f("Ksys"))
	}
	return math.NaN()
}

// Standard atmosphere at 10 000 ft and 18 000 ft, ICAO tables: pressure, °C, density.
func TestStandardAtmosphere(t *testing.T) {
	for _, c := range []struct{ feet, p, celsius, rho float64 }{
		{10000, 69682, -4.812, 0.90464}, {18000, 50600, -20.66, 0.6981}, {36089.24, 22632, -56.5, 0.36391}, {65616, 5475, -56.5, 0.08803}} {
		h := si.Length(c.feet * 0.3048)
		s, err := stateOf(Place{Altitude: &h}, "duty.air")
		if err != nil {
			t.Fatal(err)
		}
		near(t, "pressure", float64(s.Pressure), c.p, 2e-4)
		near(t, "temperature", float64(s.Temperature), c.celsius+273.15, 1e-4)
		near(t, "density", float64(s.Density), c.rho, 3e-4)
	}
}

// oilOf280kW turns a manual's figures into SI: 1900 BTU/min and 10.5 gal/min of
// oil of 850 kg/m³ and 2200 J/(kg K).
func oilOf280kW(key string) float64 {
	heat, err := si.Parse[si.Power]("114000 BTU/h")
	volume, also := si.Parse[si.VolumeFlow]("10.5 gal/min")
	if err != nil || also != nil {
		return math.NaN()
	}
	flow := float64(exchanger.LiquidFlow{ByVolume: volume}.Mass(850))
	return map[string]float64{"Q_kW": float64(heat) / 1000, "mdot": flow, "dT": float64(heat) / (flow * 2200)}[key]
}

// freshOfOne is what a person is given, read off the need of a cabin of one.
func freshOfOne() float64 {
	s, err := cabin.Of(cabin.Spec{Target: si.Celsius(20), Conductance: 1, People: 1}, si.Celsius(0))
	if err != nil {
		return math.NaN()
	}
	return s.Fresh
}
