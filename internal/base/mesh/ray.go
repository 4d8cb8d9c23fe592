package mesh

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/spatial/r3"
)

// Ray returns the first place where the ray from o along d meets the surface, at
// o + t·d with t ≥ from. Rays do not slip through between two triangles: a side
// belongs to both.
//
// Source: [woop2013].
func (l *Locator) Ray(o, d r3.Vec, from float64) (hit Hit, ok bool) {
	best := math.Inf(1)
	l.walk(o, d, func() (float64, float64) { return from, best }, func(h Hit) {
		if h.Distance < best || !ok {
			best, hit, ok = h.Distance, h, true
		}
	})
	return hit, ok
}

// Meets tells whether the ray from o along d meets the surface at t ≥ from. It asks
// for no more than that, and so ends sooner than Ray.
func (l *Locator) Meets(o, d r3.Vec, from float64) (met bool) {
	to := math.Inf(1)
	l.walk(o, d, func() (float64, float64) { return from, to }, func(Hit) { met, to = true, math.Inf(-1) })
	return met
}

// RayAll returns every place where the ray from o along d meets the surface at
// t ≥ from, nearest first. A ray through a side or corner is reported for each
// triangle there.
func (l *Locator) RayAll(o, d r3.Vec, from float64) []Hit {
	var hits []Hit
	inf := math.Inf(1)
	l.walk(o, d, func() (float64, float64) { return from, inf }, func(h Hit) { hits = append(hits, h) })
	sort.Slice(hits, func(i, j int) bool {
		if hits[i].Distance != hits[j].Distance {
			return hits[i].Distance < hits[j].Distance
		}
		return hits[i].Face < hits[j].Face
	})
	return hits
}

// walk calls found for each triangle hit at a t inside the span.
func (l *Locator) walk(o, d r3.Vec, span func() (from, to float64), found func(Hit)) {
	s, ok := newShear(o, d)
	if !ok || len(l.nodes) == 0 {
		return
	}
	inverse := r3.Vec{X: inverseOf(d.X), Y: inverseOf(d.Y), Z: inverseOf(d.Z)}
	var room [64]int32
	stack := append(room[:0], 0)
	for len(stack) > 0 {
		i := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		n := &l.nodes[i]
		from, to := span()
		if !rayMeetsBox(&o, &inverse, &n.box, from, to) {
			continue
		}
		if n.right != 0 {
			stack = append(stack, n.right, i+1)
			continue
		}
		for _, f := range l.order[n.from:n.to] {
			bary, t, ok := s.meets(l.m.Corners(int(f)))
			if from, to := span(); ok && t >= from && t <= to {
				found(Hit{Point{int(f), bary}, l.m.At(Point{int(f), bary}), t})
			}
		}
	}
}

// boxSlack widens the span in which a ray crosses a box by more than rounding
// can narrow it.
const boxSlack = 1e-12

// inverseOf returns 1/x, and a number without end but finite where x is nothing: a
// ray along two planes comes to them far away, if it does not run between them.
func inverseOf(x float64) float64 {
	const far = 1e300
	if math.Abs(x) < 1/far {
		return far
	}
	return 1 / x
}

// rayMeetsBox tells whether a ray may meet a box; inverse is that of its direction.
func rayMeetsBox(o, inverse *r3.Vec, b *r3.Box, from, to float64) bool {
	x0, x1 := slab((b.Min.X-o.X)*inverse.X, (b.Max.X-o.X)*inverse.X)
	y0, y1 := slab((b.Min.Y-o.Y)*inverse.Y, (b.Max.Y-o.Y)*inverse.Y)
	z0, z1 := slab((b.Min.Z-o.Z)*inverse.Z, (b.Max.Z-o.Z)*inverse.Z)
	return max(from, x0, y0, z0) <= min(to, x1, y1, z1)
}

// slab returns the span between two planes.
func slab(t0, t1 float64) (float64, float64) {
	if t0 > t1 {
		t0, t1 = t1, t0
	}
	slack := boxSlack * (math.Abs(t0) + math.Abs(t1))
	return t0 - slack, t1 + slack
}

// shear turns the ray into the z axis, so that all that is left of a triangle
// is which side of each edge the origin lies on: the same sum for both
// triangles at an edge, hence no gap between them.
type shear struct {
	o          r3.Vec
	kx, ky, kz int
	sx, sy, sz float64
}

func newShear(o, d r3.Vec) (shear, bool) {
	kz := 0
	for k := 1; k < 3; k++ {
		if math.Abs(along(d, k)) > math.Abs(along(d, kz)) {
			kz = k
		}
	}
	z := along(d, kz)
	if !(z != 0) || math.IsInf(z, 0) || math.IsNaN(z) {
		return shear{}, false
	}
	kx, ky := (kz+1)%3, (kz+2)%3
	return shear{o, kx, ky, kz, along(d, kx) / z, along(d, ky) / z, 1 / z}, true
}

func (s shear) meets(a, b, c r3.Vec) (bary [3]float64, t float64, ok bool) {
	ax, ay, az := s.apply(a)
	bx, by, bz := s.apply(b)
	cx, cy, cz := s.apply(c)
	u, v, w := cx*by-cy*bx, ax*cy-ay*cx, bx*ay-by*ax
	if (u < 0 || v < 0 || w < 0) && (u > 0 || v > 0 || w > 0) {
		return bary, 0, false
	}
	det := u + v + w
	if det == 0 {
		return bary, 0, false
	}
	bary = [3]float64{u / det, v / det, w / det}
	return bary, bary[0]*az + bary[1]*bz + bary[2]*cz, true
}

func (s shear) apply(p r3.Vec) (x, y, z float64) {
	p = r3.Sub(p, s.o)
	h := along(p, s.kz)
	return along(p, s.kx) - s.sx*h, along(p, s.ky) - s.sy*h, s.sz * h
}
