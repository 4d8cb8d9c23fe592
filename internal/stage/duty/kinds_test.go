package duty

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"laywright/internal/base/fault"
)

// Every way to know a core, to drive the air and to lay the separators makes a
// result that JSON can carry, or an error; never NaN and never a panic.
func TestEveryKind(t *testing.T) {
	set := library(t)
	cores := []string{
		`geometry: {face: {width: "9.5 in", height: "6 in"}, depth: "2 in", fins: louvred-18fpi, tubes: {film: "900 W/(m^2*K)"}}`,
		`geometry: {face: {width: 200 mm, height: 150 mm}, depth: 60 mm, fins: offset-strip-14fpi, tubes: {passes: 2, fouling: "0.0001 m^2*K/W"}}`,
		`geometry: {face: {width: 200 mm, height: 150 mm}, depth: 60 mm, fins: plain-12fpi, tubes: {turbulators: true, thickness: 2 mm}}`,
		`geometry: {face: {width: 250 mm, height: 152 mm}, depth: 44 mm, fins: plate-12fpi}`,
		`rated: {UA: "65 W/K", at: "0.06 kg/s", air_loss: "28 Pa"}`,
		`measured: [{air_flow: "0.06 kg/s", air_in: "15 degC", liquid_flow: "0.3 kg/s", liquid_in: "90 degC", heat: "3.2 kW", air_loss: "30 Pa"}]`,
		`measured: [{air_flow: "0.06 kg/s", air_in: "15 degC", liquid_flow: "18 L/min", liquid_in: "90 degC", air_out: "66 degC", liquid_out: "87 degC", air_loss: "30 Pa"},
			{air_flow: "0.12 kg/s", air_in: "15 degC", liquid_flow: "18 L/min", liquid_in: "90 degC", heat: "4.6 kW", air_loss: "85 Pa", pressure: "95 kPa"}]`,
	}
	drives := []string{`flow: "0.05 kg/s"`, `available: "300 Pa"`, `ram: {speed: "80 kt"}, altitude: "9000 ft"`, `blower: {unit: [m^3/min, Pa], points: [[0, 500], [8, 0]]}`}
	fluids := []string{"glycol-50", "glycol-30", "piston-oil-15w50", "piston-oil-sae50", "turbine-oil-5cst"}
	r := rand.New(rand.NewPCG(7, 8))
	refused := 0
	for i := range 84 {
		text := fmt.Sprintf(`
heater:
  core: {%s}
  arrangement: %s
  liquid: {fluid: %s, flow: "%.2f L/min", inlet: "%.0f degC"}
  box: {face: {width: 200 mm, height: 150 mm}, depth: 50 mm}
  air: {inlet: "%.0f degC", pressure: "85 kPa", from: %s, %s}
  ducts: [{rectangle: {width: 80 mm, height: 50 mm}, length: 0.5 m, bends: ["30 deg"], mitred: true, place: before}, {hose: 64 mm, length: 2 m, slack: "15 %%"}]
  throttle: %v
cabin: {target: "18 degC", outside: "-15 degC", walls: [{area: 3 m^2, layers: [{thickness: 5 mm, conductivity: "0.19 W/(m*K)"}]}], people: 2}
`, cores[i%len(cores)], []string{"across-counter", "across-parallel", "along"}[r.IntN(3)], fluids[r.IntN(len(fluids))],
			2+30*r.Float64(), 60+50*r.Float64(), -30+40*r.Float64(), []string{"outside", "cabin"}[r.IntN(2)], drives[r.IntN(len(drives))], r.IntN(2) == 0)
		spec := read(t, text)
		fluid, fins := set.Fluids[spec.FluidName()], set.Fins[spec.FinsName()]
		got, err := Compute(Input{Spec: spec, Fluid: &fluid, Fins: &fins})
		if err != nil {
			refused++
			t.Log(err)
			if !strings.Contains(err.Error(), "duty.heater") {
				t.Errorf("an error without a field: %v", err)
			}
			continue
		}
		if _, err := json.Marshal(got); err != nil {
			t.Errorf("%v in\n%s", err, text)
		}
		h := got.Heater
		near(t, "heat", float64(h.Heat), float64(h.AirFlow)*1007*float64(h.AirOut-h.AirIn), 0.01)
		for _, f := range got.Findings {
			if f.Stage != "duty" || f.Code == "" || f.What == "" || f.Why == "" || f.Do == "" || f.Severity == fault.Stop {
				t.Errorf("finding %+v", f)
			}
		}
	}
	if refused > 24 { // oils behind thermostats of other liquids, test points of thinner ones
		t.Errorf("%d of 84 refused", refused)
	}
}

// The air alone, and a heater that takes its day from it.
func TestPlaceAlone(t *testing.T) {
	r, err := Compute(Input{Spec: read(t, `air: {altitude: "10000 ft", speed: "100 kt"}`)})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "pressure", float64(r.Air.Pressure), 69682, 5e-4)
	near(t, "temperature", r.Air.Temperature.Celsius(), -4.812, 4e-3)
	near(t, "density", float64(r.Air.Density), 0.90464, 8e-4)
	near(t, "impact", float64(r.Air.Impact), 0.90464/2*51.444*51.444, 0.01) // q with 0.7 % of compressibility
	if r.Heater != nil || r.Cabin != nil || r.Loads != nil {
		t.Error("parts that nobody asked for are there")
	}
	cold, err := Compute(Input{Spec: read(t, `air: {altitude: "10000 ft", outside: "-5 degC"}`)})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "density by temperature", float64(cold.Air.Density), 69682/287.05287/268.15, 5e-4)
	text := with(`ram: {recovery: 0.6}`, "") + "air: {altitude: 5000 ft, speed: 90 kt, outside: \"-12 degC\"}\n"
	text = strings.Replace(text, `inlet: "-10 degC", pressure: "84.3 kPa", `, "", 1)
	h, err := Compute(Input{Spec: read(t, text), Fins: &louvredFins})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "inlet with its ram rise", h.Heater.AirIn.Celsius(), -12+46.3*46.3/2009, 1e-3)
	near(t, "supply", float64(*h.Heater.Loss), 0.6*float64(h.Air.Impact), 1e-6)
}
