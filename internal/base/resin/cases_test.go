package resin

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"laywright/internal/base/si"
)

// one is a case of testdata/cases.json. Its values were computed apart from this
// program, by closed forms or by LSODA at a relative tolerance of 1e-10; each
// says where its constants come from.
type one struct {
	Name      string
	Inputs    map[string]any
	Expected  map[string]any
	Tolerance map[string]float64
}

func load(t *testing.T, name string) one {
	t.Helper()
	raw, err := os.ReadFile("testdata/cases.json")
	if err != nil {
		t.Fatal(err)
	}
	var all []one
	if err := json.Unmarshal(raw, &all); err != nil {
		t.Fatal(err)
	}
	for _, c := range all {
		if c.Name == name {
			return c
		}
	}
	t.Fatalf("no case %s", name)
	return one{}
}

func (c one) in(key string) float64   { return c.Inputs[key].(float64) }
func (c one) want(key string) float64 { return c.Expected[key].(float64) }
func list(x any) []float64 {
	var out []float64
	for _, v := range x.([]any) {
		out = append(out, v.(float64))
	}
	return out
}

func near(t *testing.T, what string, got, want, abs float64) {
	t.Helper()
	if !(math.Abs(got-want) <= abs) {
		t.Errorf("%s: %.7g, want %.7g ± %.2g", what, got, want, abs)
	}
}

// amine is the reduced amine law with K₂ at 25 degC.
func amine(k2, r0, e, tRef float64) Law {
	a := si.Rate(k2 * math.Exp(e/(gasConstant*tRef)))
	return Law{Kinetics: Kinetics{A1: si.Rate(r0) * a, A2: a, E1: si.MolarEnergy(e), E2: si.MolarEnergy(e), M: 1, N: 2},
		Heat: 430e3, Gel: 0.55, Cp: 1900, Density: 1150, K: 0.2,
		Glass: Glass{Start: si.Celsius(-45), Full: si.Celsius(98), Lambda: 0.4}}
}

func degreeAt(t *testing.T, l Law, at si.Time, temperature si.Temperature) float64 {
	t.Helper()
	a, err := l.After(0, []Hold{{at, temperature}})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func TestNthOrderClosedForm(t *testing.T) {
	c := load(t, "kin_nth_order_analytic")
	l := Law{Kinetics: Kinetics{A1: si.Rate(c.in("k_1_s")), N: c.in("n")}}
	near(t, c.Name, degreeAt(t, l, si.Time(c.in("t_s")), 300), c.want("alpha"), 1e-6)
}

func TestAutocatalyticClosedForm(t *testing.T) {
	for _, name := range []string{"kin_kamal_m1n1_analytic_t600", "kin_kamal_m1n1_analytic_t1800", "kin_kamal_m1n1_analytic_t3600"} {
		c := load(t, name)
		l := Law{Kinetics: Kinetics{A1: si.Rate(c.in("k1_1_s")), A2: si.Rate(c.in("k2_1_s")), M: 1, N: 1}}
		near(t, name, degreeAt(t, l, si.Time(c.in("t_s")), 300), c.want("alpha"), 1.2e-6) // the case is printed to 1e-6
	}
}

func TestReducedTimeClosedForm(t *testing.T) {
	for _, name := range []string{"kin_horie_gel_integral_r0_0.02", "kin_horie_gel_integral_r0_0.1", "kin_horie_gel_integral_r0_0.5"} {
		c := load(t, name)
		f := sheetFit{ratio: c.in("r0")}
		want := c.want("K2_t")
		near(t, name, f.reduced(c.in("alpha"), 300), want, 2e-6*want)
		// and the same through the integrator
		l := amine(1e-3, c.in("r0"), 55e3, 298.15)
		at, ok, err := l.GelTime(298.15)
		if !ok || err != nil {
			t.Fatal(ok, err)
		}
		near(t, name+" by steps", float64(at)*1e-3, want, 4e-6*want) // printed to six digits
	}
}

func TestRateDoublesPerTenKelvin(t *testing.T) {
	c := load(t, "kin_rule_halving_per_10C")
	k := Kinetics{A1: 1, E1: si.MolarEnergy(c.want("E_J_mol"))}
	near(t, c.Name, k.chemical(308.15, 0)/k.chemical(298.15, 0), 2, 2e-4)
	c = load(t, "kin_factor_10C_E50_55_60")
	for i, e := range list(c.Inputs["E_J_mol"]) {
		k.E1 = si.MolarEnergy(e)
		near(t, c.Name, k.chemical(303.15, 0)/k.chemical(293.15, 0), list(c.Expected["rate_ratio"])[i], 2e-4)
	}
}

func TestGlassTransition(t *testing.T) {
	c := load(t, "tg_dibenedetto")
	g := Glass{Start: si.Celsius(c.in("Tg0_C")), Full: si.Celsius(c.in("Tginf_C")), Lambda: c.in("lam")}
	for i, a := range list(c.Inputs["alpha"]) {
		near(t, c.Name, g.Transition(a).Celsius(), list(c.Expected["Tg_C"])[i], 1e-3)
	}
	c = load(t, "tg_dibenedetto_inverse")
	for i, tg := range list(c.Inputs["Tg_C"]) {
		near(t, c.Name, g.Degree(si.Celsius(tg)), list(c.Expected["alpha"])[i], 1e-5)
	}
}

// limited is the resin of the published pair of glass transitions 58 and 73 degC.
func limited(c one) Law {
	f := sheetFit{ratio: c.in("r0")}
	l := amine(f.reduced(c.in("a_gel"), 300)/c.in("t_gel_s"), c.in("r0"), c.in("E"), c.in("Tref_K"))
	l.Diffusion = &Diffusion{Shift: c.in("Dd_K"), Width: c.in("w_K")}
	return l
}

func TestGlassTransitionAfterPrograms(t *testing.T) {
	c := load(t, "cure_surrogate_Tg_programs")
	l := limited(c)
	for name, program := range c.Inputs["programs"].(map[string]any) {
		var holds []Hold
		for _, step := range program.([]any) {
			v := list(step)
			holds = append(holds, Hold{si.Time(v[1] * 3600), si.Celsius(v[0])})
		}
		a, err := l.After(0, holds)
		if err != nil {
			t.Fatal(err)
		}
		want := c.Expected[name].(map[string]any)
		near(t, name+" degree", a, want["alpha"].(float64), 1e-4)
		near(t, name+" transition", l.Glass.Transition(a).Celsius(), want["Tg_C"].(float64), 0.03)
	}
}

// A ramp after a day at 21 degC: how far the transition stays ahead of the oven.
func TestTransitionAheadOfRamp(t *testing.T) {
	c := load(t, "postcure_ramp_margin")
	l := limited(c)
	for name, ramp := range map[string]float64{"5K_h": 5, "10K_h": 10, "20K_h": 20, "60K_h": 60, "120K_h": 120} {
		course := l.Start(0)
		day := si.Time(c.in("start_h") * 3600)
		from, to := si.Celsius(c.in("start_C")), si.Celsius(c.in("Tmax_C"))
		least := math.Inf(1)
		if err := course.Follow(0, day, from, from, nil); err != nil {
			t.Fatal(err)
		}
		end := day + si.Time(float64(to-from)/ramp*3600)
		if err := course.Follow(day, end, from, to, func(_, g Glimpse, _ func(si.Time) float64) bool {
			least = math.Min(least, float64(l.Glass.Transition(g.Degree)-g.Temperature))
			return true
		}); err != nil {
			t.Fatal(err)
		}
		near(t, name, least, c.Expected["min_Tg_minus_T_K"].(map[string]any)[name].(float64), 0.7)
	}
}

func TestCups(t *testing.T) {
	for _, name := range []string{"cup_lumped_m0.1_UA0.11_T25", "cup_lumped_m0.1_UA0_T25", "cup_lumped_m0.1_UA0.11_T35"} {
		c := load(t, name)
		l := amine(c.in("K2_298K_1_s"), c.in("r0"), c.in("E_J_mol"), 298.15)
		loss := si.Conductance(math.Max(c.in("UA_W_K"), 1e-12))
		p, err := l.Watch(Cup{Mass: si.Mass(c.in("m_kg")), Air: si.Celsius(c.in("T_amb_C")), Loss: loss})
		if err != nil {
			t.Fatal(err)
		}
		near(t, name+" gel", float64(*p.Gel), c.want("t_gel_s"), 0.002*c.want("t_gel_s"))
		near(t, name+" peak", p.Peak.Celsius(), c.want("T_peak_C"), 0.005*c.want("T_peak_C"))
		if at, ok := c.Expected["t_peak_s"].(float64); ok {
			near(t, name+" peak at", float64(p.PeakAt), at, 0.005*at)
		}
		if !p.RunsOff {
			t.Errorf("%s is not seen to run off", name)
		}
	}
}

func TestPotLifeMap(t *testing.T) {
	c := load(t, "cup_film_gel_to_pot_life_map")
	for film, row := range c.Expected {
		var hours float64
		if err := json.Unmarshal([]byte(film[len("film_gel_"):len(film)-1]), &hours); err != nil {
			t.Fatal(err)
		}
		for ratio, want := range row.(map[string]any) {
			var r0 float64
			if err := json.Unmarshal([]byte(ratio[len("r0_"):]), &r0); err != nil {
				t.Fatal(err)
			}
			f := sheetFit{ratio: r0}
			l := amine(f.reduced(0.55, 300)/(hours*3600), r0, 55e3, 298.15)
			p, err := l.Watch(Cup{Mass: 0.1, Air: si.Celsius(25)})
			if err != nil {
				t.Fatal(err)
			}
			w := want.(map[string]any)
			life, peak := w["pot_life_s"].(float64), w["T_peak_C"].(float64)
			near(t, film+" "+ratio+" gel", float64(*p.Gel), life, 0.005*life)
			near(t, film+" "+ratio+" peak", p.Peak.Celsius(), peak, 0.005*peak)
			if p.RunsOff != (peak > 65) {
				t.Errorf("%s %s: runs off %v at a peak of %.0f", film, ratio, p.RunsOff, peak)
			}
		}
	}
}

func TestViscosity(t *testing.T) {
	c := load(t, "visc_arrhenius_55")
	l := Law{Gel: 0.55, Flow: &Flow{Fresh: si.Viscosity(c.in("mu25_Pa_s")), At: si.Celsius(25), E: si.MolarEnergy(c.in("E_J_mol"))}}
	for i, at := range list(c.Inputs["T_C"]) {
		mu, _ := l.Viscosity(si.Celsius(at), 0)
		want := list(c.Expected["mu_Pa_s"])[i]
		near(t, c.Name, float64(mu), want, 1e-4*want)
	}
	c = load(t, "visc_doubling_time")
	mu, _ := l.Viscosity(si.Celsius(25), c.want("alpha_at_doubling"))
	near(t, c.Name, float64(mu)/0.8, 2, 1e-3)
	if mu, ok := l.Viscosity(300, 0.55); !ok || !math.IsInf(float64(mu), 1) {
		t.Errorf("gelled resin flows: %v", mu)
	}
	if _, ok := (&Law{}).Viscosity(300, 0); ok {
		t.Error("a viscosity from nowhere")
	}
}
