package resin

import (
	"math"
	"testing"

	"laywright/internal/base/si"
)

// The mass found peaks where it should, a tenth more is hotter, and the tray
// that is made of it follows the cup: per kilogram it loses as much, so it is
// as warm at every instant. No cup gets hotter than its own heat brings it,
// air + H/c (energy balance without loss).
func TestMostInACup(t *testing.T) {
	l := amine(3.31798/7200, 0.1, 55e3, 298.15) // film gels in 2 h at 25 °C
	air, limit := si.Celsius(20), si.Celsius(60)
	m, ok, err := l.Most(air, limit)
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	peak := func(c Cup) float64 {
		p, err := l.Watch(c)
		if err != nil {
			t.Fatal(err)
		}
		return p.Peak.Celsius()
	}
	at, more := peak(Cup{Mass: m, Air: air}), peak(Cup{Mass: 1.1 * m, Air: air})
	if math.Abs(at-60) > 0.6 || more < at+1 {
		t.Errorf("%.4g kg peaks at %.2f °C, a tenth more at %.2f", m, at, more)
	}
	const area = 0.05
	deep := l.Tray(m)
	near(t, "peak in the tray", peak(Cup{Mass: si.Mass(float64(l.Density) * area * float64(deep)), Air: air, Loss: 9 * area}), at, 0.01)
	adiabatic := air + si.Temperature(float64(l.Heat)/float64(l.Cp))
	if _, ok, err := l.Most(air, adiabatic+1); ok || err != nil {
		t.Errorf("a cup gets hotter than %.0f °C (%v)", adiabatic.Celsius(), err)
	}
	if none, ok, err := l.Most(si.Celsius(60), limit); none != 0 || !ok || err != nil {
		t.Errorf("%.4g kg are harmless in air as hot as the limit (%v, %v)", none, ok, err)
	}
}
