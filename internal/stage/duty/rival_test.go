package duty

import (
	"strings"
	"testing"

	"laywright/internal/base/bind"
	"laywright/internal/base/si"
	"laywright/internal/stage/cabin"
	"laywright/internal/stage/exchanger"
)

// oily is the job of the tests with oil as it is taken where it is not told.
var oily = strings.NewReplacer(`fluid: glycol-50, flow: "18 L/min", inlet: "185 degF", least_outlet: "70 degC"`,
	`fluid: piston-oil-sae50, flow: "0.25 kg/s", inlet: "90 degC"`).Replace(demist)

// rivals computes a job together with the other liquid's box.
func rivals(t *testing.T, text string) (Input, Result) {
	t.Helper()
	set, spec := library(t), read(t, text)
	fluid, fins, other := set.Fluids[spec.FluidName()], set.Fins[spec.FinsName()], set.Fluids[spec.RivalName()]
	in := Input{Spec: spec, Fluid: &fluid, Fins: &fins, Rival: &other}
	r, err := Compute(in)
	if err != nil {
		t.Fatal(err)
	}
	return in, r
}

func way(t *testing.T, r Result, name string) cabin.Way {
	t.Helper()
	for _, w := range r.Alternatives {
		if w.Name == name {
			return w
		}
	}
	t.Fatalf("no %s", name)
	return cabin.Way{}
}

// The box with the other liquid is what the job with that liquid, at the same
// passes and air flow, comes to; both ways round.
func TestOtherLiquid(t *testing.T) {
	for text, c := range map[string]struct {
		name  string
		fluid string
		flow  si.MassFlow
	}{demist: {cabin.OilBox, "piston-oil-sae50", 0.25}, oily: {cabin.CoolantBox, "glycol-50", 0.3}} {
		in, r := rivals(t, text)
		got := way(t, r, c.name)
		other := *in.Spec.Heater
		other.Liquid = Liquid{Fluid: c.fluid, Flow: exchanger.LiquidFlow{ByMass: c.flow}, Inlet: si.Celsius(90)}
		other.Passes = bind.Auto[int]{Given: true, Value: r.Heater.Passes}
		other.Air = Air{Inlet: &r.Heater.AirIn, Pressure: &r.Air.Pressure, Flow: r.Heater.AirFlow}
		in.Spec.Heater, in.Fluid, in.Rival = &other, in.Rival, nil
		alone, err := Compute(in)
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.name, float64(*got.Heat), float64(*alone.Heater.Useful), 1e-9)
		if w := way(t, alone, c.name); w.Needs != "what this job describes" {
			t.Errorf("%+v", w)
		}
		if own := r.Alternatives[0]; *got.Shaft != *own.Shaft || *got.Heat == *own.Heat || !strings.Contains(got.Needs, "assumed") {
			t.Errorf("%+v beside %+v", got, own)
		}
	}
}

// A core that is known by a test with one liquid says nothing about another.
func TestOtherLiquidUnknown(t *testing.T) {
	in, _ := rivals(t, demist)
	h := *in.Spec.Heater
	h.Core = Core{Rated: &exchanger.Rated{UA: 100, At: 0.06, AirLoss: 50}}
	h.Passes = bind.Auto[int]{Given: true, Value: 1}
	in.Spec.Heater = &h
	r, err := Compute(in)
	if err != nil {
		t.Fatal(err)
	}
	if w := way(t, r, cabin.OilBox); w.Heat != nil || w.Shaft != nil || !strings.Contains(w.Needs, "test it so") {
		t.Errorf("%+v", w)
	}
}
