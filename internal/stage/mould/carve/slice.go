package carve

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/geom"
)

// cut returns the outlines in which a plane cuts the given triangles of the body,
// with the body on their left seen against the plane's normal, and notes what they are
// left off the true surface.
func (b *body) cut(p plane, of []int32) []geom.Polygon {
	b.left = 0
	var segs []segment
	for _, f := range of {
		if s, ok := b.crossing(p, b.mesh.Triangles[f]); ok {
			segs = append(segs, s)
		}
	}
	out, open := chains(segs)
	for i, ring := range out {
		if open[i] {
			out[i] = offBase(ring)
		}
		if b.field != nil {
			out[i] = b.trued(p, out[i], open[i])
		}
	}
	return out
}

// trued returns an outline of triangles brought onto the true surface, if that can be
// without crossing itself, and notes what it is left off.
func (b *body) trued(p plane, ring geom.Polygon, open bool) geom.Polygon {
	for _, way := range []func() geom.Polygon{
		func() geom.Polygon { return b.truer(p, ring, open, true) },
		func() geom.Polygon { return b.truer(p, ring, open, false) },
		func() geom.Polygon { return b.sought(p, ring, open) },
	} {
		b.trial = 0
		better := way()
		if better != nil && open {
			better = offBase(better)
		}
		whole := untangled(better)
		if len(whole) < 3 || whole.Valid() != nil { // it folds back, as where a fillet runs out into the base
			continue
		}
		if len(whole) < len(better) {
			if again := b.sided(p, whole, open).Clean(1e-9); again.Valid() == nil {
				whole = again
			}
			b.tell(p, whole)
		}
		b.left = max(b.left, b.trial)
		return whole
	}
	b.trial = 0
	b.tell(p, ring)
	b.left = max(b.left, b.trial)
	return ring
}

// tell notes what corners and sides of an outline stand off.
func (b *body) tell(p plane, ring geom.Polygon) {
	for k, q := range ring {
		b.trial = max(b.trial, b.off(p, q), b.off(p, r2.Scale(0.5, r2.Add(q, ring[(k+1)%len(ring)]))))
	}
}

// off is what a place in a plane stands off the true surface, in the plane: |d|/|g|;
// 0 where the surface grazes the plane, or is not near: at the flat end of a duct,
// which no field tells, and at the base.
func (b *body) off(p plane, q r2.Vec) float64 {
	place := p.out(q)
	d, n := b.field(place)
	far := math.Abs(d) / math.Hypot(r3.Dot(n, p.u), r3.Dot(n, p.v))
	if !(far < math.Abs(d)/shallow && far < mostMoved) || p.n.Z == 0 && place.Z < 2*hair {
		return 0
	}
	return far
}

// offBase drops what runs along the base at the ends of an upright outline: the toe of
// a fillet, which meets the base at no angle and would touch the line that closes it.
func offBase(ring geom.Polygon) geom.Polygon {
	low := func(q r2.Vec) bool { return math.Abs(q.Y) < 2*hair }
	for len(ring) > 3 && low(ring[0]) && low(ring[1]) {
		ring = ring[1:]
	}
	for len(ring) > 3 && low(ring[len(ring)-1]) && low(ring[len(ring)-2]) {
		ring = ring[:len(ring)-1]
	}
	for _, i := range []int{0, len(ring) - 1} {
		if low(ring[i]) {
			ring[i].Y = 0
		}
	}
	return ring
}

// crossing returns where the plane cuts a triangle.
func (b *body) crossing(p plane, t [3]int32) (s segment, ok bool) {
	var side [3]float64
	for k, v := range t {
		if side[k] = r3.Dot(r3.Sub(b.mesh.Vertices[v], p.at), p.n); side[k] == 0 {
			side[k] = 1e-15 // as if just beyond: a plane through vertices cuts as one beside them
		}
	}
	count := 0
	for k := range 3 {
		l := (k + 1) % 3
		if (side[k] > 0) == (side[l] > 0) {
			continue
		}
		count++
		v, w, from, to := t[k], t[l], side[k], side[l]
		if v > w { // neighbours must come to the same place, to the last bit
			v, w, from, to = w, v, to, from
		}
		at := r3.Add(b.mesh.Vertices[v], r3.Scale(from/(from-to), r3.Sub(b.mesh.Vertices[w], b.mesh.Vertices[v])))
		if side[k] > 0 { // going down: seen from n the body lies to the left of what starts here
			s.from, s.a = [2]int32{v, w}, p.in(at)
		} else {
			s.to, s.b = [2]int32{v, w}, p.in(at)
		}
	}
	return s, count == 2
}

// Limits of bringing an outline onto the true surface.
const (
	steps     = 12   // of Newton's iteration for one place
	grazing   = 0.02 // sine of the angle between surface and plane below which it is not used
	shallow   = 0.1  // sine below which no outline is measured
	stride    = 1e-3 // m, of one step: near a level top the outline is felt from afar
	mostMoved = 6e-3 // m; a place that would go farther is left
	halvings  = 16   // of a side
	smooth    = 4    // of them, after which a side that still stands off lies across a groove or an edge
	kinked    = 0.2  // sine of the turn between the tangents at its ends then
	atMeeting = 0.2  // of its length: what the surface may stand off where they meet
	settled   = 1e-7 // m
	bent      = 0.6  // of [ChordTo]: side that needs no corner between; the rest is for [geom.Simplify]
)

// truer brings the corners of an outline onto the true surface, within the plane,
// and puts corners between where a side stands off it; the last side of an open one is
// the base. A corner that has no true place near it, as where a triangle bridges a
// sharp groove, is dropped, and so, to keep them ordered, is one that would change places
// with its neighbour; where few are left there is none.
func (b *body) truer(p plane, ring geom.Polygon, open, ordered bool) geom.Polygon {
	var on, from geom.Polygon // from: where the corners of on came from
	for i, q := range ring {
		before, after := ring[(i+len(ring)-1)%len(ring)], ring[(i+1)%len(ring)]
		at, ok := b.onto(p, q, rightOf(before, after))
		if end := open && (i == 0 || i+1 == len(ring)); !ok && !end {
			continue
		}
		for k := len(on) - 1; ordered && k >= 0 && r2.Dot(r2.Sub(at, on[k]), r2.Sub(q, from[k])) <= 0; k-- {
			on, from = on[:k], from[:k]
		}
		on, from = append(on, at), append(from, q)
	}
	for k := len(on) - 1; ordered && !open && k > 2 && r2.Dot(r2.Sub(on[0], on[k]), r2.Sub(from[0], from[k])) <= 0; k-- {
		on = on[:k]
	}
	if len(on) < 3 || 2*len(on) < len(ring) {
		return nil
	}
	return b.sided(p, on, open).Clean(1e-9)
}

// sided puts the corners that they need between those of an outline on the surface.
func (b *body) sided(p plane, on geom.Polygon, open bool) (out geom.Polygon) {
	for i, q := range on {
		out = append(out, q)
		if open && i+1 == len(on) {
			break
		}
		out = b.between(out, p, [2]r2.Vec{q, on[(i+1)%len(on)]}, halvings)
	}
	return out
}

// untangled takes out the corners between two sides that cross within a few corners of
// each other: in a narrow groove a place can be found on the wrong one of its walls.
func untangled(ring geom.Polygon) geom.Polygon {
	const near = 5 // sides
	for i := 0; i < len(ring) && len(ring) > 3*near; i++ {
		n := len(ring)
		for span := 2; span <= near; span++ {
			if k := i + span; k+1 < n && cross(ring[i], ring[i+1], ring[k], ring[k+1]) {
				ring = slices.Delete(slices.Clone(ring), i+1, k)
				i = max(-1, i-near)
				break
			}
		}
	}
	return ring
}

// cross tells whether the ways from a to b and from c to d cross.
func cross(a, b, c, d r2.Vec) bool {
	side := func(p, q, r r2.Vec) float64 { return r2.Cross(r2.Sub(q, p), r2.Sub(r, p)) }
	return side(a, b, c)*side(a, b, d) <= 0 && side(c, d, a)*side(c, d, b) <= 0
}

// rightOf is the unit vector to the right of the way from a to b: out of the body.
func rightOf(a, b r2.Vec) r2.Vec {
	d := r2.Sub(b, a)
	l := r2.Norm(d)
	if l == 0 {
		return r2.Vec{}
	}
	return r2.Vec{X: d.Y / l, Y: -d.X / l}
}

// regions sorts outlines into regions with their holes by their sense of travel.
// Outlines without area are left out; one that crosses itself, where a surface from
// a file does, is taken by its hull and counted.
func (b *body) regions(rings []geom.Polygon) (out []geom.Region) {
	var holes []geom.Polygon
	for _, ring := range rings {
		ring = geom.Simplify(ring.Clean(1e-7), ChordTo/5)
		a := ring.Area()
		if math.Abs(a) < speck {
			continue
		}
		sound := ring.Valid() == nil
		if !sound {
			b.crossed++
		}
		switch {
		case a > 0 && sound:
			out = append(out, geom.Region{Outer: ring})
		case a > 0:
			out = append(out, geom.Region{Outer: geom.Hull(ring)})
		case sound:
			holes = append(holes, ring)
		}
	}
	for _, h := range holes {
		in := -1
		for i, r := range out {
			if r.Outer.Contains(h[0]) && (in < 0 || r.Outer.Area() < out[in].Outer.Area()) {
				in = i
			}
		}
		if in >= 0 {
			out[in].Holes = append(out[in].Holes, h)
		}
	}
	return out
}

// area is the area of regions that keep apart.
func area(of []geom.Region) (sum float64) {
	for _, r := range of {
		sum += r.Area()
	}
	return sum
}
