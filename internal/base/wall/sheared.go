package wall

import (
	"math"

	"laywright/internal/base/si"
)

// Sheared returns a ply whose weft has turned towards its warp by the angle
// shear, with the thickness that follows as its area shrinks.
//
//	t = t₀/cos γ
//
// Fibre fraction is taken as unchanged: the sheared cloth holds as much resin to
// its fibre as the flat one. Shear must be below 90 degrees either way.
//
// Source: identity (area of a sheared cell).
func (p Ply) Sheared(shear si.Angle) Ply {
	p.Shear = shear
	p.Thickness /= si.Length(math.Cos(float64(shear)))
	return p
}

// own returns the stiffness and the thermal stress a kelvin in the ply's axes,
// 1 along the warp. In a sheared weave each family of yarns takes its own part
// where it lies; then stretch and shear are coupled.
//
//	Q = w·Q₁ + (1−w)·Q₁ turned by 90° − γ,   n = w·Q₁α₁ + (1−w)·(Qα of the turned)
//
// A ply whose yarns are not known keeps its stiffness when sheared. At a butted
// seam a ply carries along the seam only.
//
// Source: [ishikawa1982] (iso-strain mixture, here of families at any angle).
func (p Ply) own() (q Matrix, n Vec) {
	q, n = p.whole()
	if p.Seam != nil {
		β := *p.Seam - p.Angle
		q, n = parted(q.Turned(-β), StressIn(n, β))
		q, n = q.Turned(β), StressIn(n, -β)
	}
	return q, n
}

func (p Ply) whole() (q Matrix, n Vec) {
	if p.Shear == 0 || p.Yarns == nil {
		q = p.Elastic.Reduced()
		if p.Expansion != nil {
			n = q.Times(Vec{float64(p.Expansion.Alpha1), float64(p.Expansion.Alpha2), 0})
		}
		return q, n
	}
	return p.Yarns.together(math.Pi/2 - p.Shear)
}

// together returns the stiffness and thermal stress of two families whose yarns
// cross at angle a.
func (y Yarns) together(a si.Angle) (q Matrix, n Vec) {
	one := y.Along.Reduced()
	two := one.Turned(a)
	w := y.WarpShare
	q = q.Plus(w, one).Plus(1-w, two)
	if y.Expansion == nil {
		return q, n
	}
	warp := one.Times(expansionIn(*y.Expansion, 0))
	weft := two.Times(expansionIn(*y.Expansion, a))
	for i := range n {
		n[i] = w*warp[i] + (1-w)*weft[i]
	}
	return q, n
}

// Weave returns the ply that two families of yarns make together at a right
// angle, under one strain: an upper bound that the crimp within Along lowers to
// what is measured.
//
//	Q = w·Q₁ + (1−w)·Q₁ turned by 90°,   α = Q⁻¹·Σ Qᵢ·αᵢ
//
// Source: [ishikawa1982].
func (y Yarns) Weave() (Elastic, *Expansion) {
	q, n := y.together(math.Pi / 2)
	e := Constants(q)
	if y.Expansion == nil {
		return e, nil
	}
	det := q[0][0]*q[1][1] - q[0][1]*q[0][1]
	return e, &Expansion{
		Alpha1: si.Expansion((q[1][1]*n[0] - q[0][1]*n[1]) / det),
		Alpha2: si.Expansion((q[0][0]*n[1] - q[0][1]*n[0]) / det),
	}
}
