package air

import (
	"math"

	"laywright/internal/base/si"
)

// Boiling returns the temperature at which water boils under a pressure: where
// that is what [Saturation] gives.
//
//	t = 243.04·x/(17.625 − x)    x = ln(p/610.94), p in Pa, t in °C
//
// Against steam tables it is right within 0.2 K from 1 to 30 kPa and 1 K low at
// one atmosphere. Source: [alduchov1996].
func Boiling(p si.Pressure) si.Temperature {
	x := math.Log(float64(p) / 610.94)
	return si.Celsius(243.04 * x / (17.625 - x))
}
