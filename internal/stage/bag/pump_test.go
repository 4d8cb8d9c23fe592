package bag

import (
	"errors"
	"math"
	"testing"

	"laywright/internal/base/air"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// Isothermal pumping at constant speed: V·dp/dt = −S·(p − pu), by the closed form and
// by small steps. One volume at one litre a second takes ln 10 s to a tenth.
func TestPumpDown(t *testing.T) {
	p := Pump{Speed: 1e-3}
	near(t, "to a tenth", float64(p.drawsDown(0, 1e-3, 1e5, 1e4)), math.Ln10, 1e-12)
	near(t, "loose air", float64(p.drawsDown(5e-3, 1e-3, 1e5, 1e4)), 5+math.Ln10, 1e-12)
	p.Limit = 3000
	at, x, dt := 0.0, 1e5, 1e-5
	for x > 1e4 {
		x, at = x-dt*(x-3000), at+dt
	}
	near(t, "to a limit", float64(p.drawsDown(0, 1e-3, 1e5, 1e4)), at, 1e-4)
}

// A pump that leaves 5 kPa takes the plan's vacuum down to that.
func TestPumpLimitsTheVacuum(t *testing.T) {
	r, err := Pack(Input{Barometer: 101325, Spec: Spec{Vacuum: 98000, Pump: &Pump{Limit: 5000}}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "absolute", float64(r.Absolute), 5000, 1e-9)
	if r.Findings[0].Code != "vacuum-not-there" {
		t.Errorf("findings %+v", r.Findings)
	}
}

func fell(rise, over float64) *Leak {
	p := si.Pressure(rise)
	return &Leak{Rise: &p, Over: si.Time(over)}
}

func TestLeakIsJudged(t *testing.T) {
	for _, c := range []struct {
		rise, over float64 // inHg, s
		code       string
		severity   fault.Severity
	}{
		{0.9, 60, "leak-passes", fault.Note},
		{4.9, 300, "leak-passes", fault.Note},
		{0.5, 300, "leak-passes", fault.Note},
		{1.1, 60, "leak-fails", fault.Stop},
		{5.1, 300, "leak-fails", fault.Stop},
	} {
		r, err := Pack(Input{Barometer: 101325, Spec: Spec{Vacuum: 85000, Volume: 0.002, Leak: fell(c.rise*inHg, c.over)}})
		if err != nil {
			t.Fatal(err)
		}
		f := r.Findings[len(r.Findings)-1]
		if f.Code != c.code || f.Severity != c.severity {
			t.Errorf("%v inHg in %v s: %s", c.rise, c.over, f.Code)
		}
		near(t, "a minute", *f.Value, c.rise*60/c.over, 1e-9)
		near(t, "flow", float64(*r.Leaks), 0.002*c.rise*inHg/c.over/101325, 1e-9)
		near(t, "five minutes", float64(r.Leak5Min), 5*inHg, 1e-9)
	}
	for field, l := range map[string]*Leak{"bag.leak.over": fell(100, 5), "bag.leak.rise": fell(60000, 60)} {
		_, err := Pack(Input{Barometer: 101325, Spec: Spec{Vacuum: 85000, Leak: l}})
		var e *fault.Range
		if !errors.As(err, &e) || e.Field != field {
			t.Errorf("%+v gives %v", l, err)
		}
	}
	if _, err := Pack(Input{Barometer: 101325, Spec: Spec{Vacuum: 85000, Leak: &Leak{Over: 60}}}); err == nil {
		t.Error("a leak check without a reading was taken")
	}
}

// What a bag holds by hand: 0.3 m² of felt, 0.6 mm less 150/1380000 m of polyester, 3 m
// of hose 8 mm wide and half a litre.
func TestVolumeByHand(t *testing.T) {
	r, in := Result{BleederArea: 0.2, BreatherArea: 0.1}, Input{}
	near(t, "felt", float64(in.felt(&r)), 0.3*(0.0006-0.15/1380), 1e-9)
	near(t, "hose", float64(hoses), 3*math.Pi*0.004*0.004+0.5e-3, 1e-9)
}

// Clausius and Clapeyron: with water's 43.9 kJ/mol and 3.17 kPa at 25 °C, 50 °C gives
// 12.35 kPa of the tables within 2 %.
func TestVapour(t *testing.T) {
	near(t, "water", float64(Vapour{Pressure: 3169, At: si.Celsius(25), Energy: 43.9e3}.at(si.Celsius(50))), 12350, 0.02)
	near(t, "assumed at its own", float64(assumedVapour.at(si.Celsius(25))), 1000, 1e-12)
}

// In a bag at 5 kPa, warm: what governs is told, and how far to ease off.
func TestWarmWetResinFoams(t *testing.T) {
	at := func(humidity float64, warm float64, v Vapour) Result {
		r, err := Pack(Input{Barometer: 101325, Spec: Spec{Absolute: 5000}, Humidity: humidity, Warmest: si.Celsius(warm), LightParts: v})
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	for _, c := range []struct {
		humidity, warm float64
		light          Vapour
		code           string
	}{
		{0.5, 20, Vapour{}, ""},
		{0, 20, Vapour{}, ""},
		{0.6, 60, Vapour{}, "moisture-boils"},   // 12.7 kPa against 8.3
		{0.1, 60, Vapour{}, "light-parts-boil"}, // 2.1 kPa against 8.3
		{0.1, 60, Vapour{1, si.Celsius(25), 60e3}, ""},
		{0, 60, Vapour{}, "moisture-boils"}, // wet: 19.9 kPa
	} {
		r := at(c.humidity, c.warm, c.light)
		got := ""
		if n := len(r.Findings); n > 0 {
			got = r.Findings[n-1].Code
		}
		if got != c.code {
			t.Errorf("%+v: told %q", c, got)
		}
	}
	b := at(0, 60, Vapour{}).Boiling[4] // 60 °C
	near(t, "deepest", float64(b.Deepest), float64(101325-air.Saturation(si.Celsius(60))), 1e-12)
}

// Boyle: air of 101.3 kPa and 22 °C in resin at 50 kPa and 60 °C grows 2.287 times
// (reference notes on cure, 5).
func TestTrappedAirGrows(t *testing.T) {
	c := carbon(1)[0]
	c.Fraction = 0.6 // carries all of the push: the resin has the bag's 50 kPa
	r, err := Pack(Input{Barometer: 101325, Spec: Spec{Absolute: 50000}, Stack: []Cloth{c}, Area: 1, ResinRho: 1150, Shop: si.Celsius(22), Warmest: si.Celsius(60)})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "growth", r.AirGrows, 2.28741, 1e-5)
}
