package joint

import (
	"math"

	"laywright/internal/base/si"
)

// Adhesive is a bond line.
type Adhesive struct {
	E, G           si.Pressure
	Thickness      si.Length
	Shear, Tension si.Pressure // strengths
}

// Lap is a single lap: two adherends over a length, the first with load, N/m.
type Lap struct {
	Stretch1, Stretch2 float64 // E·t of the adherends, N/m; +Inf: rigid
	Length             si.Length
	Adhesive
}

// Omega is the length of the lap over that in which shear dies away.
//
//	ω² = (G·L²/tₐ)·(1/E₁t₁ + 1/E₂t₂)
//
// Source: [volkersen1938].
func (l Lap) Omega() float64 {
	long := float64(l.Length)
	return long * math.Sqrt(float64(l.G)/float64(l.Thickness)*(1/l.Stretch1+1/l.Stretch2))
}

// Shear returns the shear stress of an elastic lap under P, N/m: at the end where
// the first adherend comes in, in the middle, and at the other end.
//
//	τ = (P·ω/2L)·(cosh ωX/sinh ½ω − ψ·sinh ωX/cosh ½ω),  −½ ≤ X ≤ ½,  ψ = (E₂t₂ − E₁t₁)/(E₁t₁ + E₂t₂)
//
// The adherends stretch, and do not bend; the adhesive only shears.
//
// Source: [volkersen1938].
func (l Lap) Shear(p si.LineLoad) (near, middle, far si.Pressure) {
	ω := l.Omega()
	lean := 1.0
	if !math.IsInf(l.Stretch2, 1) {
		lean = (l.Stretch2 - l.Stretch1) / (l.Stretch1 + l.Stretch2)
	}
	scale := float64(p) * ω / (2 * float64(l.Length))
	even, odd := 1/math.Tanh(ω/2), lean*math.Tanh(ω/2)
	return si.Pressure(scale * (even + odd)), si.Pressure(scale / math.Sinh(ω/2)), si.Pressure(scale * (even - odd))
}

// Plate is an adherend that bends.
type Plate struct {
	E         si.Pressure
	Nu        float64
	Thickness si.Length
}

// Eccentricity returns the share of P·t/2 that comes on the ends of a free single
// lap as a moment: the lap turns and so takes some of it off.
//
//	k = cosh u/(cosh u + 2√2·sinh u),  u = √(3(1−ν²)/2)·(c/t)·√(P/(t·E))
//
// c is half the overlap, P in N/m.
//
// Source: [goland1944].
func (a Plate) Eccentricity(overlap si.Length, p si.LineLoad) float64 {
	t := float64(a.Thickness)
	u := math.Sqrt(1.5*(1-a.Nu*a.Nu)) * float64(overlap) / 2 / t * math.Sqrt(math.Abs(float64(p))/(t*float64(a.E)))
	return 1 / (1 + 2*math.Sqrt2*math.Tanh(u))
}

// Peel returns the largest stress across a bond line at the end of a thin plate
// that is lifted there by Q, N/m, and bent by M, N: a half-endless beam on the
// adhesive as its bed.
//
//	σ = 2β·|Q| + 2β²·|M|    β⁴ = (Eₐ/tₐ)/(4D)
//
// D is the plate's bending stiffness, N·m. The two are added whatever their
// directions, which errs upwards.
//
// Source: [hetenyi1946].
func (a Adhesive) Peel(d, q, m float64) si.Pressure {
	β := math.Pow(float64(a.E)/float64(a.Thickness)/(4*d), 0.25)
	return si.Pressure(2*β*math.Abs(q) + 2*β*β*math.Abs(m))
}

// Double is a double lap of one inner and two outer adherends, whose adhesive
// yields at its shear strength.
type Double struct {
	Inner, Outer float64 // E·t, N/m; of one outer adherend
	Adhesive
	Elastic, Plastic float64 // shear strain up to yield, and beyond it
}

// Bears returns the most that a long double lap bears, N/m: the lesser of what its
// two ends do.
//
//	P² = 2η·τ·(½γₑ + γₚ)·2Eᵢtᵢ·(1 + Eᵢtᵢ/2Eₒtₒ)    and    …·4Eₒtₒ·(1 + 2Eₒtₒ/Eᵢtᵢ)
//
// η is the bond line's thickness. Peel is left out: thin the ends of outer
// adherends that are thick.
//
// Source: [hart-smith1973].
func (d Double) Bears() si.LineLoad {
	work := 2 * float64(d.Thickness) * float64(d.Adhesive.Shear) * (d.Elastic/2 + d.Plastic)
	inner := work * 2 * d.Inner * (1 + d.Inner/(2*d.Outer))
	outer := work * 4 * d.Outer * (1 + 2*d.Outer/d.Inner)
	return si.LineLoad(math.Sqrt(math.Min(inner, outer)))
}

// Overlap returns the overlap that a double lap under P wants: yielding over what
// bears, and an elastic trough that keeps it from creeping.
//
//	L = P/2τ + 2/λ    λ² = (G/η)·(1/Eₒtₒ + 2/Eᵢtᵢ)
//
// Source: [hart-smith1973].
func (d Double) Overlap(p si.LineLoad) si.Length {
	return si.Length(float64(p)/(2*float64(d.Adhesive.Shear)) + 2/d.lambda())
}

func (d Double) lambda() float64 {
	return math.Sqrt(float64(d.G) / float64(d.Thickness) * (1/d.Outer + 2/d.Inner))
}

// ScarfShear returns the mean shear along a scarf of slope 1 in n under a stress.
//
//	τ = σ·sin α·cos α = σ·n/(1 + n²)
//
// Source: identity (equilibrium).
func ScarfShear(stress si.Pressure, n float64) si.Pressure {
	return stress * si.Pressure(n/(1+n*n))
}

// ScarfSlope returns the least n of a scarf of slope 1 in n on which a stress makes
// no more shear than the adhesive bears; 1 where every slope does.
func ScarfSlope(stress, shear si.Pressure) float64 {
	r := float64(stress) / (2 * float64(shear))
	if r <= 1 {
		return 1
	}
	return r + math.Sqrt(r*r-1)
}
