package geom

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Shift is the ring moved by d.
func (p Polygon) Shift(d r2.Vec) Polygon {
	return p.each(func(v r2.Vec) r2.Vec { return r2.Add(v, d) })
}

// Turn is the ring turned about the origin by alpha, anticlockwise. Quarter
// turns are exact.
func (p Polygon) Turn(alpha float64) Polygon {
	s, c := SinCos(alpha)
	return p.each(func(v r2.Vec) r2.Vec { return r2.Vec{X: c*v.X - s*v.Y, Y: s*v.X + c*v.Y} })
}

// Flip is the ring turned over about the x axis, (x, y) to (x, −y). Its sense
// of travel changes.
func (p Polygon) Flip() Polygon {
	return p.each(func(v r2.Vec) r2.Vec { return r2.Vec{X: v.X, Y: -v.Y} })
}

// Scale is the ring grown from the origin by the factor f.
func (p Polygon) Scale(f float64) Polygon {
	return p.each(func(v r2.Vec) r2.Vec { return r2.Scale(f, v) })
}

func (p Polygon) each(f func(r2.Vec) r2.Vec) Polygon {
	q := make(Polygon, len(p))
	for i, v := range p {
		q[i] = f(v)
	}
	return q
}

// quarterNoise is how near to a quarter turn, in quarters, an angle counts as
// one: far above the rounding of degrees to radians, far below any meant angle.
const quarterNoise = 1e-12

// SinCos is sin and cos of alpha, exact (0, ±1) at quarter turns, so that a
// piece turned by 180° keeps its straight edges straight along the axes.
func SinCos(alpha float64) (sin, cos float64) {
	quarters := alpha / (math.Pi / 2)
	n := math.Round(quarters)
	if math.Abs(quarters-n) > quarterNoise*max(1, math.Abs(n)) {
		return math.Sincos(alpha)
	}
	switch math.Mod(math.Mod(n, 4)+4, 4) {
	case 0:
		return 0, 1
	case 1:
		return 1, 0
	case 2:
		return 0, -1
	}
	return -1, 0
}
