package air

import (
	"math"

	"laywright/internal/base/num"
	"laywright/internal/base/si"
)

// gammaDry is the ratio of specific heats of dry air. Source: [us-std-atm-1976].
const gammaDry = 1.4

// The range of temperature that the properties of dry air are used in.
const (
	Coldest si.Temperature = 200
	Hottest si.Temperature = 450
)

// Density returns the density of dry air as an ideal gas, ρ = p/(R·T).
func Density(p si.Pressure, t si.Temperature) si.Density {
	return si.Density(float64(p) / (gasConstant * float64(t)))
}

// heats is the specific heat of air at atmospheric pressure, K and J/(kg K).
// Source: [incropera2007] table A.4.
var heats = [2][]float64{{200, 250, 300, 350, 400, 450}, {1007, 1006, 1007, 1009, 1014, 1021}}

// SpecificHeat returns the specific heat of dry air at constant pressure from
// [Coldest] to [Hottest].
//
// Source: [incropera2007] table A.4, straight lines between its rows.
func SpecificHeat(t si.Temperature) si.SpecificHeat {
	return si.SpecificHeat(num.Linear(heats[0], heats[1], float64(t)))
}

// Viscosity returns the dynamic viscosity of air by Sutherland's law,
//
//	μ = 1.458·10⁻⁶·T^1.5/(T + 110.4)
//
// Source: [us-std-atm-1976].
func Viscosity(t si.Temperature) si.Viscosity {
	x := float64(t)
	return si.Viscosity(1.458e-6 * x * math.Sqrt(x) / (x + 110.4))
}

// Conductivity returns the thermal conductivity of air,
//
//	k = 2.64638·10⁻³·T^1.5/(T + 245.4·10^(−12/T))
//
// Source: [us-std-atm-1976].
func Conductivity(t si.Temperature) si.Conductivity {
	x := float64(t)
	return si.Conductivity(2.64638e-3 * x * math.Sqrt(x) / (x + 245.4*math.Exp(-12*math.Ln10/x)))
}

// Prandtl returns c_p·μ/k of dry air.
func Prandtl(t si.Temperature) float64 {
	return float64(SpecificHeat(t)) * float64(Viscosity(t)) / float64(Conductivity(t))
}

// Impact returns the impact pressure of air brought to rest without loss.
//
//	q_c = p·[(1 + 0.2·M²)^3.5 − 1]    M = V/√(γRT)
//
// Source: isentropic flow of air, [us-std-atm-1976] for γ and R.
func Impact(p si.Pressure, t si.Temperature, v si.Velocity) si.Pressure {
	mach := float64(v) / math.Sqrt(gammaDry*gasConstant*float64(t))
	return p * si.Pressure(math.Pow(1+(gammaDry-1)/2*mach*mach, gammaDry/(gammaDry-1))-1)
}

// RamRise returns the warming of air brought to rest, V²/(2c_p), with the
// c_p = γR/(γ−1) that belongs to [Impact].
func RamRise(v si.Velocity) si.TemperatureDifference {
	return si.TemperatureDifference(float64(v) * float64(v) * (gammaDry - 1) / (2 * gammaDry * gasConstant))
}
