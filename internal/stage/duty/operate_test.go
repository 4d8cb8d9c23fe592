package duty

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"laywright/internal/base/air"
	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/si"
	"laywright/internal/stage/ducting"
	"laywright/internal/stage/exchanger"
)

// read fills a duty section from a job's text.
func read(t *testing.T, text string) Spec {
	t.Helper()
	root, problems := bind.Parse([]byte(text))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	var s Spec
	b := bind.New()
	b.Into(&s, "duty", root)
	if len(b.Problems) > 0 {
		t.Fatal(b.Problems)
	}
	return s
}

// louvredFins are those of the reference core: 2 mm pitch, 8 mm between tubes of 3 mm.
var louvredFins = material.Fins{Family: "louvred", Pitch: 2e-3, Height: 8e-3, Thickness: 0.1e-3, TubeThick: 3e-3,
	LouvrePitch: 1.5e-3, LouvreLength: 6.5e-3, LouvreAngle: si.Degrees(25), K: 180}

const referenceHeater = `
heater:
  core: {geometry: {face: {width: 250 mm, height: 150 mm}, depth: 50 mm, fins: f, tubes: {film: "900 W/(m^2*K)"}}}
  arrangement: across-counter
  passes: auto
  liquid: {heat_capacity_rate: "650 W/K", inlet: "90 degC"}
  box: {plenum: 60 mm, leak: "0 %"}
  air: {inlet: "-10 degC", pressure: "84.3 kPa", DRIVE}
  DUCTS
cabin: {target: "20 degC", conductance: "60 W/K"}
`

func compute(t *testing.T, text string) Result {
	t.Helper()
	r, err := Compute(Input{Spec: read(t, text), Fins: &louvredFins})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func with(drive, ducts string) string {
	out := referenceHeater
	for _, swap := range [][2]string{{"DRIVE", drive}, {"DUCTS", ducts}} {
		i := 0
		for i = 0; out[i:i+len(swap[0])] != swap[0]; i++ {
		}
		out = out[:i] + swap[1] + out[i+len(swap[0]):]
	}
	return out
}

// The tables of an independent program for the same core (same equations, other
// code; air properties all at 300 K there): at 0.06 kg/s the box loses 28, 222,
// 566 and 1103 Pa, the turns 0, 61, 122, 184 of them, and useful heat is 2672,
// 3148, 3364, 3492 W.
func TestReferenceBoxAtFixedFlow(t *testing.T) {
	r := compute(t, with(`flow: "0.06 kg/s"`, ""))
	for i, want := range [][3]float64{{28, 2672, 64.3}, {222, 3148, 72.2}, {566, 3364, 75.8}, {1103, 3492, 77.9}} {
		row := r.Heater.PassTable[i]
		near(t, "box loss", float64(*row.Loss), want[0], 0.04)
		near(t, "useful heat", float64(*row.Useful), want[1], 0.013)
		near(t, "outlet", row.AirOut.Celsius()+10, want[2]+10, 0.007)
	}
	if r.Heater.Passes != 3 { // +17.8 %, +6.9 %, +3.8 %: the third is worth it, the fourth is not
		t.Errorf("%d passes: %s", r.Heater.Passes, r.Heater.Reason)
	}
	near(t, "turns of three passes", float64(*r.Heater.TurnLoss), 122, 0.03)
}

// The same program at a fixed pressure over the box alone: flow and useful heat,
// and the best throttle of one and two passes.
func TestReferenceBoxAtFixedPressure(t *testing.T) {
	r := compute(t, with(`available: "500 Pa"`, ""))
	for i, want := range [][3]float64{{0.4398, 16.7, -1463}, {0.1012, 58.9, 3959}, {0.0553, 77.4, 3194}, {0.0355, 85.7, 2340}} {
		row := r.Heater.PassTable[i]
		near(t, "flow", float64(row.AirFlow), want[0], 0.02)
		near(t, "outlet", row.AirOut.Celsius()+10, want[1]+10, 0.012)
		near(t, "useful heat", float64(*row.Useful), want[2], 0.05)
	}
	near(t, "one pass throttled", float64(*r.Heater.PassTable[0].BestHeat), 3210, 0.02)
	near(t, "its flow", float64(*r.Heater.PassTable[0].BestFlow), 0.122, 0.05)
	if r.Heater.Passes != 2 {
		t.Errorf("%d passes: %s", r.Heater.Passes, r.Heater.Reason)
	}
	if n := compute(t, with(`available: "1500 Pa"`, "")).Heater.Passes; n != 3 {
		t.Errorf("at 1500 Pa %d passes, want 3", n)
	}
	if h := compute(t, with(`available: "500 Pa"`, `ducts: [{hose: 50 mm, length: 6 m, bends: ["90 deg", "90 deg"]}]`)).Heater; h.Passes >= 3 {
		t.Errorf("behind a long thin hose %d passes: %s", h.Passes, h.Reason)
	}
}

// At the operating point supply and demand agree to a part in a million, for
// pressure, ram and blower, over random ducts.
func TestSupplyMeetsDemand(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	drives := []string{`available: "500 Pa"`, `ram: {speed: "95 kt", recovery: 0.6}`,
		`blower: {unit: [m^3/min, Pa], points: [[0, 600], [3, 450], [6, 0]]}`,
		`available: "100 Pa", blower: {unit: [m^3/min, Pa], points: [[0, 600], [9, 0]]}`}
	for i := range 40 {
		spec := read(t, with(drives[i%len(drives)], ""))
		spec.Heater.Ducts = []ducting.Duct{{Hose: si.Length(0.04 + 0.06*r.Float64()), Length: si.Length(4 * r.Float64()), Bends: []si.Angle{si.Degrees(180 * r.Float64())}},
			{Round: si.Length(0.05 + 0.05*r.Float64()), Length: 1, Place: ducting.Before}}
		p, err := Input{Spec: spec, Fins: &louvredFins}.plant()
		if err != nil {
			t.Fatal(err)
		}
		w, err := p.open(1 + i%4)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "supply against demand", p.supply.at(float64(w.AirFlow)), w.loss(), 1e-6)
	}
}

// fanPoint finds the point by the package's own search on a bare loss.
func fanPoint(p0, q0, k float64) float64 {
	var c bind.Curve[si.VolumeFlow, si.Pressure]
	for i := range 400 {
		q := q0 * float64(i) / 399
		c.X, c.Y = append(c.X, si.VolumeFlow(q)), append(c.Y, si.Pressure(p0*(1-q*q/q0/q0)))
	}
	s, err := supplyOf(Air{Blower: &c}, AirState{}, 1)
	if err != nil {
		return math.NaN()
	}
	low, high := 0.0, q0
	for range 80 {
		q := (low + high) / 2
		if s.at(q) > k*q*q {
			low = q
		} else {
			high = q
		}
	}
	return s.at(low)
}

// A loss of K·Q² alone, with density and friction constant: a thin rated core on
// a fixed pressure gives ṁ = ṁ₀·(Δp/Δp₀)^(1/b), whatever the search does.
func TestOperatingPointClosedForm(t *testing.T) {
	r, err := Compute(Input{Spec: read(t, `
heater:
  core: {rated: {UA: "0.01 W/K", air_exponent: 0, at: "0.06 kg/s", air_loss: "28 Pa", loss_exponent: 1.5, density: "1.2 kg/m^3"}}
  passes: 1
  liquid: {heat_capacity_rate: "600 W/K", inlet: "20.001 degC"}
  air: {inlet: "20 degC", pressure: "101.325 kPa", available: "100 Pa"}
`)})
	if err != nil {
		t.Fatal(err)
	}
	rho := float64(air.Density(101325, si.Celsius(20)))
	near(t, "flow", float64(r.Heater.AirFlow), 0.06*math.Pow(100/28.0*rho/1.2, 1/1.5), 1e-6)
}

// The two rated heaters of the contract's checks: exact cross-flow, and two
// passes joined by the closed form, at C_p of air 1006.
func TestContractHeaters(t *testing.T) {
	for passes, want := range map[string][3]float64{"1": {5045.2, 73.585, 81.591}, "2": {5090.9, 74.343, 81.515}} {
		r, err := Compute(Input{Spec: read(t, `
heater:
  core: {rated: {UA: "120 W/K", air_exponent: 0.0}}
  arrangement: across-counter
  passes: `+passes+`
  liquid: {heat_capacity_rate: "600 W/K", inlet: "90 degC"}
  air: {inlet: "-10 degC", pressure: "84.3 kPa", flow: "0.06 kg/s"}
`)})
		if err != nil {
			t.Fatal(err)
		}
		h := r.Heater
		near(t, "heat", float64(h.Heat), want[0], 0.004)
		near(t, "air out", h.AirOut.Celsius(), want[1], 0.3/want[1])
		near(t, "liquid out", h.LiquidOut.Celsius(), want[2], 0.08/want[2])
		if h.Useful != nil || h.CoreLoss != nil {
			t.Error("values that can't be had are there")
		}
	}
}

// Energy over random plants: the liquid's loss is the heat; table and path agree with it.
func TestPlantBalance(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 30 {
		spec := read(t, with(`available: "400 Pa"`, ""))
		spec.Heater.Liquid.Rate = si.Conductance(100 + 900*r.Float64())
		spec.Heater.Arrangement = []exchanger.Arrangement{exchanger.AcrossCounter, exchanger.AcrossParallel, exchanger.Along}[r.IntN(3)]
		leak := si.Fraction(0.1 * r.Float64())
		spec.Heater.Box.Leak = &leak
		got, err := Compute(Input{Spec: spec, Fins: &louvredFins})
		if err != nil {
			t.Fatal(err)
		}
		h := got.Heater
		near(t, "liquid's heat", float64(spec.Heater.Liquid.Rate)*float64(spec.Heater.Liquid.Inlet-h.LiquidOut), float64(h.Heat), 1e-9)
		near(t, "outlet of the path", float64(h.Path[len(h.Path)-1].AirOut), float64(h.AirOut), 1e-12)
		if !(h.HeatLow < h.Heat && h.Heat < h.HeatHigh && h.Effectiveness <= h.Best+1e-12) {
			t.Errorf("heat %v not between %v and %v", h.Heat, h.HeatLow, h.HeatHigh)
		}
	}
}

func TestRefusals(t *testing.T) {
	for name, c := range map[string]struct{ drive, field string }{
		"nothing drives": {`outside: "-10 degC"`, "duty.heater.air"},
		"two drives":     {`flow: "0.06 kg/s", available: "10 Pa"`, "duty.heater.air"},
		"hot air":        {`flow: "0.06 kg/s", outside: "0 degC", from: cellar`, "duty.heater.air.from"},
		"rising blower":  {`blower: {unit: [m^3/s, Pa], points: [[0, 100], [1, 200]]}`, "duty.heater.air.blower"},
		"standing ram":   {`ram: {recovery: 0.5}`, "duty.heater.air.ram.speed"},
	} {
		_, err := Compute(Input{Spec: read(t, with(c.drive, "")), Fins: &louvredFins})
		var limit *fault.Range
		var input *fault.Input
		switch {
		case errors.As(err, &limit) && limit.Field == c.field, errors.As(err, &input) && input.Field == c.field:
		default:
			t.Errorf("%s: %v, want an error at %s", name, err, c.field)
		}
	}
	var none *fault.NoSolution
	_, err := Compute(Input{Spec: read(t, with(`blower: {unit: [m^3/s, Pa], points: [[0, 5000], [0.001, 4900]]}`, "")), Fins: &louvredFins})
	if !errors.As(err, &none) {
		t.Errorf("a blower that ends too early: %v", err)
	}
	_, err = Compute(Input{Spec: read(t, with(`blower: {unit: [m^3/s, Pa], points: [[0, 0], [1, 0]]}`, "")), Fins: &louvredFins})
	if !errors.As(err, &none) {
		t.Errorf("a blower without pressure: %v", err)
	}
}
