package scan

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// ball is the sphere, or plane where curve is 0, that lies nearest to the
// surroundings of a hole; curve is positive where they bulge outwards.
type ball struct {
	at, out r3.Vec  // the middle of the rim, and the unit normal there
	curve   float64 // 1/radius, m⁻¹
}

// flatBall is the share of the radius below which a hole counts as lying in a
// plane: its sphere would rise by a thousandth of its width.
const flatBall = 4e-3

// fitBall fits n = n̄ + κ·(x − x̄) to places and unit normals round a hole, which
// holds on every sphere and plane:
//
//	κ = Σ (x−x̄)·(n−n̄) / Σ |x−x̄|²
//
// A sphere smaller than the hole can't close it, so that κ is held to 1/radius.
// out is the hole's own normal.
func fitBall(places, normals []r3.Vec, out r3.Vec, radius float64) ball {
	var x, n r3.Vec
	share := 1 / float64(len(places))
	for i := range places {
		x, n = r3.Add(x, r3.Scale(share, places[i])), r3.Add(n, r3.Scale(share, normals[i]))
	}
	var up, down float64
	for i := range places {
		d := r3.Sub(places[i], x)
		up, down = up+r3.Dot(d, r3.Sub(normals[i], n)), down+r3.Norm2(d)
	}
	b := ball{at: x, out: out}
	if down > 0 {
		b.curve = max(-1/radius, min(1/radius, up/down))
	}
	if math.Abs(b.curve)*radius < flatBall {
		b.curve = 0
	} else {
		b.at = r3.Sub(x, r3.Scale(1/b.curve, n)) // the centre
	}
	return b
}

// flat returns where a place on the ball lies in the plane through rim that a pole
// opposite to the hole looks at; the map keeps angles, however far round the cap
// goes. onto is its inverse. A plane is its own map.
//
//	p = P + 2R·(m·d)/|d|²·d    d = q − P, m: from the centre to the hole's middle
func (b ball) flat(q, rim r3.Vec) r3.Vec {
	if b.curve == 0 {
		return b.onto(q)
	}
	pole, m := b.pole()
	d := r3.Sub(q, pole)
	up := r3.Dot(d, m)
	if !(up > 0) {
		return q
	}
	return r3.Add(pole, r3.Scale(r3.Dot(r3.Sub(rim, pole), m)/up, d))
}

func (b ball) pole() (pole, m r3.Vec) {
	m = r3.Scale(math.Copysign(1, b.curve), b.out)
	return r3.Sub(b.at, r3.Scale(1/math.Abs(b.curve), m)), m
}

func (b ball) onto(q r3.Vec) r3.Vec {
	if b.curve == 0 {
		return r3.Sub(q, r3.Scale(r3.Dot(r3.Sub(q, b.at), b.out), b.out))
	}
	pole, m := b.pole()
	d := r3.Sub(q, pole)
	l := r3.Norm2(d)
	if l == 0 {
		return q
	}
	return r3.Add(pole, r3.Scale(2/math.Abs(b.curve)*r3.Dot(m, d)/l, d))
}

// near returns the place on the ball nearest to one of the surroundings.
func (b ball) near(q r3.Vec) r3.Vec {
	if b.curve == 0 {
		return b.onto(q)
	}
	d := r3.Sub(q, b.at)
	l := r3.Norm(d)
	if l == 0 {
		return q
	}
	return r3.Add(b.at, r3.Scale(1/(math.Abs(b.curve)*l), d))
}
