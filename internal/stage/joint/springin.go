package joint

import (
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
)

// Growth is what a wall grows by for its size, in its plane and through its
// thickness: a kelvin, or in all.
type Growth struct {
	Plane   float64 `json:"plane"`
	Through float64 `json:"through"`
}

// SpringIn returns by how much a corner closes that turns through an angle.
//
//	Δθ = θ·((α_I − α_R)·ΔT/(1 + α_R·ΔT) + (φ_I − φ_R)/(1 + φ_R))
//
// θ is the angle that the wall turns through, a right angle at a square corner; α
// grows with warmth, φ is what the cure leaves (shrinkage is negative), I in the
// plane, R through the thickness, ΔT from the temperature at which the wall set to
// that of use. The mould's own growth and resin that gathers in the corner are left
// out. It holds for walls thin against their radius and does not depend on either.
//
// Source: [radford2000].
func SpringIn(turn si.Angle, heat Growth, dT si.TemperatureDifference, cure Growth) si.Angle {
	t := float64(dT)
	share := (heat.Plane-heat.Through)*t/(1+heat.Through*t) + (cure.Plane-cure.Through)/(1+cure.Through)
	return turn * si.Angle(share)
}

// acrossNu is Poisson's ratio of a ply in the plane across its fibres, ν₂₃.
// Typical of fibres in epoxy; assumed.
const acrossNu = 0.4

// Grows returns the growth a kelvin of a wall of plies whose expansions are known:
// mean in its plane, bending held, and through its thickness.
//
//	α_z = Σ (t/h)·(α₂ − ν₁₂·σ₁/E₁ − ν₂₃·σ₂/E₂)    σ = Q·(ε − α)
//
// Each ply, and each family of yarns of a woven one, is alike in 2 and 3; σ is what
// the wall's common growth ε does to it, a kelvin. ν₂₃ is 0.4.
//
// Source: [kaw2006] (Hooke's law of a transversely isotropic ply).
func Grows(plies []wall.Ply) (g Growth, known bool) {
	s, err := wall.Stiffen(plies)
	if err != nil || !s.ThermalKnown {
		return g, false
	}
	ε := s.InPlaneExpansion()
	g.Plane = (ε[0] + ε[1]) / 2
	for _, p := range plies {
		share := float64(p.Thickness) / s.Thickness
		switch {
		case p.Yarns != nil && p.Yarns.Expansion != nil:
			y := p.Yarns
			across := p
			across.Angle += 90 * si.Angle(si.Degrees(1))
			g.Through += share * (y.WarpShare*thick(p, y.Along, *y.Expansion, ε) + (1-y.WarpShare)*thick(across, y.Along, *y.Expansion, ε))
		case p.Woven:
			return g, false // what it is made of is not known
		default:
			g.Through += share * thick(p, *p.Elastic, *p.Expansion, ε)
		}
	}
	return g, true
}

// thick is what straight fibres along a ply's axis 1 grow by through the wall.
func thick(at wall.Ply, e wall.Elastic, α wall.Expansion, ε wall.Vec) float64 {
	σ := wall.Ply{Angle: at.Angle, Elastic: &e, Expansion: &α}.Stress(ε, 1)
	return float64(α.Alpha2) - e.Nu12*σ[0]/float64(e.E1) - acrossNu*σ[1]/float64(e.E2)
}

// Resin is what shrinks.
type Resin struct {
	E         si.Pressure
	Nu        float64
	Shrinkage si.Fraction // linear, after gel
}

// Shrinking returns plies whose expansions stand for what the resin's shrinkage does
// to them, so that [Grows] tells what the cure leaves. fibre is each ply's fibre
// fraction.
//
//	φ₁ = −s·E_m·(1−v)/E₁    φ₂ = −(1+ν_m)·s·(1−v) − φ₁·ν₁₂
//
// Fibres keep their size; the resin has its cured stiffness all the while, which
// errs upwards along the fibres, where little happens.
//
// Source: [schapery1968], with shrinkage in the place of expansion.
func (r Resin) Shrinking(plies []wall.Ply, fibre []float64) []wall.Ply {
	out := make([]wall.Ply, len(plies))
	s := float64(r.Shrinkage)
	by := func(e wall.Elastic, v float64) *wall.Expansion {
		φ1 := -s * float64(r.E) * (1 - v) / float64(e.E1)
		return &wall.Expansion{Alpha1: si.Expansion(φ1), Alpha2: si.Expansion(-(1+r.Nu)*s*(1-v) - φ1*e.Nu12)}
	}
	for i, p := range plies {
		if p.Yarns != nil {
			y := *p.Yarns
			y.Expansion = by(y.Along, fibre[i])
			p.Yarns = &y
			_, p.Expansion = y.Weave()
		} else {
			p.Expansion = by(*p.Elastic, fibre[i])
		}
		out[i] = p
	}
	return out
}
