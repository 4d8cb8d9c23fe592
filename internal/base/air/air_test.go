package air

import (
	"math"
	"testing"

	"laywright/internal/base/si"
)

// ICAO Doc 7488: 84 307 Pa at 5000 ft, 69 682 Pa and -4.81 °C at 10 000 ft;
// US Standard Atmosphere 1976: 22 632 Pa at 11 km, 5475 Pa at 20 km, both -56.5 °C.
func TestStandardTables(t *testing.T) {
	for _, c := range []struct {
		h       si.Length
		p, degC float64
	}{{0, 101325, 15}, {1524, 84307, 5.094}, {3048, 69682, -4.812}, {11000, 22632, -56.5}, {20000, 5474.9, -56.5}} {
		p, temperature := Standard(c.h)
		if math.Abs(float64(p)/c.p-1) > 1e-4 || math.Abs(temperature.Celsius()-c.degC) > 0.005 {
			t.Errorf("at %v m: %.1f Pa, %.3f °C; want %.1f, %.3f", float64(c.h), float64(p), temperature.Celsius(), c.p, c.degC)
		}
	}
}
