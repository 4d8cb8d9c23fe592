package exchanger

import (
	"math"

	"laywright/internal/base/num"
	"laywright/internal/base/si"
)

// gasConstantAir is the specific gas constant of dry air, J/(kg K).
// Source: [us-std-atm-1976].
const gasConstantAir = 287.05287

// The range of air temperature that the property formulas are used in.
const (
	coldestAir si.Temperature = 200
	hottestAir si.Temperature = 450
)

// AirDensity returns the density of dry air as an ideal gas, ρ = p/(R·T).
func AirDensity(p si.Pressure, t si.Temperature) si.Density {
	return si.Density(float64(p) / (gasConstantAir * float64(t)))
}

// airCp is the specific heat of air at atmospheric pressure, K and J/(kg K).
// Source: [incropera2007] table A.4.
var airCp = [2][]float64{{200, 250, 300, 350, 400, 450}, {1007, 1006, 1007, 1009, 1014, 1021}}

// AirSpecificHeat returns the specific heat of dry air at constant pressure
// between 200 K and 450 K.
//
// Source: [incropera2007] table A.4, straight lines between its rows.
func AirSpecificHeat(t si.Temperature) si.SpecificHeat {
	return si.SpecificHeat(num.Linear(airCp[0], airCp[1], float64(t)))
}

// AirViscosity returns the dynamic viscosity of air by Sutherland's law,
//
//	μ = 1.458·10⁻⁶·T^1.5/(T + 110.4)
//
// Source: [us-std-atm-1976].
func AirViscosity(t si.Temperature) si.Viscosity {
	return si.Viscosity(1.458e-6 * math.Pow(float64(t), 1.5) / (float64(t) + 110.4))
}

// AirConductivity returns the thermal conductivity of air,
//
//	k = 2.64638·10⁻³·T^1.5/(T + 245.4·10^(−12/T))
//
// Source: [us-std-atm-1976].
func AirConductivity(t si.Temperature) si.Conductivity {
	return si.Conductivity(2.64638e-3 * math.Pow(float64(t), 1.5) / (float64(t) + 245.4*math.Pow(10, -12/float64(t))))
}

// airPrandtl returns c_p·μ/k.
func airPrandtl(t si.Temperature) float64 {
	return float64(AirSpecificHeat(t)) * float64(AirViscosity(t)) / float64(AirConductivity(t))
}
