package joint

import (
	"math"

	"laywright/internal/base/si"
)

// Sheet is one of the two that a fastener joins.
type Sheet struct {
	E         si.Pressure // in its plane
	Thickness si.Length
}

// The constants of [Fastener.Shear] for bolts in laminate. Source: [huth1984].
const (
	huthPower = 2.0 / 3
	huthScale = 4.2
)

// Fastener is a bolt or screw through two sheets.
type Fastener struct {
	Diameter si.Length
	E        si.Pressure
}

// Shear returns how stiff a fastener in single shear holds two sheets together
// along their plane.
//
//	1/k = ((t₁+t₂)/2d)^a·b·(1/t₁E₁ + 1/t₂E₂ + 1/2t₁E₃ + 1/2t₂E₃)    a = 2/3, b = 4.2
//
// E₃ is the fastener's modulus, d its diameter. Fitted to tests of bolts in
// carbon laminate with tight holes; one with clearance first slips.
//
// Source: [huth1984].
func (f Fastener) Shear(one, two Sheet) si.Stiffness {
	t1, t2 := float64(one.Thickness), float64(two.Thickness)
	bend := math.Pow((t1+t2)/(2*float64(f.Diameter)), huthPower) * huthScale
	soft := 1/(t1*float64(one.E)) + 1/(t2*float64(two.E)) + (1/t1+1/t2)/(2*float64(f.E))
	return si.Stiffness(1 / (bend * soft))
}

// Along returns how stiff it holds them along its own axis: a rod as long as both
// are thick. What the sheets give under its head is left to the shell.
//
//	k = E₃·(π/4)·d²/(t₁+t₂)
//
// Source: identity (Hooke's law).
func (f Fastener) Along(one, two Sheet) si.Stiffness {
	d := float64(f.Diameter)
	return si.Stiffness(float64(f.E) * math.Pi / 4 * d * d / float64(one.Thickness+two.Thickness))
}
