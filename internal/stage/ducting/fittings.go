package ducting

import (
	"math"

	"laywright/internal/base/num"
	"laywright/internal/base/si"
)

// Loss coefficients of ends, in velocity heads. Source: [idelchik], from memory.
const (
	sharpEntrance = 0.5
	dump          = 1.0 // into a plenum or the cabin
)

// Loss of a bend of 90 degrees in velocity heads: drawn tube of radius 1.5 bores,
// hose bent as tight as it is laid, and a sharp mitre. Hose from common practice
// (0.5 to 1); the others from a public fluids library's [miller] and [rennels].
const (
	tubeBend = 0.25
	hoseBend = 0.75
	// Mitre is the loss of a sharp turn through 90 degrees.
	Mitre = 1.253
)

// Expansion returns K of a sudden widening on the head before it, (1 − A₁/A₂)².
func Expansion(ratio float64) float64 { return (1 - ratio) * (1 - ratio) }

// Contraction returns K of a sudden narrowing on the head behind it,
// 0.5·(1 − A₂/A₁)^0.75. Source: [idelchik].
func Contraction(ratio float64) float64 { return 0.5 * math.Pow(1-ratio, 0.75) }

// Plate returns K of a thin plate with sharp-edged holes, or of a gate, of which
// the share open is free, on the head before it.
//
//	K = (0.707·√(1 − φ) + 1 − φ)²/φ²
//
// Source: [idelchik], from memory.
func Plate(open float64) float64 {
	x := 0.707*math.Sqrt(1-open) + 1 - open
	return x * x / (open * open)
}

// leastOpen bounds the search for a gate's position: K is then 2.9·10⁴.
const leastOpen = 0.01

// wideOpen is the coefficient below which a gate is said to be open.
const wideOpen = 1e-4

// OpenFor returns the share open at which [Plate] has the coefficient k. A gate
// that must lose more than one open by a hundredth gives a hundredth.
func OpenFor(k float64) si.Fraction {
	if !(k > wideOpen) {
		return 1
	}
	if k >= Plate(leastOpen) {
		return leastOpen
	}
	open, err := num.Root(func(x float64) float64 { return Plate(x) - k }, leastOpen, 1, 1e-9)
	if err != nil { // the ends have unlike signs, so there is none
		return leastOpen
	}
	return si.Fraction(open)
}

// branching returns K of the way from a stem into one branch, on the stem's head.
//
//	K = 1 + x² − 2·x·cos α    x = w_branch/w_stem
//
// α is the angle between stem and branch: the loss of a jump in velocity, as a
// vector. Measured wyes of 15 to 90 degrees lie 0 to 10 % below above x = 0.8.
//
// Source: [idelchik], from memory.
func branching(x float64, angle si.Angle) float64 {
	return 1 + x*x - 2*x*math.Cos(float64(angle))
}
