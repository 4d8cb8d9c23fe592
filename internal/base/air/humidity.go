package air

import (
	"math"

	"laywright/internal/base/si"
)

// Saturation returns the pressure of water vapour over water at which air can
// take up no more.
//
//	e = 610.94·exp(17.625·t/(t + 243.04))    Pa, t in °C
//
// It holds from −40 to 50 °C within 0.4 %; beyond it is extrapolated.
//
// Source: [alduchov1996].
func Saturation(t si.Temperature) si.Pressure {
	c := t.Celsius()
	return si.Pressure(610.94 * math.Exp(17.625*c/(c+243.04)))
}

// Deficit returns what water vapour the air lacks to be full, as a pressure: what
// drives the drying of a thin wet film whose ground keeps it at the temperature of
// the air.
//
//	Δe = e(T)·(1 − RH)
//
// Source: [dalton1802] for drying in proportion to it.
func Deficit(t si.Temperature, humidity float64) si.Pressure {
	return Saturation(t) * si.Pressure(1-humidity)
}

// DewPoint returns the temperature at which air of this humidity is full: ground
// colder than that gets wet. The inverse of [Saturation].
func DewPoint(t si.Temperature, humidity float64) si.Temperature {
	x := math.Log(humidity) + 17.625*t.Celsius()/(t.Celsius()+243.04)
	return si.Celsius(243.04 * x / (17.625 - x))
}

// FrostPoint returns the temperature at which air of a vapour pressure lays frost
// on what is colder, from the pressure of vapour over ice,
//
//	e = 611.21·exp(22.587·t/(t + 273.86))    Pa, t in °C, −80 to 0
//
// Source: [alduchov1996], from memory.
func FrostPoint(vapour si.Pressure) si.Temperature {
	x := math.Log(float64(vapour) / 611.21)
	return si.Celsius(273.86 * x / (22.587 - x))
}

// wetShare is the molar mass of water over that of dry air.
const wetShare = 0.622

// Moisture returns the mass of vapour to a mass of dry air, 0.622·e/(p − e).
func Moisture(vapour, p si.Pressure) float64 { return wetShare * float64(vapour) / float64(p-vapour) }

// Vapour is the inverse of [Moisture]: the vapour's pressure.
func Vapour(moisture float64, p si.Pressure) si.Pressure {
	return p * si.Pressure(moisture/(wetShare+moisture))
}
