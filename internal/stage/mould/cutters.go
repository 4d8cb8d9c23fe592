package mould

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/geom"
	"laywright/internal/stage/mould/solid"
)

// A cutter is a signed distance: what lies where it is positive comes off.

// roundCut takes off what lies within a radius of an axis.
type roundCut struct {
	at, axis r3.Vec
	radius   float64
}

func (c roundCut) At(p r3.Vec) (float64, r3.Vec) {
	q := r3.Sub(p, c.at)
	q = r3.Sub(q, r3.Scale(r3.Dot(q, c.axis), c.axis))
	ρ := r3.Norm(q)
	if ρ == 0 {
		return c.radius, solid.Along(r3.Vec{}, c.axis).X
	}
	return c.radius - ρ, r3.Scale(-1/ρ, q)
}

// lineCut takes off what lies inside an outline seen along the frame's Z, or
// with keep what lies outside.
type lineCut struct {
	f    solid.Frame
	ring geom.Polygon // anticlockwise
	keep bool
}

func (c lineCut) At(p r3.Vec) (float64, r3.Vec) {
	l := c.f.In(p)
	d, n := beyond(c.ring, r2.Vec{X: l.X, Y: l.Y})
	out := c.f.Out(r3.Vec{X: n.X, Y: n.Y})
	if c.keep {
		return d, out
	}
	return -d, r3.Scale(-1, out)
}

// beyond returns how far q lies outside a ring, from the line through the side
// that is nearest, and that side's normal. Where a corner is nearest, the side
// whose line is farther stands for both, so that the normal never fans out.
func beyond(ring geom.Polygon, q r2.Vec) (float64, r2.Vec) {
	const tie = 1e-12
	best, d, n := math.Inf(1), 0.0, r2.Vec{}
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		u := r2.Unit(r2.Sub(b, a))
		out := r2.Vec{X: u.Y, Y: -u.X}
		x := r2.Dot(r2.Sub(q, a), out)
		gap := geom.SegmentDistance(q, a, b)
		if gap < best-tie || gap < best+tie && math.Abs(x) > math.Abs(d) {
			best, d, n = gap, x, out
		}
	}
	return d, n
}

// flangeCut takes off what lies farther than width from the solids' foot in a
// frame's level plane.
type flangeCut struct {
	f     solid.Frame
	feet  []geom.Polygon
	width float64
}

func (c flangeCut) At(p r3.Vec) (float64, r3.Vec) {
	l := c.f.In(p)
	q := r2.Vec{X: l.X, Y: l.Y}
	best, at, inside := math.Inf(1), r2.Vec{}, false
	for _, foot := range c.feet {
		in := foot.Contains(q)
		for i, a := range foot {
			s := nearestOn(q, a, foot[(i+1)%len(foot)])
			if d := r2.Norm2(r2.Sub(q, s)); in && !inside || d < best && in == inside {
				best, at, inside = d, s, in
			}
		}
	}
	d, v := math.Sqrt(best), r2.Sub(q, at)
	if d == 0 {
		return -c.width, c.f.X
	}
	if inside {
		d, v = -d, r2.Scale(-1, v)
	}
	return d - c.width, c.f.Out(r3.Vec{X: v.X / math.Abs(d), Y: v.Y / math.Abs(d)})
}

func nearestOn(q, a, b r2.Vec) r2.Vec {
	d := r2.Sub(b, a)
	l := r2.Norm2(d)
	if l == 0 {
		return a
	}
	return r2.Add(a, r2.Scale(max(0, min(1, r2.Dot(r2.Sub(q, a), d)/l)), d))
}
