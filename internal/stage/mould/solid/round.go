package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Lathe is a solid turned about the axis of its frame from a convex profile:
// half-planes in radius ρ (X of the planes) and height s (Z), with the outer
// edges rounded as in [Flats].
type Lathe struct {
	f       Frame
	profile Flats // in ρ and s; its y is 0
	bounds  r3.Box
}

// Bounds returns a box round the solid.
func (s *Lathe) Bounds() r3.Box { return s.bounds }

// At returns the exact distance: of a solid of revolution that is convex, the
// nearest point lies in the half-plane through the axis and p.
func (s *Lathe) At(p r3.Vec) (float64, r3.Vec) { return s.turned(p, s.profile.At) }

// Crisp is At with faces that go on past sharp edges.
func (s *Lathe) Crisp(p r3.Vec) (float64, r3.Vec) { return s.turned(p, s.profile.Crisp) }

func (s *Lathe) turned(p r3.Vec, at func(r3.Vec) (float64, r3.Vec)) (float64, r3.Vec) {
	l := s.f.In(p)
	ρ := hypot(l.X, l.Y)
	out := r3.Vec{X: 1}
	if ρ > 0 {
		out = r3.Vec{X: l.X / ρ, Y: l.Y / ρ}
	}
	d, n := at(r3.Vec{X: ρ, Z: l.Z})
	return d, s.f.Out(r3.Vec{X: n.X * out.X, Y: n.X * out.Y, Z: n.Z})
}

// Cone is a frustum on its frame's origin: radius foot at the foot and top at
// height; equal radii make a cylinder. edge rounds the far rim.
func Cone(f Frame, foot, top, height, edge float64) Solid {
	δ := math.Atan2(foot-top, height)
	s := &Lathe{f: f, profile: Flats{edge: edge}}
	for _, a := range []half{leaning(r3.Vec{X: 1}, foot, δ), {r3.Vec{Z: 1}, height}, {r3.Vec{Z: -1}, 3 * (foot + top + height)}} {
		s.profile.planes = append(s.profile.planes, half{a.n, a.h - edge})
	}
	w := max(foot, top)
	s.bounds = boxOf(f, r3.Vec{X: -w, Y: -w}, r3.Vec{X: w, Y: w, Z: height})
	return s
}

// Ellipsoid has its half-axes A along the axes of its frame.
type Ellipsoid struct {
	F      Frame
	A      r3.Vec
	bounds r3.Box
}

// Bounds returns the box given at making.
func (s *Ellipsoid) Bounds() r3.Box { return s.bounds }

// Cap is a dome with a round foot of the given radius: part of a sphere, at
// most half of it. The sphere goes on below the foot.
func Cap(f Frame, radius, height float64) Solid {
	r := (radius*radius + height*height) / (2 * height)
	c := f
	c.O = f.Place(r3.Vec{Z: height - r})
	s := &Ellipsoid{F: c, A: r3.Vec{X: r, Y: r, Z: r}}
	s.bounds = boxOf(f, r3.Vec{X: -radius, Y: -radius}, r3.Vec{X: radius, Y: radius, Z: height})
	return s
}

// Dome is the upper half of an ellipsoid, size wide, deep and high.
func Dome(f Frame, size r3.Vec) Solid {
	s := &Ellipsoid{F: f, A: r3.Vec{X: size.X / 2, Y: size.Y / 2, Z: size.Z}}
	s.bounds = boxOf(f, r3.Vec{X: -size.X / 2, Y: -size.Y / 2}, r3.Vec{X: size.X / 2, Y: size.Y / 2, Z: size.Z})
	return s
}

// At returns the exact distance. The nearest point of the ellipsoid is
//
//	qᵢ = aᵢ² pᵢ / (t + aᵢ²)  with  Σ (aᵢ pᵢ / (t + aᵢ²))² = 1
//
// t is the largest root; the sum falls steadily right of −min aᵢ², where it
// lies, so that bisection guards Newton's steps.
//
// Source: [eberly2013].
func (s *Ellipsoid) At(p r3.Vec) (float64, r3.Vec) {
	l := s.F.In(p)
	x, a := [3]float64{l.X, l.Y, l.Z}, [3]float64{s.A.X, s.A.Y, s.A.Z}
	if a[0] == a[1] && a[1] == a[2] {
		d, n := apart(l, r3.Vec{})
		return d - a[0], s.F.Out(n)
	}
	t := footRoot(x, a)
	var g [3]float64 // of the normal at the nearest point
	for i := range 3 {
		g[i] = x[i] / (t + a[i]*a[i])
	}
	v := r3.Vec{X: g[0], Y: g[1], Z: g[2]}
	n := norm(v)
	if !(n > 0) {
		k := 0 // the centre: nearest along the shortest axis
		for i := range a {
			if a[i] < a[k] {
				k = i
			}
		}
		return -a[k], s.F.Z
	}
	return t * n, s.F.Out(r3.Scale(1/n, v))
}

// footRoot solves Σ (aᵢ xᵢ / (t + aᵢ²))² = 1 for its largest root.
func footRoot(x, a [3]float64) float64 {
	low := math.Inf(-1)
	var reach float64
	for i := range 3 {
		low = max(low, -a[i]*a[i]+a[i]*math.Abs(x[i]))
		reach += a[i] * a[i] * x[i] * x[i]
	}
	amin := min(a[0], a[1], a[2])
	high := -amin*amin + math.Sqrt(reach)
	t := max(low, min(high, 0))
	for range 100 {
		var f, df float64
		for i := range 3 {
			if x[i] == 0 {
				continue
			}
			s := 1 / (t + a[i]*a[i])
			u := a[i] * x[i] * s
			f += u * u
			df -= 2 * u * u * s
		}
		if f -= 1; f > 0 {
			low = t
		} else {
			high = t
		}
		next := t - f/df
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		if math.Abs(next-t) <= 1e-15*(math.Abs(t)+amin*amin) {
			return next
		}
		t = next
	}
	return t
}
