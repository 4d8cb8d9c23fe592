package oven

import (
	"encoding/json"
	"os"
	"testing"
)

// The case of testdata/cases.json was worked out apart from this program.
func TestHeatUpCase(t *testing.T) {
	raw, err := os.ReadFile("testdata/cases.json")
	if err != nil {
		t.Fatal(err)
	}
	var all []struct {
		Name             string
		Inputs, Expected map[string]float64
	}
	if err := json.Unmarshal(raw, &all); err != nil {
		t.Fatal(err)
	}
	if all[0].Name != "oven_heatup" {
		t.Fatal(all[0].Name)
	}
	in, want := all[0].Inputs, all[0].Expected
	b := Box{UA: in["UA_W_K"], C: in["C_J_K"], Heater: in["P_W"], Shop: 293.15}
	near(t, "time constant", b.C/b.UA, want["tau_s"], 1e-5*want["tau_s"])
	near(t, "heat up", b.HeatUp(in["dT_K"]), want["t_s"], 1e-5*want["t_s"])
	near(t, "ceiling", b.Ceiling()-b.Shop, want["dT_max_K"], 1e-5*want["dT_max_K"])
}
