package draw

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Affine is a similarity of the plane,
//
//	x' = A·x + C·y + E
//	y' = B·x + D·y + F
//
// a turn, a uniform scale, a shift, with or without mirroring. The zero value
// is not useful: start from [Move], [Turn], [Scale], [Mirror] or [Fit].
type Affine struct{ A, B, C, D, E, F float64 }

// Move shifts by v millimetres.
func Move(v r2.Vec) Affine { return Affine{A: 1, D: 1, E: v.X, F: v.Y} }

// Turn turns counter-clockwise about the origin by an angle in radians.
func Turn(angle float64) Affine {
	s, c := math.Sincos(angle)
	return Affine{A: c, B: s, C: -s, D: c}
}

// Scale scales about the origin.
func Scale(k float64) Affine { return Affine{A: k, D: k} }

// Mirror flips about the x axis: y changes sign.
func Mirror() Affine { return Affine{A: 1, D: -1} }

// Then does a first and b after it.
func (a Affine) Then(b Affine) Affine {
	return Affine{
		A: b.A*a.A + b.C*a.B, C: b.A*a.C + b.C*a.D, E: b.A*a.E + b.C*a.F + b.E,
		B: b.B*a.A + b.D*a.B, D: b.B*a.C + b.D*a.D, F: b.B*a.E + b.D*a.F + b.F,
	}
}

// Do carries one point.
func (a Affine) Do(p r2.Vec) r2.Vec {
	return r2.Vec{X: a.A*p.X + a.C*p.Y + a.E, Y: a.B*p.X + a.D*p.Y + a.F}
}

// All carries points into a new slice.
func (a Affine) All(pts []r2.Vec) []r2.Vec {
	out := make([]r2.Vec, len(pts))
	for i, p := range pts {
		out[i] = a.Do(p)
	}
	return out
}

// Scale is the factor on lengths: √|det|.
func (a Affine) Scale() float64 { return math.Sqrt(math.Abs(a.A*a.D - a.B*a.C)) }

// angle carries a direction given as an angle.
func (a Affine) angle(th float64) float64 {
	s, c := math.Sincos(th)
	return math.Atan2(a.B*c+a.D*s, a.A*c+a.C*s)
}

// Fit lays the box from into the box to: uniform scale, as large as fits, centred.
func Fit(from, to r2.Box) Affine {
	f, t := from.Size(), to.Size()
	k := math.Inf(1)
	if f.X > 0 {
		k = t.X / f.X
	}
	if f.Y > 0 {
		k = min(k, t.Y/f.Y)
	}
	if math.IsInf(k, 1) {
		k = 1
	}
	return Scale(k).Then(Move(r2.Sub(to.Center(), r2.Scale(k, from.Center()))))
}

// FromMetres scales metres to millimetres at full size.
func FromMetres() Affine { return Scale(1000) }
