package wall

import "math"

// Criterion names a way to say when a ply fails.
type Criterion string

// The criteria known here.
const (
	MaxStress Criterion = "max-stress"
	MaxStrain Criterion = "max-strain"
	TsaiHill  Criterion = "tsai-hill"
	TsaiWu    Criterion = "tsai-wu"
	Hashin    Criterion = "hashin"
)

// Criteria lists all of them in the order they are reported.
var Criteria = [...]Criterion{MaxStress, MaxStrain, TsaiHill, TsaiWu, Hashin}

// Failure is the load at which a ply fails, as a multiple of the load put on,
// and how. Ratio is +Inf where no multiple of the load breaks the ply.
type Failure struct {
	Ratio float64
	Mode  string
}

// Fail returns the smallest ratio R at which stress held + R·load meets the
// criterion, stresses in the ply's axes. Where the held stress alone fails the
// ply, R is 0. The ply needs moduli and strengths.
func (p Ply) Fail(c Criterion, held, load Vec) Failure { return p.Judge(c).Fail(held, load) }

// Judge is a ply's criterion made ready for many stresses.
type Judge []mode

// Judge returns the criterion with the ply's strengths. Strengths of a sheared
// weave are held against the stress in the axes along and across its warp, as if
// its yarns still crossed at right angles.
func (p Ply) Judge(c Criterion) Judge { return p.modes(c) }

// Fail is [Ply.Fail].
func (j Judge) Fail(held, load Vec) Failure {
	f, by := Failure{Ratio: math.Inf(1)}, -1
	for i := range j {
		if r := j[i].ratio(&held, &load); r < f.Ratio {
			f.Ratio, by = r, i
		}
	}
	if by >= 0 {
		f.Mode = j[by].name(held, load, f.Ratio)
	}
	return f
}

// Ratio is the ratio of [Judge.Fail] alone, which is quicker.
func (j Judge) Ratio(held, load Vec) float64 {
	r := math.Inf(1)
	for i := range j {
		if x := j[i].ratio(&held, &load); x < r {
			r = x
		}
	}
	return r
}

// Index returns the failure index of a stress without a held part: 1 over the
// strength ratio, so that it grows in proportion with the load; 0 where no
// multiple of the stress fails the ply.
func (p Ply) Index(c Criterion, s Vec) (float64, string) {
	f := p.Fail(c, Vec{}, s)
	return 1 / f.Ratio, f.Mode
}

// mode is one surface in stress space that a ply must not reach: where the
// stress lies within its half-spaces,
//
//	a₁s₁ + a₂s₂ + a₃s₃ + b₁₁s₁² + b₂₂s₂² + b₃₃s₃² + 2b₁₂s₁s₂ = 1
//
// is failure.
type mode struct {
	linear             Vec
	b11, b22, b33, b12 float64
	flat               bool   // linear alone, no half-spaces: the quick way
	sign               [2]int // wanted signs of s₁ and s₂; 0: either
	words              func(p Vec) string
}

func (m mode) name(held, load Vec, r float64) string {
	var s Vec
	for i := range s {
		s[i] = held[i] + r*load[i]
	}
	return m.words(s)
}

// ratio finds the smallest R ≥ 0 in the mode's half-spaces with value 1 or more.
//
//	f(R) = c₀ + c₁·R + c₂·R²  along the line held + R·load
//
// Signs can change along the line; the half-spaces cut it to one interval.
func (m *mode) ratio(held, load *Vec) float64 {
	if m.flat {
		return m.flatRatio(held, load)
	}
	from, to := 0.0, math.Inf(1)
	for i, sign := range m.sign {
		if sign == 0 {
			continue
		}
		a, b := float64(sign)*held[i], float64(sign)*load[i]
		switch { // a + R·b ≥ 0
		case b > 0:
			from = math.Max(from, -a/b)
		case b < 0:
			to = math.Min(to, -a/b)
		case a < 0:
			return math.Inf(1)
		}
	}
	if !(from <= to) {
		return math.Inf(1)
	}
	c0, c1, c2 := m.along(held, load)
	if c0+from*(c1+from*c2) >= 1 {
		return from
	}
	low, high, n := roots(c2, c1, c0-1)
	switch {
	case n > 0 && low >= from && low <= to:
		return low
	case n > 1 && high >= from && high <= to:
		return high
	}
	return math.Inf(1)
}

func (m *mode) flatRatio(held, load *Vec) float64 {
	c0 := m.linear[0]*held[0] + m.linear[1]*held[1] + m.linear[2]*held[2]
	if c0 >= 1 {
		return 0
	}
	c1 := m.linear[0]*load[0] + m.linear[1]*load[1] + m.linear[2]*load[2]
	if c1 <= 0 {
		return math.Inf(1)
	}
	return (1 - c0) / c1
}

func (m *mode) along(h, l *Vec) (c0, c1, c2 float64) {
	for i := range h {
		c0 += m.linear[i] * h[i]
		c1 += m.linear[i] * l[i]
	}
	c0 += h[0]*(m.b11*h[0]+2*m.b12*h[1]) + m.b22*h[1]*h[1] + m.b33*h[2]*h[2]
	c1 += 2 * (l[0]*(m.b11*h[0]+m.b12*h[1]) + l[1]*(m.b12*h[0]+m.b22*h[1]) + m.b33*l[2]*h[2])
	c2 = l[0]*(m.b11*l[0]+2*m.b12*l[1]) + m.b22*l[1]*l[1] + m.b33*l[2]*l[2]
	return c0, c1, c2
}

// roots returns the n real roots of a·x² + b·x + c, the lower first.
func roots(a, b, c float64) (low, high float64, n int) {
	if a == 0 {
		if b == 0 {
			return 0, 0, 0
		}
		return -c / b, 0, 1
	}
	d := b*b - 4*a*c
	if d < 0 {
		return 0, 0, 0
	}
	q := -(b + math.Copysign(math.Sqrt(d), b)) / 2 // no cancellation
	if q == 0 {
		return 0, 0, 1
	}
	x, y := q/a, c/q
	return math.Min(x, y), math.Max(x, y), 2
}
