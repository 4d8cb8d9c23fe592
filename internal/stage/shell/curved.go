package shell

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// side is a side of a triangle from corner i to j, along (c, s) and l long, with
// the curved surface over it: at both corners its slope z' along the side, and the
// lean m of its normal across the side.
type side struct {
	i, j       int
	c, s, l    float64
	rise, lean [2]float64
}

func (e *element) sides() (out [3]side) {
	for i := range out {
		j := (i + 1) % 3
		l := math.Sqrt(e.side2(i))
		d := side{i: i, j: j, c: e.dx(j, i) / l, s: e.dy(j, i) / l, l: l}
		for k, n := range [2]r3.Vec{e.normal[i], e.normal[j]} {
			d.rise[k] = -(n.X*d.c + n.Y*d.s) / n.Z
			d.lean[k] = (n.Y*d.c - n.X*d.s) / n.Z
		}
		out[i] = d
	}
	return out
}

// addDifference adds (t, b, n)·(θⱼ − θᵢ) to r, with parts along the side, across it
// in the triangle, and normal.
func (d *side) addDifference(r *row18, t, b, n float64) {
	x, y := t*d.c-b*d.s, t*d.s+b*d.c
	for k, v := range [3]float64{x, y, n} {
		r[6*d.i+3+k] -= v
		r[6*d.j+3+k] += v
	}
}

// twist returns how much corner j turns more than corner i about the normal of the
// curved surface over the side's middle, to which a part in its plane belongs. In
// a surface that bends without stretching this does not change, while the turn
// about the triangle's own normal does.
func (d *side) twist() (out row18) {
	d.addDifference(&out, 0, (d.lean[0]+d.lean[1])/2, 1)
	return out
}

// growth returns the strain along the side that turns of its ends bring to the
// curved surface above it. The surface rises by z and the motion across it is w,
// cubics with the corners' slopes, w measured from the chord:
//
//	ε = (1/l)·∫ z'·w' ds = (4z'ᵢφᵢ − z'ᵢφⱼ − z'ⱼφᵢ + 4z'ⱼφⱼ)/30
//
// φ is the slope of w against the chord. A surface that bends without stretching
// would otherwise be stretched by its chords.
//
// Source: [cook1993] (shallow rise over a flat triangle).
func (d *side) growth(gx, gy [3]float64) (out row18) {
	fi, fj := (4*d.rise[0]-d.rise[1])/30, (4*d.rise[1]-d.rise[0])/30
	out[6*d.i+3], out[6*d.i+4] = fi*d.s, -fi*d.c
	out[6*d.j+3], out[6*d.j+4] = fj*d.s, -fj*d.c
	for k := range 3 {
		out[6*k+2] -= (fi + fj) * (gx[k]*d.c + gy[k]*d.s)
	}
	return out
}
