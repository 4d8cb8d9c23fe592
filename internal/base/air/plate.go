package air

import (
	"math"

	"laywright/internal/base/si"
)

const (
	stefanBoltzmann = 5.670374419e-8 // W/(m² K⁴), exact by the definition of the SI (2019)
	atmosphere      = 101325         // Pa
)

// Still returns what still air carries from or to an upright plate of the height
// given, in the mean over it.
//
//	Nu = {0.825 + 0.387·Ra^(1/6) / [1 + (0.492/Pr)^(9/16)]^(8/27)}²
//	Ra = g·β·ΔT·H³·Pr/ν²    β = 1/T, properties at the mean of wall and air
//
// For Ra up to 1e12, at one atmosphere. A plate that lies down is within a third.
//
// Source: [churchill-chu1975].
func Still(wall, air si.Temperature, height si.Length) si.HeatTransfer {
	mean := (wall + air) / 2
	pr := Prandtl(mean)
	ν := float64(Viscosity(mean)) / float64(Density(atmosphere, mean))
	h := float64(height)
	ra := gravity / float64(mean) * math.Abs(float64(wall-air)) * h * h * h * pr / (ν * ν)
	root := 0.825 + 0.387*math.Pow(ra, 1.0/6)/math.Pow(1+math.Pow(0.492/pr, 9.0/16), 8.0/27)
	return si.HeatTransfer(root * root * float64(Conductivity(mean)) / h)
}

// Blown returns what air that a fan moves along a plate carries from or to it, in
// the mean over its length.
//
//	Nu = 0.664·Re^(1/2)·Pr^(1/3)
//
// For Re up to 5e5, where the layer at the wall is laminar; at one atmosphere.
//
// Source: [incropera2007], chapter 7.
func Blown(wall, air si.Temperature, speed si.Velocity, length si.Length) si.HeatTransfer {
	mean := (wall + air) / 2
	re := float64(speed) * float64(length) * float64(Density(atmosphere, mean)) / float64(Viscosity(mean))
	return si.HeatTransfer(0.664 * math.Sqrt(re) * math.Cbrt(Prandtl(mean)) * float64(Conductivity(mean)) / float64(length))
}

// Radiated returns what a surface of the emissivity given sends to or gets from
// walls all round it that are nearly as warm, as if the air carried it.
//
//	h = 4·ε·σ·T³    T the mean of both
//
// Source: [incropera2007], chapter 1.
func Radiated(surface, walls si.Temperature, emissivity float64) si.HeatTransfer {
	mean := float64(surface+walls) / 2
	return si.HeatTransfer(4 * emissivity * stefanBoltzmann * mean * mean * mean)
}
