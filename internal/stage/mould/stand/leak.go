package stand

import "laywright/internal/base/si"

// airViscosity at 20 °C. Source: [us-std-atm-1976].
const airViscosity = 1.81e-5 // Pa s

// Leak returns the air that a bare board lets through from outside into a bag, as
// the volume that it has outside. Pressures are absolute.
//
//	Q = k·A·(p₁² − p₂²) / (2·μ·L·p₁)
//
// k is Darcy's permeability, A the area under the bag, L the thickness. It holds
// for slow flow of a gas through a uniform body of one temperature; joints, knots
// and end grain leak more, sealed faces less.
//
// Source: [muskat1937] for Darcy's law with a gas.
func Leak(permeability, area si.Area, thick si.Length, outside, inside si.Pressure) si.VolumeFlow {
	p1, p2 := float64(outside), float64(inside)
	return si.VolumeFlow(float64(permeability) * float64(area) * (p1*p1 - p2*p2) / (2 * airViscosity * float64(thick) * p1))
}
