package wall

import "math"

// modes lists the surfaces of a criterion for this ply.
func (p Ply) modes(c Criterion) []mode {
	switch c {
	case MaxStress:
		return p.maxStress()
	case MaxStrain:
		return p.maxStrain()
	case TsaiHill:
		return p.tsaiHill()
	case TsaiWu:
		return p.tsaiWu()
	case Hashin:
		return p.hashin()
	}
	return nil
}

// words names what gives way along an axis.
func (p Ply) words(axis int, tension bool) string {
	way := " compression"
	if tension {
		way = " tension"
	}
	switch {
	case p.Woven && axis == 0:
		return "warp" + way
	case p.Woven:
		return "weft" + way
	case axis == 0:
		return "fibre" + way
	}
	return "matrix" + way
}

const shearWord = "in-plane shear"

func always(word string) func(Vec) string { return func(Vec) string { return word } }

// limits returns the six surfaces of a box in the space that rows span: rows
// turn stress into what is limited, each with a limit either way.
func (p Ply) limits(rows Matrix, up, down Vec) []mode {
	var out []mode
	for i, row := range rows {
		for _, tension := range []bool{true, false} {
			m := mode{flat: true}
			limit, sign := up[i], 1.0
			if !tension {
				limit, sign = down[i], -1
			}
			for j := range row {
				m.linear[j] = sign * row[j] / limit
			}
			m.words = always(shearWord)
			if i < 2 {
				m.words = always(p.words(i, tension))
			}
			out = append(out, m)
		}
	}
	return out
}

// maxStress: −Xc < σ₁ < Xt, −Yc < σ₂ < Yt, |τ₁₂| < S.
//
// Source: [kaw2006].
func (p Ply) maxStress() []mode {
	up, down := p.bounds()
	return p.limits(Matrix{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}, up, down)
}

func (p Ply) bounds() (up, down Vec) {
	s := p.Strength
	return Vec{float64(s.Xt), float64(s.Yt), float64(s.S)}, Vec{float64(s.Xc), float64(s.Yc), float64(s.S)}
}

// maxStrain: the same with ε₁ against Xt/E₁ and so on; the strain is the one
// that stress makes.
//
// Source: [kaw2006].
func (p Ply) maxStrain() []mode {
	e := p.Elastic
	rows := Matrix{
		{1, -e.Nu12, 0}, // E₁·ε₁
		{-e.Nu12 * float64(e.E2) / float64(e.E1), 1, 0}, // E₂·ε₂
		{0, 0, 1},
	}
	up, down := p.bounds()
	return p.limits(rows, up, down)
}

// quadrants calls f for each pair of signs of σ₁ and σ₂ with the strengths that
// hold there.
func (p Ply) quadrants(f func(x, y float64, sign [2]int) mode) []mode {
	s := p.Strength
	var out []mode
	for _, s1 := range []int{1, -1} {
		for _, s2 := range []int{1, -1} {
			x, y := float64(s.Xt), float64(s.Yt)
			if s1 < 0 {
				x = float64(s.Xc)
			}
			if s2 < 0 {
				y = float64(s.Yc)
			}
			out = append(out, f(x, y, [2]int{s1, s2}))
		}
	}
	return out
}

// tsaiHill with strengths matched to the signs of the stresses:
//
//	(σ₁/X)² − σ₁σ₂/X₂² + (σ₂/Y)² + (τ/S)² = 1
//
// X follows the sign of σ₁, Y and X₂ = Xt or Xc that of σ₂. The mode named is
// the largest of the squared terms.
//
// Source: [kaw2006].
func (p Ply) tsaiHill() []mode {
	shear := float64(p.Strength.S)
	return p.quadrants(func(x, y float64, sign [2]int) mode {
		x2 := float64(p.Strength.Xt)
		if sign[1] < 0 {
			x2 = float64(p.Strength.Xc)
		}
		return mode{
			b11: 1 / (x * x), b22: 1 / (y * y), b33: 1 / (shear * shear), b12: -0.5 / (x2 * x2),
			sign: sign, words: p.largest,
		}
	})
}

// largest names the largest of the squared shares of the strengths.
func (p Ply) largest(s Vec) string {
	up, down := p.bounds()
	most, word := -1.0, ""
	for i := range s {
		limit, name := up[i], shearWord
		if s[i] < 0 {
			limit = down[i]
		}
		if i < 2 {
			name = p.words(i, s[i] >= 0)
		}
		if share := math.Abs(s[i]) / limit; share > most {
			most, word = share, name
		}
	}
	return word
}

// tsaiWu:
//
//	F₁σ₁ + F₂σ₂ + F₁₁σ₁² + F₂₂σ₂² + F₆₆τ² + 2F₁₂σ₁σ₂ = 1
//	F₁ = 1/Xt − 1/Xc, F₁₁ = 1/(XtXc), F₆₆ = 1/S², F₁₂ = −½√(F₁₁F₂₂), F₂ and F₂₂ with Y
//
// The criterion has no mode; named is the largest share of a strength.
//
// Source: [kaw2006].
func (p Ply) tsaiWu() []mode {
	up, down := p.bounds()
	f11, f22 := 1/(up[0]*down[0]), 1/(up[1]*down[1])
	f12 := -0.5 * math.Sqrt(f11*f22)
	return []mode{{
		linear: Vec{1/up[0] - 1/down[0], 1/up[1] - 1/down[1], 0},
		b11:    f11, b22: f22, b33: 1 / (up[2] * up[2]), b12: f12,
		words: p.largest,
	}}
}

// hashin in plane stress:
//
//	fibre tension       (σ₁/Xt)² + (τ/S)² = 1
//	fibre compression    |σ₁|/Xc = 1
//	matrix tension      (σ₂/Yt)² + (τ/S)² = 1
//	matrix compression  (σ₂/2S₂₃)² + [(Yc/2S₂₃)² − 1]·σ₂/Yc + (τ/S)² = 1
//
// The transverse shear strength S₂₃ is seldom known; Yc/2 is taken, which is
// what a fracture plane at 45 degrees has, and leaves (σ₂/Yc)² + (τ/S)². For a
// woven ply the second axis holds yarns too and the same four surfaces are used.
//
// Source: [hashin1980].
func (p Ply) hashin() []mode {
	s := p.Strength
	shear := 1 / (float64(s.S) * float64(s.S))
	surface := func(axis int, limit float64, sign [2]int) mode {
		m := mode{b33: shear, sign: sign, words: always(p.words(axis, sign[axis] > 0))}
		if axis == 0 {
			m.b11 = 1 / (limit * limit)
		} else {
			m.b22 = 1 / (limit * limit)
		}
		return m
	}
	crush := mode{flat: true, linear: Vec{-1 / float64(s.Xc), 0, 0}, words: always(p.words(0, false))}
	return []mode{
		surface(0, float64(s.Xt), [2]int{1, 0}),
		crush,
		surface(1, float64(s.Yt), [2]int{0, 1}),
		surface(1, float64(s.Yc), [2]int{0, -1}),
	}
}
