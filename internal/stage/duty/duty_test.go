package duty

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/si"
	"laywright/internal/stage/exchanger"
)

// library reads the embedded library's liquids and fins from their files, so
// that this package need not import it.
func library(t *testing.T) material.Set {
	t.Helper()
	var set material.Set
	for _, name := range []string{"fluids", "fins"} {
		text, err := os.ReadFile("../../store/catalogue/data/" + name + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		root, problems := bind.Parse(text)
		b := bind.New()
		b.Into(&set, "", root)
		if len(problems)+len(b.Problems) > 0 {
			t.Fatal(problems, b.Problems)
		}
	}
	return set
}

const demist = `
heater:
  core:
    geometry: {face: {width: "9.5 in", height: "6 in"}, depth: "2 in", fins: louvred-14fpi, tubes: {turbulators: true}}
  arrangement: across-counter
  passes: auto
  liquid: {fluid: glycol-50, flow: "18 L/min", inlet: "185 degF", least_outlet: "70 degC"}
  air: {ram: {speed: "95 kt", recovery: 0.6}, altitude: "4300 ft", outside: "-20 degC", outlet_limit: "90 degC"}
  ducts: [{hose: "76 mm", length: "3 m", bends: ["90 deg"]}]
cabin: {target: "15 degC", outside: "-20 degC", skin: "7 m^2", people: 2, infiltration: "0.01 kg/s", gains: "150 W"}
loads: {pressure: "5 kPa", wall_temperature: "195 degF", inertia: 6, handling: {force: "100 N", at: {unit: mm, xyz: [0, 0, 70]}}, deflection_limit: "2 mm", factor: 2.0}
`

func run1(t *testing.T, text string) Result {
	t.Helper()
	set, spec := library(t), read(t, text)
	fluid, fins := set.Fluids[spec.FluidName()], set.Fins[spec.FinsName()]
	r, err := Compute(Input{Spec: spec, Fluid: &fluid, Fins: &fins})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func has(fs []fault.Finding, code string) bool {
	for _, f := range fs {
		if f.Code == code {
			return true
		}
	}
	return false
}

// A whole duty: every part is there, numbers hang together, the keys are those
// of the contract, and nothing is NaN (JSON would refuse it).
func TestWholeDuty(t *testing.T) {
	r := run1(t, demist)
	text, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	for _, key := range strings.Fields(`"passes" "air_flow_kg_per_s" "heat_W" "useful_heat_W" "air_out_degC" "liquid_out_degC" "core_loss_Pa"
		"turn_loss_Pa" "duct_loss_Pa" "effectiveness" "NTU" "pass_table" "loss_Pa" "box_depth_m" "need_W" "margin_W" "warmup_s"
		"pressure_Pa" "density_kg_per_m3" "temperature_degC"`) {
		if !strings.Contains(string(text), key+":") {
			t.Errorf("no key %s", key)
		}
	}
	h := r.Heater
	supply := 0.6 * float64(r.Air.Impact)
	near(t, "losses", float64(*h.CoreLoss)+float64(*h.TurnLoss)+float64(h.DuctLoss), supply, 1e-6)
	if !(h.AirOut < si.Celsius(85) && h.AirOut > si.Celsius(20) && h.LiquidOut > si.Celsius(70) && *h.Useful > 1500) {
		t.Errorf("outlet %.1f, liquid %.1f, useful %.0f W: not what such a box does", h.AirOut.Celsius(), h.LiquidOut.Celsius(), float64(*h.Useful))
	}
	if h.Passes != 2 || !strings.Contains(h.Reason, "three would bring") {
		t.Errorf("%d passes: %s", h.Passes, h.Reason)
	}
	if len(h.PassTable) != exchanger.MostPasses || len(h.Path) != h.Passes {
		t.Errorf("%d rows, %d passes in the path", len(h.PassTable), len(h.Path))
	}
	if !has(r.Findings, "cabin-air-safety") || !has(r.Findings, "core-not-tested") {
		t.Error("cautions are missing")
	}
}

// The same job gives the same bytes.
func TestSameBytes(t *testing.T) {
	a, _ := json.Marshal(run1(t, demist))
	b, _ := json.Marshal(run1(t, demist))
	if string(a) != string(b) {
		t.Error("two runs differ")
	}
}

func TestLoads(t *testing.T) {
	r, err := Compute(Input{Spec: read(t, `loads: {speed: "120 m/s", inertia: 6, handling: {force: "100 N"}}`)})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "pressure at 120 m/s", float64(r.Loads.Pressure), 9098, 0.001) // isentropic, sea level
	near(t, "suction", float64(r.Loads.Suction), 4549, 0.001)
	if len(r.Loads.Cases) != 4 || r.Loads.Cases[1].Pressure >= 0 || r.Loads.Wall != nil {
		t.Errorf("cases %+v", r.Loads.Cases)
	}
	hot := run1(t, strings.Replace(demist, `wall_temperature: "195 degF"`, `wall_temperature: "60 degC"`, 1))
	if !has(hot.Findings, "wall-below-soak") {
		t.Error("a wall below the liquid's temperature passes unremarked")
	}
	weak := run1(t, strings.Replace(demist, `pressure: "5 kPa"`, `pressure: "500 Pa"`, 1))
	if !has(weak.Findings, "pressure-too-low") {
		t.Error("a pressure below the ram's passes unremarked")
	}
}

// A day as the main one gives the same numbers; a colder one needs more; the
// hottest liquid of all days is what the wall soaks to.
func TestDays(t *testing.T) {
	text := strings.Replace(demist, "  ducts:", `  days:
    - {name: same}
    - {name: cold morning, outside: "-30 degC", liquid_inlet: "60 degC"}
    - {name: climb, speed: "70 kt", liquid_inlet: "105 degC"}
  ducts:`, 1)
	r := run1(t, text)
	if len(r.Days) != 3 {
		t.Fatal(r.Days)
	}
	near(t, "heat", float64(r.Days[0].Heat), float64(r.Heater.Heat), 1e-9)
	near(t, "margin", float64(*r.Days[0].Margin), float64(*r.Cabin.Margin), 1e-9)
	if !(*r.Days[1].Margin < *r.Days[0].Margin && r.Days[2].AirFlow < r.Days[0].AirFlow && r.Days[2].AirOut > r.Days[0].AirOut) {
		t.Errorf("days %+v", r.Days)
	}
	// The second day is what the job would be had it that day alone.
	alone := run1(t, strings.NewReplacer(`outside: "-20 degC", outlet`, `outside: "-30 degC", outlet`, `inlet: "185 degF"`, `inlet: "60 degC"`, `outside: "-20 degC", skin`, `outside: "-30 degC", skin`, "passes: auto", "passes: 2").Replace(demist))
	near(t, "margin of the cold morning", float64(*r.Days[1].Margin), float64(*alone.Cabin.Margin), 1e-9)
	if !has(r.Findings, "liquid-overcooled") || !has(r.Findings, "wall-below-soak") {
		t.Error("what goes wrong on the days is not said")
	}
}

// Findings stand where they belong and nowhere else.
func TestFindings(t *testing.T) {
	for code, swap := range map[string][2]string{
		"liquid-wrong-way":    {"across-counter\n  passes: auto", "across-parallel\n  passes: 3"},
		"liquid-overcooled":   {`least_outlet: "70 degC"`, `least_outlet: "84.9 degC"`},
		"outlet-hot":          {`outlet_limit: "90 degC"`, `outlet_limit: "20 degC"`},
		"cabin-short-of-heat": {`skin: "7 m^2"`, `skin: "70 m^2"`},
		"cabin-fresh-air":     {"people: 2", "people: 60"},
		"plenum-shallow":      {"ducts:", "box: {plenum: 4 mm}\n  ducts:"},
		"heat-beyond-engine":  {`least_outlet: "70 degC"`, `available: "200 W"`},
	} {
		if has(run1(t, demist).Findings, code) {
			t.Errorf("%s stands without a reason", code)
		}
		if !has(run1(t, strings.Replace(demist, swap[0], swap[1], 1)).Findings, code) {
			t.Errorf("%s is missing", code)
		}
	}
}

// Library values against printed ones: densities of half glycol from the tables
// of [ashrae-fundamentals] in lb/ft³ at 40, 100, 180 and 240 °F; specific heat,
// conductivity and viscosity of it from the polynomials of [melinder2010] at
// 20 and 80 °C; kinematic viscosities of the oil grades at 100 °C.
func TestLibraryLiquids(t *testing.T) {
	set := library(t)
	at := func(name string, c float64) exchanger.Properties {
		f, err := exchanger.NewFluid(name, "x", set.Fluids[name])
		if err != nil {
			t.Fatal(err)
		}
		p, err := f.At(si.Celsius(c), "x")
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	for _, c := range []struct{ f, half, third float64 }{{40, 67.47, 65.66}, {100, 66.55, 64.86}, {180, 64.80, 63.28}} {
		near(t, "density of half glycol", float64(at("glycol-50", (c.f-32)/1.8).Density), c.half*16.01846, 0.003)
		near(t, "density of three tenths", float64(at("glycol-30", (c.f-32)/1.8).Density), c.third*16.01846, 0.01)
	}
	for _, c := range []struct{ t, cp, k, mu float64 }{{20, 3256, 0.380, 3.98e-3}, {80, 3538, 0.414, 1.03e-3}} {
		p := at("glycol-50", c.t)
		near(t, "cp", float64(p.Cp), c.cp, 0.01)
		near(t, "k", float64(p.K), c.k, 0.01)
		near(t, "mu", float64(p.Viscosity), c.mu, 0.06)
	}
	for name, nu := range map[string][2]float64{"piston-oil-15w50": {16.3, 21.9}, "piston-oil-20w50": {16.3, 21.9}, "piston-oil-sae50": {16.3, 21.9}, "turbine-oil-5cst": {4.9, 5.4}} {
		p := at(name, 100)
		if got := 1e6 * float64(p.Viscosity) / float64(p.Density); got < nu[0] || got > nu[1] {
			t.Errorf("%s: %.2f mm²/s at 100 °C, the grade asks for %g to %g", name, got, nu[0], nu[1])
		}
	}
	near(t, "Prandtl of water at 20 °C", at("water", 20).Prandtl(), 7.01, 0.01) // [incropera2007] A.6
	for name, r := range set.Fins {
		if _, err := exchanger.NewSurface(exchanger.Geometry{Face: exchanger.Face{Width: 0.2, Height: 0.15}, Depth: 0.05, Tubes: exchanger.Tubes{Film: 500}}, r, nil, name); err != nil {
			t.Error(err)
		}
	}
}
