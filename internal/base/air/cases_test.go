package air

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"laywright/internal/base/si"
)

// one is a case of testdata/cases.json, worked out apart from this program; each
// names its source.
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

func list(x any) (out []float64) {
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

// The case has another pair of Magnus constants; they part by 0.01 K.
func TestDewPoints(t *testing.T) {
	c := load(t, "dewpoint_magnus")
	for i, at := range list(c.Inputs["T_C"]) {
		got := DewPoint(si.Celsius(at), list(c.Inputs["RH"])[i])
		near(t, c.Name, got.Celsius(), list(c.Expected["Td_C"])[i], c.Tolerance["abs"])
	}
}

// What a cubic metre of damp air holds: its share of water times its dry air.
func TestWaterInAir(t *testing.T) {
	c := load(t, "abs_humidity")
	at := si.Celsius(c.Inputs["T_C"].(float64))
	for i, rh := range list(c.Inputs["RH"]) {
		e := Saturation(at) * si.Pressure(rh)
		got := 1e3 * Moisture(e, atmosphere) * float64(Density(atmosphere-e, at))
		near(t, c.Name, got, list(c.Expected["g_m3"])[i], c.Tolerance["abs"])
	}
}

// A plate of half a metre at 50 degC in air of 60 degC, still and blown at 2 m/s.
func TestPlateInOven(t *testing.T) {
	c := load(t, "heat_h_estimates")
	wall, oven := si.Celsius(50), si.Celsius(60)
	within := func(key string, got si.HeatTransfer) {
		want := c.Expected[key].(float64)
		near(t, key, float64(got), want, 0.03*want) // the tables of air differ by so much; the case allows a tenth
	}
	radiated := Radiated(wall, oven, 0.9)
	within("h_nat", Still(wall, oven, 0.5))
	within("h_rad", radiated)
	within("h_forced_2ms", Blown(wall, oven, 2, 0.5))
	within("h_total_still", radiated+Still(wall, oven, 0.5))
	within("h_total_fan", radiated+Blown(wall, oven, 2, 0.5))
}
