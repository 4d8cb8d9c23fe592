package cabin

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"laywright/internal/base/air"
	"laywright/internal/base/si"
)

func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s: got %.6g, want %.6g within %.2g", what, got, want, rel)
	}
}

// Cabin of UA 60 W/K at 20 °C against −10 °C with 40 g/s of fresh air and gains
// of 450 W: 2556 W, worked by hand at c_p 1005; the margin is what is left over
// and is nothing when the outlet is just warm enough.
func TestCabin(t *testing.T) {
	s := State{Target: 293.15, Outside: 263.15, ua: 60, Fresh: 0.04, gains: 450, capacity: 90e3}
	near(t, "need", s.Need(), 2556, 0.001)
	just := float64(*s.Judge(0.04, 330, true).Supply)
	for range 5 {
		just = float64(*s.Judge(0.04, just, true).Supply)
	}
	r := s.Judge(0.04, just, true)
	if math.Abs(float64(*r.Margin)) > 1e-6 {
		t.Errorf("margin %g W at the outlet that just does", float64(*r.Margin))
	}
	near(t, "settles", float64(*r.Settles), 293.15, 2e-5)
	if s.Judge(0.04, 320, true).Warmup != nil {
		t.Error("a cabin that never gets warm has a warm-up time")
	}
	// Recirculated air brings no fresh air: the whole of it must be warmed.
	near(t, "recirculated", float64(*s.Judge(0.04, 350, true).Margin-*s.Judge(0.04, 350, false).Margin), 0.04*s.cp()*30, 1e-9)
}

// screen is 0.8 m² of acrylic 5 mm thick; slipstream outside.
func screen(t *testing.T, people int, humidity si.Fraction) State {
	t.Helper()
	s, err := Of(Spec{Target: si.Celsius(15), Conductance: 40, People: people, Infiltration: 0.01,
		Demist: &Demist{Screen: Wall{Area: 0.8, Layers: []Layer{{0.005, 0.19}}}, Humidity: &humidity}}, si.Celsius(-20))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Two people at 15 °C against −20 °C and full air outside, 40 g/s of fresh air and
// 10 g/s of leaks, by hand: outside 125.6 Pa of vapour is 0.955 g/kg at 81.2 kPa,
// the people add 2·18.4 mg/s over 50 g/s = 0.736 g/kg; 1.691 g/kg is 220 Pa, a
// frost point of −11.8 °C (217.3 Pa at −12 in the tables). The bare pane: 8 W/(m²K) inside against 30.3 outward
// gives −12.7 °C.
func TestDemistByHand(t *testing.T) {
	s := screen(t, 2, 1)
	r, err := s.Clear(Blow{Flow: 0.02, Out: si.Celsius(60), Fresh: 0.04, Pressure: 81200})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "frost point", r.Dew.Celsius(), -11.85, 0.01)
	near(t, "kept above it", float64(r.Limit-r.Dew), 2, 1e-9)
	near(t, "bare pane", r.Bare.Celsius(), -12.7, 0.01)
	near(t, "humidity", r.Wet, 220/1705.0, 0.02)
	// At the flow that is needed the pane stands just at its limit.
	again, err := s.Clear(Blow{Flow: *r.Needed, Out: si.Celsius(60), Fresh: 0.04, Pressure: 81200})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "pane at the needed flow", float64(again.Pane), float64(r.Limit), 1e-9)
	if !r.Clear || r.Pane <= r.Limit || *r.Needed >= 0.02 {
		t.Errorf("%+v", r)
	}
	// An empty cabin in dry air stays clear by itself; air colder than the limit never clears.
	dry, err := screen(t, 0, 0.3).Clear(Blow{Out: si.Celsius(60), Pressure: 81200})
	if err != nil || !dry.Clear || *dry.Needed != 0 {
		t.Errorf("%+v %v", dry, err)
	}
	if cold, err := s.Clear(Blow{Flow: 1, Out: si.Celsius(-15), Fresh: 0.04, Pressure: 81200}); err != nil || cold.Needed != nil || cold.Clear {
		t.Errorf("%+v %v", cold, err)
	}
}

// The moisture balance: what comes in and what people give off goes out with the air.
func TestMoistureBalance(t *testing.T) {
	s := screen(t, 3, 0.8)
	r, err := s.Clear(Blow{Out: si.Celsius(50), Fresh: 0.03, Pressure: 9e4})
	if err != nil {
		t.Fatal(err)
	}
	in := air.Moisture(air.Saturation(si.Celsius(-20))*0.8, 9e4)*float64(r.Fresh) + 3*float64(usualMoisture)
	out := air.Moisture(air.Saturation(si.Celsius(15))*si.Pressure(r.Wet), 9e4) * float64(r.Fresh)
	near(t, "moisture out", out, in, 1e-9)
}

// Bleed at pressure ratio 6 from −10 °C, worked by hand: outlet 210 °C, 221 and
// 441 kJ/kg; 0.05 kg/s costs 22.0 kW of shaft power.
func TestBleed(t *testing.T) {
	b := BleedAt(6, 263.15)
	near(t, "outlet", b.Outlet-273.15, 210, 0.005)
	near(t, "compressor", b.Work, 221e3, 0.005)
	near(t, "turbine", 0.05*b.Lost, 22.0e3, 0.005)
}

// Ways to one need of 1800 W, by hand: electric at the generator's 0.55; the
// bleed's 441 kJ/kg of turbine work against c_p·(210 − 20) of useful heat; a muff of
// 30 W/(m²K) from gas of 900 K to air of 278 K. 2 cm³/s of carbon monoxide bring
// 40 L/s of air to 50 in a million.
func TestWays(t *testing.T) {
	s, err := Of(Spec{Target: 293.15, Conductance: 60}, 263.15)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range s.Ways(Box{Name: OilBox, Air: 0.04}) {
		switch w.Name {
		case "electric":
			near(t, w.Name, float64(*w.Shaft), 1800/0.55, 1e-9)
			near(t, "its fuel", float64(*w.Fuel)*3600, 1.8/0.55*0.29, 1e-9)
		case "bleed from a turbine":
			near(t, w.Name, float64(*w.Shaft), 1800*441e3/(1005*190), 0.01)
		case "muff on the exhaust":
			if !strings.Contains(w.Needs, fmt.Sprintf("%.2g m²", 1800/(30*621.85))) || !strings.Contains(w.Fails, "2 cm³/s") {
				t.Errorf("%+v", w)
			}
		}
	}
	if n := len(s.Ways(Box{Name: OilBox})); n != 5 {
		t.Errorf("%d ways, want 5", n)
	}
	s.Outside = 300
	if s.Ways(Box{}) != nil {
		t.Error("a warm day has ways to heat")
	}
}
