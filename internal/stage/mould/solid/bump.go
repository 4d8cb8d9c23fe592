package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Blister is a smooth bump, curved both ways, on an elliptic foot:
//
//	h(x, y) = H · (1 − ρⁿ),  ρ² = (x/a)² + (y/b)²
//
// a is Front before the crown (low x) and Back behind it, b half the width; the
// frame's origin lies under the crown. n = 2 is a paraboloid, larger n is
// fuller with steeper sides. Below the foot the bump goes on down.
type Blister struct {
	F           Frame
	Front, Back float64
	HalfWidth   float64
	Height      float64
	Fullness    float64 // n, at least 2
}

// Bounds returns a box round the bump above its foot.
func (s *Blister) Bounds() r3.Box {
	return boxOf(s.F, r3.Vec{X: -s.Front, Y: -s.HalfWidth}, r3.Vec{X: s.Back, Y: s.HalfWidth, Z: s.Height})
}

// height returns h, its slopes and its second derivatives.
func (s *Blister) height(x, y float64) (h, hx, hy, hxx, hxy, hyy float64) {
	a, b, n := s.Back, s.HalfWidth, s.Fullness
	if x < 0 {
		a = s.Front
	}
	u, v := x/(a*a), y/(b*b)
	q := x*u + y*v // ρ²
	p := q
	switch n { // powers by themselves take most of the time
	case 2:
	case 3:
		p = q * math.Sqrt(q)
	case 4:
		p = q * q
	default:
		p = math.Pow(q, n/2)
	}
	var g, dg float64 // p = q^(n/2): dp = g·(x/a², y/b²), g = n q^(n/2−1); dg = dg/dq
	switch {
	case q > 0:
		g = n * p / q
		dg = (n/2 - 1) * g / q
	case n == 2:
		g = 2
	}
	h = s.Height * (1 - p)
	hx, hy = -s.Height*g*u, -s.Height*g*v
	hxx = -s.Height * (g/(a*a) + 2*dg*u*u)
	hyy = -s.Height * (g/(b*b) + 2*dg*v*v)
	hxy = -s.Height * 2 * dg * u * v
	return
}

// At returns the distance to the nearest point over the foot of p's own slope:
// the plane problem min (x−u)² + (y−v)² + (z−h)² by Newton's steps with halving
// from u, v = x, y. Where the steps end short, the first-order distance
// (z − h)/√(1 + |∇h|²) stands in, which is right on the surface.
func (s *Blister) At(p r3.Vec) (float64, r3.Vec) {
	l := s.F.In(p)
	u, v := l.X, l.Y
	h, hx, hy, hxx, hxy, hyy := s.height(u, v)
	sign := 1.0
	if l.Z < h {
		sign = -1
	}
	first := (l.Z - h) / math.Sqrt(1+hx*hx+hy*hy)
	slope := upward(hx, hy)
	best := (l.Z - h) * (l.Z - h)
	for range 30 {
		e := h - l.Z
		gu, gv := u-l.X+e*hx, v-l.Y+e*hy
		if hypot(gu, gv) < 1e-13 {
			return sign * math.Sqrt(best), s.F.Out(slope)
		}
		a, b, c := 1+hx*hx+e*hxx, hx*hy+e*hxy, 1+hy*hy+e*hyy
		if det := a*c - b*b; a <= 0 || det <= 0 {
			a, b, c = 1+hx*hx, hx*hy, 1+hy*hy
		}
		det := a*c - b*b
		du, dv := (c*gu-b*gv)/det, (a*gv-b*gu)/det
		moved := false
		for k := 1.0; k > 1e-6; k /= 2 {
			nu, nv := u-k*du, v-k*dv
			nh, nx, ny, nxx, nxy, nyy := s.height(nu, nv)
			if f := sq(nu-l.X) + sq(nv-l.Y) + sq(nh-l.Z); f < best {
				u, v, h, hx, hy, hxx, hxy, hyy, best = nu, nv, nh, nx, ny, nxx, nxy, nyy, f
				slope = upward(hx, hy)
				moved = true
				break
			}
		}
		if !moved {
			if hypot(gu, gv) < 1e-9 {
				return sign * math.Sqrt(best), s.F.Out(slope)
			}
			break
		}
	}
	return first, s.F.Out(slope)
}

// upward is the unit normal over a surface with these slopes.
func upward(hx, hy float64) r3.Vec {
	k := 1 / math.Sqrt(1+hx*hx+hy*hy)
	return r3.Vec{X: -k * hx, Y: -k * hy, Z: k}
}

func sq(x float64) float64 { return x * x }
