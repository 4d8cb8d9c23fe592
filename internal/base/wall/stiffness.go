package wall

import (
	"math"

	"laywright/internal/base/si"
)

// Vec is a strain, stress or resultant of a plane: (x, y, xy).
type Vec [3]float64

// Matrix is a 3×3 stiffness or compliance, row by row.
type Matrix [3][3]float64

// Times returns m·v.
func (m Matrix) Times(v Vec) Vec {
	var out Vec
	for i := range out {
		out[i] = m[i][0]*v[0] + m[i][1]*v[1] + m[i][2]*v[2]
	}
	return out
}

// Plus returns m + s·n.
func (m Matrix) Plus(s float64, n Matrix) Matrix {
	for i := range m {
		for j := range m[i] {
			m[i][j] += s * n[i][j]
		}
	}
	return m
}

// Reduced returns the plane-stress stiffness in the ply's own axes, Pa.
//
//	Q₁₁ = E₁/(1−ν₁₂ν₂₁)   Q₁₂ = ν₁₂E₂/(1−ν₁₂ν₂₁)   Q₂₂ = E₂/(1−ν₁₂ν₂₁)   Q₆₆ = G₁₂
//	ν₂₁ = ν₁₂E₂/E₁
//
// Source: [kaw2006].
func (e Elastic) Reduced() Matrix {
	e1, e2 := float64(e.E1), float64(e.E2)
	d := 1 - e.Nu12*e.Nu12*e2/e1
	return Matrix{
		{e1 / d, e.Nu12 * e2 / d, 0},
		{e.Nu12 * e2 / d, e2 / d, 0},
		{0, 0, float64(e.G12)},
	}
}

// Constants returns the moduli of a stiffness in its own axes; it is the
// inverse of [Elastic.Reduced] where q has no coupling of stretch and shear.
func Constants(q Matrix) Elastic {
	return Elastic{
		E1:   si.Pressure(q[0][0] - q[0][1]*q[0][1]/q[1][1]),
		E2:   si.Pressure(q[1][1] - q[0][1]*q[0][1]/q[0][0]),
		G12:  si.Pressure(q[2][2]),
		Nu12: q[0][1] / q[1][1],
	}
}

// Turned returns a stiffness given in axes at angle a, in the axes x, y.
//
//	Q̄ = Tᵀ·Q·T,   T turns strain (x, y, xy) into (1, 2, 12)
//
// Source: [kaw2006].
func (m Matrix) Turned(a si.Angle) Matrix {
	t := strainTurn(a)
	var qt, out Matrix
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				qt[i][j] += m[i][k] * t[k][j]
			}
		}
	}
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				out[i][j] += t[k][i] * qt[k][j]
			}
		}
	}
	return out
}

// strainTurn turns a strain in x, y into axes at angle a (engineering shear).
func strainTurn(a si.Angle) Matrix {
	s, c := sincos(a)
	return Matrix{
		{c * c, s * s, s * c},
		{s * s, c * c, -s * c},
		{-2 * s * c, 2 * s * c, c*c - s*s},
	}
}

// sincos is exact at whole multiples of 90 degrees, so that a cross-ply wall
// gets no trace of coupling from rounding.
func sincos(a si.Angle) (s, c float64) {
	s, c = math.Sincos(float64(a))
	const rounding = 1e-15 // of an angle of a few radians
	if math.Abs(s) < rounding {
		return 0, math.Copysign(1, c)
	}
	if math.Abs(c) < rounding {
		return math.Copysign(1, s), 0
	}
	return s, c
}

// StrainIn returns strain e, given in x, y, in axes at angle a.
func StrainIn(e Vec, a si.Angle) Vec { return strainTurn(a).Times(e) }

// StressIn returns stress s, given in x, y, in axes at angle a.
func StressIn(s Vec, a si.Angle) Vec {
	// Stress turns like strain with half the engineering shear.
	e := StrainIn(Vec{s[0], s[1], 2 * s[2]}, a)
	return Vec{e[0], e[1], e[2] / 2}
}

// expansionIn returns the expansion (x, y, xy) of a ply whose axis 1 lies at
// angle a, 1/K.
func expansionIn(x Expansion, a si.Angle) Vec {
	return StrainIn(Vec{float64(x.Alpha1), float64(x.Alpha2), 0}, -a)
}
