// Package air holds the standard atmosphere, which tells a duty its flight and a
// shop its barometer, the properties of dry air, and the humidity that coats dry
// in and that a windscreen mists over with. SI units.
package air

import (
	"math"

	"laywright/internal/base/si"
)

// Constants of the standard atmosphere. Source: [us-std-atm-1976].
const (
	seaLevelTemperature = 288.15   // K
	seaLevelPressure    = 101325.0 // Pa
	lapse               = 0.0065   // K/m
	gravity             = 9.80665  // m/s²
	gasConstant         = 287.05287
	tropopause          = 11000.0 // m

	// Top is the altitude up to which Standard holds.
	Top si.Length = 20000
)

// Standard returns pressure and temperature of the standard atmosphere at a
// geopotential altitude, to [Top].
//
//	T = T₀ − L·h    p = p₀·(T/T₀)^(g/RL)                 to 11 km
//	T constant      p = p₁₁·e^(−g(h−11 km)/(R·T₁₁))      to 20 km
//
// Source: [us-std-atm-1976], [icao7488].
func Standard(h si.Length) (si.Pressure, si.Temperature) {
	x := float64(h)
	low := math.Min(x, tropopause)
	t := seaLevelTemperature - lapse*low
	p := seaLevelPressure * math.Pow(t/seaLevelTemperature, gravity/(gasConstant*lapse))
	if x > tropopause {
		p *= math.Exp(-gravity * (x - tropopause) / (gasConstant * t))
	}
	return si.Pressure(p), si.Temperature(t)
}
