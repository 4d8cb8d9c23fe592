package release

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/si"
)

// Force is about how hard the part is to pull off: a rough one.
type Force struct {
	Low  si.Force `json:"low_N"`
	High si.Force `json:"high_N"`
	Grip si.Force `json:"grip_N,omitempty"` // the share of High that shrinkage or growth adds
}

// What a waxed mould with a release film holds on to, and the friction of wax.
// Common practice, no source: a well waxed panel slides off by hand; one that has
// stuck in places takes wedges.
const (
	leastShear   = 0.5e3 // Pa
	mostShear    = 10e3  // Pa
	mostFriction = 0.3
	shearedShare = 0.0872 // sine of 5 deg: a wall with less draft slides over its whole height
)

// force adds up what the walls hold:
//
//	F = τ·Σ A·s(δ) + μ·p·A_walls
//
// τ is the shear strength of the released face, s the share of the height over
// which a wall slides before it clears, 1 up to 5 deg of draft and sin 5°/sin δ
// beyond; p = 2·E·t·g/L² is the pressure of a ring of the wall, E·t stiff, that is
// stretched by g over its diameter L. Faces across the pull are peeled from an edge
// or float off on air, and are left out: on a broad one without air holes the
// atmosphere alone holds 100 kPa.
func (s *surface) force(p Pull, w Wall, g Grip) Force {
	var slides, walls float64
	for f, n := range s.normal {
		across := math.Sqrt(max(0, 1-sq(r3.Dot(n, p.dir()))))
		sine := math.Abs(math.Sin(p.Draft[f]))
		slides += s.area[f] * across * min(1, shearedShare/max(sine, 1e-9))
		if sine < shearedShare {
			walls += s.area[f]
		}
	}
	out := Force{Low: si.Force(leastShear * slides), High: si.Force(mostShear * slides)}
	if g.ColdHigh > 0 && g.Over > 0 {
		pressure := 2 * w.Stiffness * float64(g.ColdHigh) / sq(float64(g.Over))
		out.Grip = si.Force(mostFriction * pressure * walls)
		out.High += out.Grip
	}
	return out
}

func sq(x float64) float64 { return x * x }
