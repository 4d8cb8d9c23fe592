package cure

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/resin"
	"laywright/internal/base/si"
	"laywright/internal/stage/cure/oven"
)

// foamBox is 1.2 × 0.8 × 0.6 m behind 50 mm of foam with 25 kg of steel in it.
func foamBox(heater si.Power) *oven.Spec {
	s := &oven.Spec{Wall: 0.05, Heater: heater, Load: 25}
	s.Size.V = r3.Vec{X: 1.2, Y: 0.8, Z: 0.6}
	return s
}

// through runs a given schedule and returns what the watch saw.
func through(t *testing.T, in Input) (Input, *watch) {
	t.Helper()
	in, err := settle(in)
	if err != nil {
		t.Fatal(err)
	}
	ps := pieces(in.Spec.Schedule.Value, in.Before, in.Shop)
	w, err := run(context.Background(), in, ps, len(in.Mould) == 0, math.Inf(1))
	if err != nil {
		t.Fatal(err)
	}
	return in, w
}

// What the heater gave and the reaction set free is in air, load, mould and
// laminate, or went through the walls. The door stays shut.
func TestOvenEnergyBalance(t *testing.T) {
	in := onBoard(load(t, "heat_wet_laminate_on_mdf_6mm"))
	in.Area, in.Spec.Oven, in.Shop = 0.8, foamBox(600), si.Celsius(20)
	in.Spec.Schedule = given(0, 30, 60, 60, 240, 60)
	in, w := through(t, in)
	stored := w.box.C * (w.box.air - float64(in.Shop))
	freed := 0.0
	for i, c := range w.box.slab.cells {
		stored += in.area() * c.size * c.heat * (w.now.temp[i] - float64(in.Shop))
		freed += in.area() * c.size * c.burn * w.now.cure[i]
	}
	got := w.box.gave + freed
	if freed < 1e5 || w.box.gave < 1e6 || math.Abs((stored+w.box.went)/got-1) > 1e-6 {
		t.Errorf("stored %.9g J and lost %.9g J of %.9g J", stored, w.box.went, got)
	}
}

func (in Input) area() float64 { return float64(in.Area) }

// On full heat an empty box warms by the closed form, and a resin in it that takes
// no heat feels that air: t = −(C/UA)·ln(1 − UA·ΔT/P).
func TestOvenOnFullHeat(t *testing.T) {
	in := Input{Law: slow(), Shop: si.Celsius(20)}
	in.Spec.Oven = foamBox(400)
	in.Spec.Schedule = given(0, 90, 30, 90)
	in, w := through(t, in)
	rise := w.box.air - float64(in.Shop)
	near(t, "seconds", in.box.HeatUp(rise), 1800, 1)
	near(t, "laminate", w.now.temp[0], w.box.air, 1e-9)
}

// A heater that is strong enough leaves the cure as it is without an oven.
func TestStrongOvenKeepsToSchedule(t *testing.T) {
	in := onPlywood(t, "laminating-epoxy-slow")
	in.Spec.Schedule = given(0, 16, 1440, 16, 1704, 60, 2304, 60, 2424, 16)
	plain := simulate(t, in)
	in.Area, in.Spec.Oven = 0.5, foamBox(20e3)
	r := simulate(t, in)
	near(t, "degree of cure", r.Degree, plain.Degree, 1e-5)
	near(t, "peak", float64(r.Peak), float64(plain.Peak), 0.02)
	near(t, "demould", float64(*r.Demould), float64(*plain.Demould), 5)
}

// A metal mould warms the slower the more of it there is to warm: with all at one
// temperature the whole is one lump, C + A·Σρct, and the closed form holds again.
func TestOvenWarmsTheMould(t *testing.T) {
	in := Input{Law: slow(), Shop: si.Celsius(20), Area: 2,
		Mould:  []Layer{{Name: "sheet", Thickness: 0.003, Fraction: 1, Density: 2700, Cp: 900, K: 150}},
		Layers: []Layer{{Name: "laminate", Thickness: 0.001, Fraction: 0.999, Density: 1000, Cp: 1650, K: 20}}}
	in.Spec.Oven, in.Spec.Air = foamBox(500), 500 // what is warmed follows the air at once
	in.Spec.Schedule = given(0, 90, 30, 90)
	in, w := through(t, in)
	lump := *in.box
	lump.C += 2 * (0.003*2700*900 + 0.001*(0.999*1000*1650+0.001*1150*1900))
	rise := w.box.air - float64(in.Shop)
	near(t, "seconds", lump.HeatUp(rise), 1800, 20) // 8 s is what the mould's own lag stores
}

// The hottest and the coldest place lean to either side.
func TestPlacesInTheOven(t *testing.T) {
	in := onPlywood(t, "laminating-epoxy-slow")
	in.Area, in.Spec.Oven = 0.5, foamBox(1000)
	in.Spec.Oven.Spread = 8
	in.Spec.Schedule = given(0, 16, 1440, 16, 1704, 60, 2304, 60)
	for place, want := range map[float64]float64{-1: 56, 0: 60, 1: 64} {
		in.place = place
		_, w := through(t, in)
		near(t, "air", celsius(w.box.here(0)), want, 0.01)
	}
}

// What a described oven adds to the plan: the schedule that is found keeps its
// promises at the coldest place, and at the hottest nothing comes near its limit.
func TestSearchInAnOven(t *testing.T) {
	in := onPlywood(t, "laminating-epoxy-slow")
	service := si.Celsius(35)
	in.Area, in.Service, in.Spec.Oven = 0.5, &service, foamBox(1000)
	in.Spec.Oven.Spread = 6
	r := simulate(t, in)
	t.Log(r.Chosen)
	o := r.Oven
	if o.Cold == nil || o.Hot == nil || !(o.Cold.Tg < r.Tg && r.Tg < o.Hot.Tg) {
		t.Fatalf("corners %+v %+v about %.1f degC", o.Cold, o.Hot, r.Tg.Celsius())
	}
	if cold := o.Cold.Tg - si.Temperature(in.WetDrop) - ServiceMargin; cold < service {
		t.Errorf("the coldest place serves at %.1f degC only", cold.Celsius())
	}
	for _, code := range []string{"cold-corner", "near-heat-limit", "heat-limit", "oven-too-weak", "too-hot-in-service", "oven-ahead-of-tg"} {
		if severity(r, code) != "" {
			t.Errorf("%s: %+v", code, r.Findings)
		}
	}
	// 1 kW behind foam goes far past plywood's 75 degC.
	if severity(r, "oven-cut-out") != fault.Caution || o.Ceiling < si.Celsius(290) {
		t.Errorf("ceiling %.0f degC; findings %+v", o.Ceiling.Celsius(), r.Findings)
	}
	in.Spec.Oven.CutOut = o.CutOut
	if r = simulate(t, in); severity(r, "oven-cut-out")+severity(r, "oven-trips") != "" {
		t.Errorf("findings %+v", r.Findings)
	}
	in.Spec.Oven.CutOut = o.Asked
	if r = simulate(t, in); severity(r, "oven-trips") != fault.Caution {
		t.Errorf("findings %+v", r.Findings)
	}
}

// A small heater lags, a smaller one never gets there.
func TestWeakOven(t *testing.T) {
	in := onPlywood(t, "laminating-epoxy-slow")
	in.Area = 0.5
	in.Spec.Schedule = given(0, 16, 1440, 16, 1524, 60, 2304, 60)
	in.Spec.Oven = foamBox(250)
	r := simulate(t, in)
	if o := r.Oven; severity(r, "oven-lags") != fault.Note || o.Late == nil || !(*o.Late > 600) || !(o.Behind > 3) {
		t.Errorf("%+v: %+v", r.Oven, r.Findings)
	}
	in.Spec.Oven = foamBox(150)
	r = simulate(t, in)
	// 3.53 W/K bear 44 K with 155 W: 150 W end at 58.5 degC.
	near(t, "ceiling", r.Oven.Ceiling.Celsius(), 16+150/3.5307, 0.01)
	if severity(r, "oven-too-weak") != fault.Stop || r.Oven.Reach != nil {
		t.Errorf("%+v: %+v", r.Oven, r.Findings)
	}
	in.Spec.In = Room
	if _, err := Simulate(context.Background(), in); err == nil {
		t.Error("a room has an oven")
	}
}

// Two days in an oven whose heater is small.
func BenchmarkInOven(b *testing.B) {
	resins, err := library()
	if err != nil {
		b.Fatal(err)
	}
	law, err := resin.New("r", resins["laminating-epoxy-slow"])
	if err != nil {
		b.Fatal(err)
	}
	in := Input{Law: law, Shop: si.Celsius(16), Area: 0.5,
		Mould:  []Layer{{Name: "plywood", Thickness: 0.018, Fraction: 1, Density: 600, Cp: 1600, K: 0.13}},
		Layers: []Layer{{Name: "carbon", Thickness: 0.002, Fraction: 0.44, Density: 1780, Cp: 800, K: 3}}}
	in.Spec.Oven = foamBox(400)
	in.Spec.Schedule = given(0, 16, 1440, 16, 1680, 60, 2760, 60, 2880, 20)
	for b.Loop() {
		if _, err := Simulate(context.Background(), in); err != nil {
			b.Fatal(err)
		}
	}
}
