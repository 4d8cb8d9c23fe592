package duty

import (
	"math"
	"testing"

	"laywright/internal/base/si"
	"laywright/internal/stage/exchanger"
)

// A 76 mm hose of 3 m with one right bend at 0.06 kg/s of air of 1.2 kg/m³, by
// hand: V 11.02 m/s, head 72.9 Pa, K = 0.05758·3/0.076 + 0.75 + 0.5 + 1 = 4.523.
func TestHoseByHand(t *testing.T) {
	_, r, err := layAll([]Duct{{Hose: 0.076, Length: 3, Bends: []si.Angle{si.Degrees(90)}}}, false)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "loss", r.loss(0.06, 1.2, 293), 4.523*72.9, 2e-3)
	r.ducts[0].Count = 2 // two hoses share the flow: a quarter of the loss
	twin, err := lay(r.ducts[0], "duct")
	if err != nil {
		t.Fatal(err)
	}
	near(t, "twin", run{ducts: r.ducts, inside: []section{twin}}.loss(0.06, 1.2, 293), 4.523*72.9/4, 2e-3)
}

// Bores of 60, 80 and 50 mm without length: half a head at the entrance and
// (1 − A₁/A₂)² of the first, 0.5(1 − A₃/A₂)^0.75 and one head of the last.
func TestStepsByHand(t *testing.T) {
	before, after, err := layAll([]Duct{{Round: 0.060, Place: Before}, {Round: 0.080, Place: Before}, {Round: 0.050, Place: Before}}, false)
	if err != nil || len(after.ducts) != 0 {
		t.Fatal(err, after)
	}
	head := func(d float64) float64 { v := 0.05 / (1.2 * math.Pi / 4 * d * d); return 1.2 * v * v / 2 }
	widen, narrow := 1-36.0/64, 0.5*math.Pow(1-25.0/64, 0.75)
	near(t, "loss", before.loss(0.05, 1.2, 293), head(0.06)*(0.5+widen*widen)+head(0.05)*(narrow+1), 1e-12)
	before.scooped = true // the scoop's recovery holds the entrance
	near(t, "scooped", before.loss(0.05, 1.2, 293), head(0.06)*widen*widen+head(0.05)*(narrow+1), 1e-12)
}

// Laminar f = 64/Re; bends of 45, 90 and 180 degrees against a right one,
// [idelchik]: 0.9·sin 45° = 0.636, 1 and 1.4; no bend, no loss.
func TestFrictionAndBends(t *testing.T) {
	near(t, "laminar", darcy(1000, 0), 0.064, 1e-12)
	for degrees, want := range map[float64]float64{0: 0, 45: 0.6364, 90: 1, 180: 1.4} {
		if got := angleShare(si.Degrees(degrees)); math.Abs(got-want) > 1e-4 {
			t.Errorf("%g degrees: %.4f, want %.4f", degrees, got, want)
		}
	}
	for _, d := range []float64{70, 100} {
		near(t, "bends join", angleShare(si.Degrees(d*(1+1e-9))), angleShare(si.Degrees(d*(1-1e-9))), 1e-6)
	}
}

// In a plenum as deep as needed the air's head is a tenth of the core's loss in
// the pass that asks for most, and the box is the core with two such plenums. A
// turn there costs 2.5 of those heads.
func TestPlenumDepth(t *testing.T) {
	spec := read(t, with(`flow: "0.06 kg/s"`, ""))
	spec.Heater.Box.Plenum = nil
	for _, c := range []struct {
		a    exchanger.Arrangement
		span float64
	}{{exchanger.AcrossCounter, 0.15}, {exchanger.Along, 0.25}} {
		spec.Heater.Arrangement = c.a
		p, err := Input{Spec: spec, Fins: &louvredFins}.plant()
		if err != nil {
			t.Fatal(err)
		}
		w, err := p.at(2, 0.06)
		if err != nil {
			t.Fatal(err)
		}
		most, turn := 0.0, 0.0
		for k, pass := range w.Passes {
			rho := float64(exchanger.AirDensity(84300, pass.AirOut))
			v := 0.06 / (rho * w.needed * c.span)
			most = max(most, rho*v*v/2/float64(pass.Loss))
			if k == 0 {
				turn = 2.5 * rho * v * v / 2
			}
		}
		near(t, "head against loss", most, 0.1, 1e-9)
		near(t, "turn", w.turn, turn, 1e-9)
		near(t, "depth", float64(*p.depthOf(w)), 0.05+2*w.needed, 1e-12)
	}
}

// Ram at 50 m/s with recovery 0.7 and an exit at −0.2: 0.9 of the impact
// pressure. A blower of 600 Pa at no flow and none at 0.1 m³/s gives half at the
// mass flow of 0.05 m³/s in air of 0.9 kg/m³.
func TestSupply(t *testing.T) {
	recovery := si.Fraction(0.7)
	outside, err := stateOf(Place{}, "x")
	if err != nil {
		t.Fatal(err)
	}
	p, err := Ram{Speed: 50, Recovery: &recovery, Exit: -0.2}.pressure(outside)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "ram", p, 0.9*float64(impact(101325, 288.15, 50)), 1e-12)
	near(t, "impact of slow air", float64(impact(101325, 288.15, 20)), 1.225/2*400, 1e-3)
	blower := read(t, with(`blower: {unit: [m^3/s, Pa], points: [[0, 600], [0.1, 0]]}`, "")).Heater.Air
	s, err := supplyOf(blower, outside, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "blower", s.at(0.9*0.05), 300, 1e-9)
}

// Electric heat and bleed for one need: the generator's 0.55, and the bleed's
// 441 kJ/kg of turbine work against c_p·(210 − 20) of useful heat, by hand.
func TestAlternatives(t *testing.T) {
	c := cabinState{target: 293.15, outside: 263.15, ua: 60}
	all := alternatives(c, nil, &AirState{Pressure: 84300, Temperature: 263.15})
	for _, a := range all {
		switch {
		case a.Name == "electric":
			near(t, a.Name, float64(*a.Shaft), 1800/0.55, 1e-9)
		case a.Heat != nil:
			near(t, a.Name, float64(*a.Shaft), 1800*441e3/(1005*190), 0.01)
		}
	}
	if len(all) != 3 {
		t.Errorf("%d alternatives, want 3", len(all))
	}
	c.outside = 300
	if alternatives(c, nil, nil) != nil {
		t.Error("a warm day has alternatives to heat")
	}
}
