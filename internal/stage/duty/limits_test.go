package duty

import (
	"errors"
	"strings"
	"testing"

	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// problems reads a duty and returns what the reader refuses.
func problems(t *testing.T, text string) string {
	t.Helper()
	root, wrong := bind.Parse([]byte(text))
	if len(wrong) > 0 {
		t.Fatal(wrong)
	}
	var s Spec
	b := bind.New()
	b.Into(&s, "duty", root)
	var out []string
	for _, p := range b.Problems {
		out = append(out, p.Path+": "+p.What)
	}
	return strings.Join(out, "\n")
}

// What is given as nothing or less must not pass for what was left out.
func TestNothingIsNotAbsent(t *testing.T) {
	for text, want := range map[string]string{
		`{heater: {air: {flow: "0 kg/s"}}}`:                       "duty.heater.air.flow: flow is 0 kg/s; it must be more than 0",
		`{heater: {air: {flow: "-0.06 kg/s"}}}`:                   "must be more than 0",
		`{heater: {air: {available: "0 Pa"}}}`:                    "must be more than 0",
		`{heater: {air: {available: "-5 Pa"}}}`:                   "must be more than 0",
		`{heater: {air: {ram: {speed: "0 kt"}}}}`:                 "must be more than 0",
		`{heater: {air: {ram: {recovery: 1.5}}}}`:                 "at most 1",
		`{heater: {liquid: {flow: "0 L/min"}}}`:                   "the liquid's flow is 0 L/min",
		`{heater: {liquid: {flow: "-0.2 kg/s"}}}`:                 "the liquid's flow is -0.2 kg/s",
		`{heater: {liquid: {heat_capacity_rate: "0 W/K"}}}`:       "must be more than 0",
		`{heater: {liquid: {available: "-1 W"}}}`:                 "must be more than 0",
		`{heater: {core: {rated: {air_loss: "0 Pa"}}}}`:           "must be more than 0",
		`{heater: {core: {measured: [{heat: "-5 W"}]}}}`:          "must be more than 0",
		`{heater: {ducts: [{hose: "0 mm"}]}}`:                     "must be more than 0",
		`{cabin: {skin: "0 m^2"}}`:                                "must be more than 0",
		`{cabin: {conductance: "-1 W/K"}}`:                        "must be more than 0",
		`{cabin: {gains: "-100 W"}}`:                              "at least 0",
		`{cabin: {people: -1}}`:                                   "at least 0",
		`{cabin: {infiltration: "-0.01 kg/s"}}`:                   "at least 0",
		`{air: {altitude: "400000 ft"}}`:                          "at most 20000 m (65617 ft)",
		`{air: {outside: "300 degF"}}`:                            "at most 60 degC (140 degF)",
		`{cabin: {target: "120 degF"}}`:                           "at most 40 degC (104 degF)",
		`{heater: {air: {inlet: "-10 degC", flow: "0.06 kg/s"}}}`: "",
		`{cabin: {people: 0, infiltration: "0 kg/s"}}`:            "",
	} {
		got := problems(t, text)
		if want == "" && got != "" || !strings.Contains(got, want) {
			t.Errorf("%s: %q, want %q", text, got, want)
		}
	}
}

func TestPressureOrAltitude(t *testing.T) {
	_, err := Compute(Input{Spec: read(t, `air: {pressure: "84.3 kPa", altitude: "10000 ft"}`)})
	var input *fault.Input
	if !errors.As(err, &input) || input.Field != "duty.air.pressure" {
		t.Errorf("both given: %v", err)
	}
	// The heater's own air stands over duty.air, whichever of the two either gives.
	r, err := Compute(Input{Spec: read(t, strings.Replace(rated, `altitude: "0 m"`, `pressure: "84.3 kPa"`, 1)+`
air: {altitude: "10000 ft"}`)})
	if err != nil || r.Heater == nil {
		t.Fatal(err)
	}
	far := si.Length(122e3)
	if _, err = stateOf(Place{Altitude: &far}, "duty.air"); err == nil || !strings.Contains(err.Error(), "is 122 km; it must be -1 to 20 km (-3300 to 65600 ft") {
		t.Errorf("%v", err)
	}
}

const rated = `
heater:
  core: {rated: {UA: "65 W/K", air_exponent: 0.5, at: "0.06 kg/s", air_loss: "28 Pa"}}
  passes: 1
  liquid: {heat_capacity_rate: "650 W/K", inlet: "85 degC"}
  air: {outside: "-20 degC", altitude: "0 m", flow: "0.06 kg/s"}
`

// A rating holds for half to double its flow, in each pass.
func TestFarFromRating(t *testing.T) {
	for _, c := range []struct {
		flow   string
		passes string
		far    bool
	}{{"0.06", "1", false}, {"0.12", "1", false}, {"0.125", "1", true}, {"0.03", "1", false}, {"0.029", "1", true}, {"0.06", "2", false}, {"0.06", "3", true}, {"0.51", "1", true}} {
		text := strings.Replace(strings.Replace(rated, `flow: "0.06`, `flow: "`+c.flow, 1), "passes: 1", "passes: "+c.passes, 1)
		r, err := Compute(Input{Spec: read(t, text)})
		if err != nil {
			t.Fatal(err)
		}
		if has(r.Findings, "core-far-from-known") != c.far {
			t.Errorf("%s kg/s in %s passes: %v", c.flow, c.passes, !c.far)
		}
	}
}

// Water freezes at 0 degC; half glycol of the library is known to -30 degC.
func TestFreezingIsSaid(t *testing.T) {
	set := library(t)
	for _, c := range []struct {
		fluid, air string
		freezes    bool
	}{{"water", "-10", true}, {"water", "5", false}, {"glycol-50", "-10", false}, {"glycol-50", "-40", true}} {
		fluid := set.Fluids[c.fluid]
		spec := read(t, `
heater:
  core: {rated: {UA: "65 W/K", at: "0.06 kg/s"}}
  passes: 1
  liquid: {fluid: `+c.fluid+`, flow: "18 L/min", inlet: "60 degC"}
  air: {inlet: "`+c.air+` degC", flow: "0.06 kg/s"}
`)
		r, err := Compute(Input{Spec: spec, Fluid: &fluid})
		if err != nil {
			t.Fatal(err)
		}
		if has(r.Findings, "liquid-may-freeze") != c.freezes {
			t.Errorf("%s, air at %s degC: %v", c.fluid, c.air, !c.freezes)
		}
	}
}

// 7 m² of unlined skin at 6.5 W/(m²K), 15 K warmer outside: 682.5 W come in.
func TestCabinThatNeedsNoHeat(t *testing.T) {
	r, err := Compute(Input{Spec: read(t, `cabin: {target: "15 degC", outside: "30 degC", skin: "7 m^2"}`)})
	if err != nil {
		t.Fatal(err)
	}
	if r.Cabin.Need != 0 {
		t.Errorf("need %v W", r.Cabin.Need)
	}
	for _, f := range r.Findings {
		if f.Code == "cabin-needs-no-heat" {
			near(t, "surplus", *f.Value, -682.5, 1e-9)
			return
		}
	}
	t.Error("nothing is said")
}

// A test point with more heat than air and liquid can exchange: 40 g/s of air
// over 60 K takes up some 2.4 kW at most.
func TestImpossibleTestPoint(t *testing.T) {
	set := library(t)
	fluid := set.Fluids["glycol-50"]
	_, err := Compute(Input{Fluid: &fluid, Spec: read(t, `
heater:
  core: {measured: [{air_flow: "0.04 kg/s", air_in: "20 degC", liquid_flow: "0.2 kg/s", liquid_in: "80 degC", heat: "15000 W"}]}
  passes: 1
  liquid: {fluid: glycol-50, flow: "18 L/min", inlet: "85 degC"}
  air: {inlet: "-10 degC", pressure: "84.3 kPa", flow: "0.06 kg/s"}
`)})
	var limit *fault.Range
	if !errors.As(err, &limit) || limit.Field != "duty.heater.core.measured[0].heat" || limit.Unit != " W" {
		t.Fatal(err)
	}
	near(t, "most", limit.Max, 0.04*1007*60, 0.01)
	near(t, "given", limit.Value, 15000, 1e-9)
}

// Air that comes in hotter than the liquid, and a liquid outside its table, are
// refused with the range; a flow between the fins outside the correlation is
// answered with a caution that states it.
func TestOutOfRange(t *testing.T) {
	set := library(t)
	for _, c := range []struct{ swap, with, field string }{
		{`outside: "-20 degC", outlet`, `inlet: "90 degC", outlet`, "duty.heater.air.inlet"},
		{`inlet: "185 degF"`, `inlet: "280 degF"`, "duty.heater.liquid.inlet"},
	} {
		spec := read(t, strings.Replace(demist, c.swap, c.with, 1))
		fluid, fins := set.Fluids[spec.FluidName()], set.Fins[spec.FinsName()]
		_, err := Compute(Input{Spec: spec, Fluid: &fluid, Fins: &fins})
		var limit *fault.Range
		if !errors.As(err, &limit) || limit.Field != c.field {
			t.Errorf("%s: %v", c.with, err)
		}
	}
	slow := run1(t, strings.Replace(strings.Replace(demist, `ram: {speed: "95 kt", recovery: 0.6}`, `flow: "0.008 kg/s"`, 1), "passes: auto", "passes: 1", 1))
	for _, f := range slow.Findings {
		if f.Code == "core-out-of-range" {
			if *f.Limit != 100 || !strings.Contains(f.Why, "100 to 3000") {
				t.Errorf("%+v", f)
			}
			return
		}
	}
	t.Error("air slower than the correlation's passes unremarked")
}
