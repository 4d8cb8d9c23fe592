package duty

import (
	"math"
	"strings"
	"testing"

	"laywright/internal/base/air"
	"laywright/internal/base/si"
	"laywright/internal/stage/ducting"
	"laywright/internal/stage/exchanger"
)

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
			rho := float64(air.Density(84300, pass.AirOut))
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

// A plate that evens the face: with it core and plate lose ten times the plenum's
// head, its K on the head before the face is that of the share that is open
// ([idelchik]).
func TestEveningPlate(t *testing.T) {
	p, err := Input{Spec: read(t, strings.Replace(with(`flow: "0.06 kg/s"`, ""), "plenum: 60 mm", "plenum: 40 mm", 1)), Fins: &louvredFins}.plant()
	if err != nil {
		t.Fatal(err)
	}
	w, err := p.at(1, 0.06)
	if err != nil {
		t.Fatal(err)
	}
	open, loss := p.box.plate(w.Performance, 84300)
	rho := float64(air.Density(84300, si.Celsius(-10)))
	head := rho / 2 * math.Pow(0.06/(rho*0.04*0.15), 2)
	near(t, "core and plate", loss+float64(w.Passes[0].Loss), 10*head, 1e-9)
	near(t, "plate", ducting.Plate(float64(open))*rho/2*math.Pow(0.06/(rho*0.25*0.15), 2), loss, 1e-5)
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
	near(t, "ram", p, 0.9*float64(air.Impact(101325, 288.15, 50)), 1e-12)
	near(t, "impact of slow air", float64(air.Impact(101325, 288.15, 20)), 1.225/2*400, 1e-3)
	blower := read(t, with(`blower: {unit: [m^3/s, Pa], points: [[0, 600], [0.1, 0]]}`, "")).Heater.Air
	s, err := supplyOf(blower, outside, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "blower", s.at(0.9*0.05), 300, 1e-9)
}

// Ducts of other sizes: the row of the job's own bore is the heater itself, wider
// ones let more air through at less loss, and the bore chosen is the first that
// none behind it betters by 5 %. Where a flow is given no size is looked for.
func TestDuctSizes(t *testing.T) {
	r := run1(t, strings.Replace(demist, `hose: "76 mm"`, `hose: "76.2 mm"`, 1))
	h := r.Heater
	best := 0.0
	for _, s := range h.DuctTable {
		best = max(best, float64(*s.Useful))
	}
	chosen := 0
	for i, s := range h.DuctTable {
		if s.Bore == 0.0762 {
			near(t, "own size", float64(s.AirFlow), float64(h.AirFlow), 1e-6)
			near(t, "own loss", float64(s.Loss), float64(h.DuctLoss), 1e-6)
		}
		if i > 0 && !(s.AirFlow > h.DuctTable[i-1].AirFlow && s.Loss < h.DuctTable[i-1].Loss) {
			t.Errorf("%v m: flow %v, loss %v", s.Bore, s.AirFlow, s.Loss)
		}
		if s.Chosen {
			chosen++
			if float64(*s.Useful)*1.05 < best {
				t.Errorf("%v m is chosen, and others bring %.0f W against %.0f W", s.Bore, best, float64(*s.Useful))
			}
		}
	}
	if len(h.DuctTable) < 5 || chosen != 1 || !has(r.Findings, "duct-narrow") {
		t.Errorf("%d sizes, %d chosen", len(h.DuctTable), chosen)
	}
	// Another size, its gate included, is what the job with that size would be.
	gated := func(hose string) *HeaterResult {
		return run1(t, strings.NewReplacer(`hose: "76 mm"`, "hose: "+hose, "passes: auto", "passes: 2\n  throttle: 40 %").Replace(demist)).Heater
	}
	for _, s := range gated("3 in").DuctTable {
		if math.Abs(float64(s.Bore)-0.1016) < 1e-9 {
			near(t, "four inches", float64(s.AirFlow), float64(gated("4 in").AirFlow), 1e-6)
		}
	}
	if compute(t, with(`flow: "0.06 kg/s"`, `ducts: [{hose: 76 mm, length: 3 m}]`)).Heater.DuctTable != nil {
		t.Error("sizes at a given flow")
	}
}

// Where no duct is told the box has ports: half a head of a sharp entrance and one
// of an outlet ([idelchik]) at the way in and at the way out, by hand. Behind a
// scoop the entrance is in the recovery; a duct on one side gives the other's bore.
func TestPorts(t *testing.T) {
	head := func(celsius float64) float64 {
		rho := 84300 / (287.053 * (celsius + 273.15))
		v := 0.06 / (rho * math.Pi / 4 * 0.05 * 0.05)
		return rho * v * v / 2
	}
	box := func(port string) string {
		return strings.Replace(with(`flow: "0.06 kg/s"`, ""), "plenum: 60 mm", "plenum: 60 mm"+port, 1)
	}
	bare, ported := compute(t, box("")).Heater, compute(t, box(", port: 50 mm")).Heater
	want := 1.5 * (head(-10) + head(ported.AirOut.Celsius()))
	near(t, "ports", float64(ported.DuctLoss), want, 1e-5)
	near(t, "whole", float64(*ported.Loss), float64(*bare.Loss)+want, 1e-5)
	if bare.DuctLoss != 0 {
		t.Errorf("%v Pa without a port", bare.DuctLoss)
	}
	behind := compute(t, with(`flow: "0.06 kg/s"`, "ducts: [{round: 50 mm, place: before}]"))
	near(t, "port behind a duct", float64(behind.Heater.DuctLoss), want, 1e-5)
	if !has(behind.Findings, "usual-values") {
		t.Error("nothing says what the port was taken as")
	}
	p := plant{scooped: true}
	if err := p.lay(nil, nil, 0.05); err != nil {
		t.Fatal(err)
	}
	l, err := p.before.Loss(0.06, float64(air.Density(84300, si.Celsius(-10))), si.Celsius(-10))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "behind a scoop", l.Pressure, head(-10), 1e-5)
}
