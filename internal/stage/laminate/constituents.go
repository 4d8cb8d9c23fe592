package laminate

import (
	"math"

	"laywright/internal/base/material"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
)

// Limits on fibre volume fraction. Below minFraction the entry is a slip; at
// maxPacking round fibres touch all round (hexagonal, π/(2√3)).
const (
	minFraction = 0.05
	maxPacking  = math.Pi / (2 * 1.7320508075688772)
)

// fibreFraction returns the fibre volume fraction of a ply with so much resin
// to its cloth by mass, without voids.
//
//	v = (1/ρf) / (1/ρf + r/ρm)
//
// Source: identity (mass balance).
func fibreFraction(ratio si.Fraction, fibre, resin si.Density) si.Fraction {
	f := 1 / float64(fibre)
	return si.Fraction(f / (f + float64(ratio)/float64(resin)))
}

// plyThickness returns the thickness of one cured ply.
//
//	t = m/(ρf·v)
//
// m is the dry fibre's areal mass, v its volume fraction. Resin does not enter.
//
// Source: identity (mass balance).
func plyThickness(m si.ArealMass, fibre si.Density, v si.Fraction) si.Length {
	return si.Length(float64(m) / (float64(fibre) * float64(v)))
}

// strand is a fibre's or a mixture of fibres' constants: stiff along 1, alike in
// 2 and 3.
type strand struct {
	e1, e2, g12, nu12 float64
	alpha1, alpha2    float64
	elastic, heat     bool // which of them are known
}

func strandOf(f material.Fibre) strand {
	return strand{
		e1: float64(f.E1.Value), e2: float64(f.E2.Value), g12: float64(f.G12.Value), nu12: float64(f.Nu12.Value),
		alpha1: float64(f.Alpha1.Value), alpha2: float64(f.Alpha2.Value),
		elastic: f.E1.Known && f.E2.Known && f.G12.Known && f.Nu12.Known,
		heat:    f.Alpha1.Known && f.Alpha2.Known,
	}
}

// mixed returns two fibres that lie side by side in every yarn, the second
// with volume share s: equal strain along them, equal stress across.
//
// Source: identity (rule of mixtures and its inverse).
func mixed(a, b strand, s float64) strand {
	along := func(x, y float64) float64 { return (1-s)*x + s*y }
	across := func(x, y float64) float64 { return 1 / ((1-s)/x + s/y) }
	return strand{
		e1: along(a.e1, b.e1), e2: across(a.e2, b.e2), g12: across(a.g12, b.g12), nu12: along(a.nu12, b.nu12),
		alpha1:  along(a.e1*a.alpha1, b.e1*b.alpha1) / along(a.e1, b.e1),
		alpha2:  along(a.alpha2, b.alpha2),
		elastic: a.elastic && b.elastic,
		heat:    a.heat && b.heat,
	}
}

// matrix is the resin's constants.
type matrix struct {
	e, nu, alpha  float64
	elastic, heat bool
}

func matrixOf(r material.Resin) matrix {
	return matrix{
		e: float64(r.E.Value), nu: float64(r.Nu.Value), alpha: float64(r.Alpha.Value),
		elastic: r.E.Known && r.Nu.Known, heat: r.Alpha.Known,
	}
}

func (m matrix) g() float64 { return m.e / (2 * (1 + m.nu)) }

// straight returns the constants of straight fibres in resin.
//
//	E₁ = Ef₁v + Em(1−v)    ν₁₂ = νf v + νm(1−v)    E₂, G₁₂ by the method
//
// Fibre and resin hold together, no voids. Source: [kaw2006].
func straight(f strand, m matrix, v float64, method Method) wall.Elastic {
	e2, g12 := halpinTsai(f.e2, m.e, v, 2), halpinTsai(f.g12, m.g(), v, 1)
	if method == Chamis {
		e2, g12 = chamis(f.e2, m.e, v), chamis(f.g12, m.g(), v)
	}
	return wall.Elastic{
		E1:   si.Pressure(f.e1*v + m.e*(1-v)),
		E2:   si.Pressure(e2),
		G12:  si.Pressure(g12),
		Nu12: f.nu12*v + m.nu*(1-v),
	}
}

// halpinTsai returns a modulus across the fibres from fibre's and resin's.
//
//	M = Mm·(1 + ξηv)/(1 − ηv)    η = (Mf/Mm − 1)/(Mf/Mm + ξ)
//
// ξ is 2 for E₂ and 1 for G₁₂ with round fibres.
//
// Source: [halpin1976].
func halpinTsai(fibre, resin, v, shape float64) float64 {
	ratio := fibre / resin
	eta := (ratio - 1) / (ratio + shape)
	return resin * (1 + shape*eta*v) / (1 - eta*v)
}

// chamis is another answer to the same question.
//
//	M = Mm/(1 − √v·(1 − Mm/Mf))
//
// Source: [chamis1983].
func chamis(fibre, resin, v float64) float64 {
	return resin / (1 - math.Sqrt(v)*(1-resin/fibre))
}

// expansion returns the expansion of straight fibres in resin.
//
//	α₁ = (Ef₁αf₁v + Emαm(1−v))/E₁
//	α₂ = (1+νm)αm(1−v) + (αf₂ + νfαf₁)v − α₁ν₁₂
//
// Source: [schapery1968].
func expansion(f strand, m matrix, v float64, e wall.Elastic) wall.Expansion {
	a1 := (f.e1*f.alpha1*v + m.e*m.alpha*(1-v)) / float64(e.E1)
	a2 := (1+m.nu)*m.alpha*(1-v) + (f.alpha2+f.nu12*f.alpha1)*v - a1*e.Nu12
	return wall.Expansion{Alpha1: si.Expansion(a1), Alpha2: si.Expansion(a2)}
}
