package ducting

import (
	"math"

	"laywright/internal/base/num"
	"laywright/internal/base/si"
)

// HydraulicDiameter returns 2ab/(a + b) of a rectangle.
func HydraulicDiameter(a, b float64) float64 { return 2 * a * b / (a + b) }

// HoseFriction returns the Darcy factor of a convoluted hose.
//
//	f = (D/s)·[1 − (D/(D + 0.438·s))²]²
//
// D bore, s pitch of the convolutions: each is a small sudden widening and
// narrowing. Holds for turbulent flow. Source: [hawthorne-vonhelms1963], from memory.
func HoseFriction(bore, pitch float64) float64 {
	x := bore / (bore + 0.438*pitch)
	return bore / pitch * math.Pow(1-x*x, 2)
}

// Crumple returns how much more a hose loses that is not pulled straight.
//
//	1 + 0.58·r·e^(−0.126·D)    r slack in percent, D bore in inches
//
// Measured on 6 to 10 in ducts; smaller bores extrapolate. Source:
// [ashrae-fundamentals], from memory.
func Crumple(slack si.Fraction, bore si.Length) float64 {
	return 1 + 0.58*100*float64(slack)*math.Exp(-0.126*float64(bore)/0.0254)
}

// Darcy returns the Darcy friction factor: 64/Re to Re 2300, Colebrook's above
// 4000, a straight line between.
//
//	1/√f = −2·log₁₀(ε/3.7 + 2.51/(Re·√f))
//
// Source: [colebrook1939].
func Darcy(re, relative float64) float64 {
	const laminar, turbulent = 2300, 4000
	if re <= laminar {
		return 64 / re
	}
	if re < turbulent {
		s := (re - laminar) / (turbulent - laminar)
		return 64/laminar*(1-s) + s*colebrook(turbulent, relative)
	}
	return colebrook(re, relative)
}

// colebrook solves for x = 1/√f by Newton's method. The function is convex and
// monotone, so it converges from Haaland's start to the last digit in few steps.
func colebrook(re, relative float64) float64 {
	x := -1.8 * math.Log10(6.9/re+math.Pow(relative/3.7, 1.11))
	for range 8 {
		inside := relative/3.7 + 2.51*x/re
		g := x + 2*math.Log10(inside)
		slope := 1 + 2*2.51/(re*inside*math.Ln10)
		x -= g / slope
	}
	return 1 / (x * x)
}

// angleShare returns a bend's loss over that of 90 degrees: 0.9·sin θ to 70°,
// then on a line through 1 at 90°, and 0.7 + 0.35·θ/90° above 100°.
//
// Source: [idelchik], from memory; the line between joins its two branches.
func angleShare(a si.Angle) float64 {
	d := a.Degrees()
	switch {
	case d <= 70:
		return 0.9 * math.Sin(float64(a))
	case d >= 100:
		return 0.7 + 0.35*d/90
	}
	return num.Linear([]float64{70, 90, 100}, []float64{0.9 * math.Sin(70*math.Pi/180), 1, 0.7 + 0.35*100/90}, d)
}
