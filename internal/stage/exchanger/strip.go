package exchanger

import (
	"math"

	"laywright/internal/base/material"
)

// strip gives j and f of rectangular offset-strip fins.
type strip struct {
	alpha, delta, gamma float64 // s/h, t/l, t/s
	hydraulic           float64
	straight
}

// newStrip takes the free width s = F_p − t and height h = F_l − t of a channel,
// fin thickness t and strip length l.
func newStrip(r material.Fins) strip {
	s, h := float64(r.Pitch-r.Thickness), float64(r.Height-r.Thickness)
	t, l := float64(r.Thickness), float64(r.StripLength)
	return strip{alpha: s / h, delta: t / l, gamma: t / s, hydraulic: stripDiameter(s, h, t, l), straight: straightOf(r)}
}

// stripDiameter returns D_h = 4shl/[2(sl + hl + th) + ts].
func stripDiameter(s, h, t, l float64) float64 {
	return 4 * s * h * l / (2*(s*l+h*l+t*h) + t*s)
}

func (strip) limits() Limits { return Limits{"the offset-strip correlation", 120, 10000} }

// ranges are from memory.
func (x strip) ranges() []Measure {
	return []Measure{
		{"fin gap over fin height", x.alpha, 0.134, 0.997, ""},
		{"fin thickness over strip length", x.delta, 0.012, 0.048, ""},
		{"fin thickness over fin gap", x.gamma, 0.041, 0.121, ""},
	}
}

func (x strip) length() float64 { return x.hydraulic }

// colburn returns j = St·Pr^(2/3); Re on D_h, 120 to 10⁴, Pr 0.5 to 15, within 20 %.
//
//	j = 0.6522 Re^−0.5403 α^−0.1541 δ^0.1499 γ^−0.0678 [1 + 5.269·10⁻⁵ Re^1.340 α^0.504 δ^0.456 γ^−1.055]^0.1
//
// Source: [manglik-bergles1995].
func (x strip) colburn(re, _ float64) float64 {
	return 0.6522 * math.Pow(re, -0.5403) * math.Pow(x.alpha, -0.1541) * math.Pow(x.delta, 0.1499) * math.Pow(x.gamma, -0.0678) *
		math.Pow(1+5.269e-5*math.Pow(re, 1.340)*math.Pow(x.alpha, 0.504)*math.Pow(x.delta, 0.456)*math.Pow(x.gamma, -1.055), 0.1)
}

// fanning returns the Fanning friction factor in the same range.
//
//	f = 9.6243 Re^−0.7422 α^−0.1856 δ^0.3053 γ^−0.2659 [1 + 7.669·10⁻⁸ Re^4.429 α^0.920 δ^3.767 γ^0.236]^0.1
//
// Source: [manglik-bergles1995].
func (x strip) fanning(re float64) float64 {
	return 9.6243 * math.Pow(re, -0.7422) * math.Pow(x.alpha, -0.1856) * math.Pow(x.delta, 0.3053) * math.Pow(x.gamma, -0.2659) *
		math.Pow(1+7.669e-8*math.Pow(re, 4.429)*math.Pow(x.alpha, 0.920)*math.Pow(x.delta, 3.767)*math.Pow(x.gamma, 0.236), 0.1)
}
