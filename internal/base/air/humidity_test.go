package air

import (
	"math"
	"testing"

	"laywright/internal/base/si"
)

// Saturation pressures of water in the steam tables: 0.6117, 1.2282, 2.3393,
// 4.2470 and 12.352 kPa at 0.01, 10, 20, 30 and 50 degC. Source: [iapws-if97]
// (from memory).
func TestSaturation(t *testing.T) {
	for c, want := range map[float64]float64{0.01: 611.7, 10: 1228.2, 20: 2339.3, 30: 4247.0, 50: 12352} {
		if got := float64(Saturation(si.Celsius(c))); math.Abs(got/want-1) > 4e-3 {
			t.Errorf("%g degC: %.1f Pa, want %.1f within 0.4 %%", c, got, want)
		}
	}
}

// Air at 20 degC and half full lacks half of 2339 Pa and drips at 9.3 degC, as
// every psychrometric chart shows.
func TestHalfFullAir(t *testing.T) {
	room := si.Celsius(20)
	if got := float64(Deficit(room, 0.5)); math.Abs(got-2339.3/2) > 4 {
		t.Errorf("deficit %.1f Pa", got)
	}
	if got := DewPoint(room, 0.5).Celsius(); math.Abs(got-9.3) > 0.1 {
		t.Errorf("dew point %.2f degC, want 9.3", got)
	}
	if got := DewPoint(room, 1); math.Abs(float64(got-room)) > 1e-9 {
		t.Errorf("full air drips at %.3f degC", got.Celsius())
	}
}

// Over ice: 103.2 Pa at -20 degC and 259.9 Pa at -10 degC in the steam tables;
// moisture and vapour pressure are each other's inverse. Source: [iapws-if97]
// (from memory).
func TestFrostPoint(t *testing.T) {
	for c, e := range map[float64]si.Pressure{-20: 103.2, -10: 259.9} {
		if got := FrostPoint(e).Celsius(); math.Abs(got-c) > 0.05 {
			t.Errorf("%v Pa: %.2f degC, want %v", e, got, c)
		}
	}
	if e := Vapour(Moisture(800, 9e4), 9e4); math.Abs(float64(e)/800-1) > 1e-12 {
		t.Errorf("800 Pa come back as %v", e)
	}
}

// Water's boiling points under low pressure as steam tables (IAPWS-IF97) print
// them; from memory.
func TestBoiling(t *testing.T) {
	for _, c := range []struct{ kPa, degC, within float64 }{
		{1, 6.97, 0.2}, {2, 17.50, 0.2}, {5, 32.88, 0.2}, {10, 45.81, 0.2}, {20, 60.06, 0.2}, {30, 69.10, 0.2}, {101.325, 99.97, 1},
	} {
		if got := Boiling(si.Pressure(1000 * c.kPa)).Celsius(); math.Abs(got-c.degC) > c.within {
			t.Errorf("at %g kPa water boils at %.2f °C, want %.2f ± %g", c.kPa, got, c.degC, c.within)
		}
	}
	if back := Saturation(Boiling(9800)); math.Abs(float64(back)-9800) > 1e-6 {
		t.Errorf("saturation at the boiling point is %v Pa", back)
	}
}
