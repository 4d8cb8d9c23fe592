package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// half is the half-space n·q ≤ h with unit n.
type half struct {
	n r3.Vec
	h float64
}

func (a half) over(p r3.Vec) float64 { return r3.Dot(a.n, p) - a.h }

// inTolerance is how far a nearest point may stand outside a half-space, m:
// well below what matters on a bench and above rounding at a metre.
const inTolerance = 1e-11

// nearest returns the point of an intersection of half-spaces that is nearest
// to p, and false where they have nothing in common near p.
//
//	min |q − p|  with  nᵢ·q ≤ hᵢ
//
// By the conditions of Karush, Kuhn and Tucker q = p − Σ λᵢ nᵢ over at most
// three planes that q lies on, with λᵢ ≥ 0. Faces, then edges, then corners are
// tried; the first that lies in all half-spaces is the answer, as the problem
// is convex.
func nearest(hs []half, p r3.Vec) (q r3.Vec, ok bool) {
	if inside(hs, p) {
		return p, true
	}
	for _, a := range hs {
		if x := a.over(p); x > 0 {
			if q = r3.Sub(p, r3.Scale(x, a.n)); inside(hs, q) {
				return q, true
			}
		}
	}
	for i, a := range hs {
		for _, b := range hs[i+1:] {
			if q, ok = onEdge(a, b, p); ok && inside(hs, q) {
				return q, true
			}
		}
	}
	for i, a := range hs {
		for j, b := range hs[i+1:] {
			for _, c := range hs[i+j+2:] {
				if q, ok = onCorner(a, b, c, p); ok && inside(hs, q) {
					return q, true
				}
			}
		}
	}
	return p, false
}

func inside(hs []half, q r3.Vec) bool {
	for _, a := range hs {
		if !(a.over(q) <= inTolerance) {
			return false
		}
	}
	return true
}

// onEdge moves p to the line where two planes meet, if both push outward.
func onEdge(a, b half, p r3.Vec) (r3.Vec, bool) {
	c := r3.Dot(a.n, b.n)
	det := 1 - c*c
	if det < 1e-12 {
		return p, false
	}
	x, y := a.over(p), b.over(p)
	l, m := (x-c*y)/det, (y-c*x)/det
	if l < 0 || m < 0 {
		return p, false
	}
	return r3.Sub(p, r3.Add(r3.Scale(l, a.n), r3.Scale(m, b.n))), true
}

// onCorner moves p to the point where three planes meet, if all push outward.
func onCorner(a, b, c half, p r3.Vec) (r3.Vec, bool) {
	bc, ca, ab := r3.Cross(b.n, c.n), r3.Cross(c.n, a.n), r3.Cross(a.n, b.n)
	det := r3.Dot(a.n, bc)
	if math.Abs(det) < 1e-9 {
		return p, false
	}
	q := r3.Scale(1/det, r3.Add(r3.Scale(a.h, bc), r3.Add(r3.Scale(b.h, ca), r3.Scale(c.h, ab))))
	v := r3.Sub(p, q)
	for _, g := range [3]float64{r3.Dot(v, bc) / det, r3.Dot(v, ca) / det, r3.Dot(v, ab) / det} {
		if g < 0 {
			return p, false
		}
	}
	return q, true
}

// apart returns |p − q| and the direction from q to p.
func apart(p, q r3.Vec) (float64, r3.Vec) {
	v := r3.Sub(p, q)
	d := norm(v)
	if d == 0 {
		return 0, r3.Vec{Z: 1}
	}
	return d, r3.Scale(1/d, v)
}

// norm and hypot are lengths; sizes here are far from where squares overflow.
func norm(v r3.Vec) float64 { return math.Sqrt(r3.Norm2(v)) }

func hypot(x, y float64) float64 { return math.Sqrt(x*x + y*y) }
