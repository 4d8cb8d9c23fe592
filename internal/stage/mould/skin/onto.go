package skin

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// onSurface is how near the surface a vertex must come, m: a nanometre, far
// below any chord.
const onSurface = 1e-9

// onto moves p along the field's normal to the surface.
func (s *Skin) onto(p r3.Vec) (q, n r3.Vec, ok bool) {
	q = p
	for range 30 {
		var d float64
		d, n = s.f.At(q)
		if math.Abs(d) <= onSurface {
			return q, n, true
		}
		q = r3.Sub(q, r3.Scale(d, n))
	}
	return q, n, false
}

// ontoBoth moves p the least way to where the surface and a cutter meet.
func (s *Skin) ontoBoth(p r3.Vec, g Field) (q, n r3.Vec, ok bool) {
	q = p
	for range 40 {
		d, m := s.f.At(q)
		e, k := g.At(q)
		if math.Abs(d) <= onSurface && math.Abs(e) <= onSurface {
			return q, m, true
		}
		c := r3.Dot(m, k)
		det := 1 - c*c
		if det < 1e-3 {
			return q, m, false // they touch rather than cross
		}
		q = r3.Sub(q, r3.Add(r3.Scale((d-c*e)/det, m), r3.Scale((e-c*d)/det, k)))
	}
	return q, n, false
}

// plane is a flat through p with unit normal n.
type plane struct{ p, n r3.Vec }

// meet returns the point nearest to p on both planes.
func meet(a, b plane, p r3.Vec) (r3.Vec, bool) {
	c := r3.Dot(a.n, b.n)
	det := 1 - c*c
	if det < 1e-3 {
		return p, false
	}
	d, e := r3.Dot(r3.Sub(p, a.p), a.n), r3.Dot(r3.Sub(p, b.p), b.n)
	return r3.Sub(p, r3.Add(r3.Scale((d-c*e)/det, a.n), r3.Scale((e-c*d)/det, b.n))), true
}

// meetThree returns the point on three planes.
func meetThree(a, b, c plane) (r3.Vec, bool) {
	bc, ca, ab := r3.Cross(b.n, c.n), r3.Cross(c.n, a.n), r3.Cross(a.n, b.n)
	det := r3.Dot(a.n, bc)
	if math.Abs(det) < 0.02 {
		return a.p, false
	}
	return r3.Scale(1/det, r3.Add(r3.Scale(r3.Dot(a.p, a.n), bc),
		r3.Add(r3.Scale(r3.Dot(b.p, b.n), ca), r3.Scale(r3.Dot(c.p, c.n), ab)))), true
}

// jump is the turn of the normal, as a cosine, from which two neighbouring
// places lie on either side of a crease: 20°.
var jump = math.Cos(20 * math.Pi / 180)

// across looks for a crease of field f between a and b. It halves the way
// keeping the half over which the normal turns more; what still turns within a
// thousandth of the way is a crease. It returns the tangent flats on both sides.
func across(a, b plane, at func(p r3.Vec) (plane, bool)) (plane, plane, bool) {
	if r3.Dot(a.n, b.n) > jump {
		return a, b, false
	}
	for range 11 {
		mid, ok := at(r3.Scale(0.5, r3.Add(a.p, b.p)))
		if !ok {
			return a, b, false
		}
		if r3.Dot(a.n, mid.n) < r3.Dot(mid.n, b.n) {
			b = mid
		} else {
			a = mid
		}
		if r3.Dot(a.n, b.n) > jump {
			return a, b, false
		}
	}
	return a, b, true
}

// flat returns the tangent flat of the surface near p.
func (s *Skin) flat(p r3.Vec) (plane, bool) {
	q, n, ok := s.onto(p)
	return plane{q, n}, ok
}

// ontoCrease moves a vertex that lies on a crease to p's nearest point of it. The
// flats of both sides are felt out toward each neighbour, nearer each time.
func (s *Skin) ontoCrease(v int32, p r3.Vec) (q r3.Vec, ok bool) {
	q = p
	for i, reach := range [...]float64{0.1, 0.03, 0.01} {
		a, b, found := s.flatsBeside(v, q, reach)
		if !found {
			if i == 0 {
				return p, false
			}
			break
		}
		next, met := meet(a, b, q)
		if !met {
			break
		}
		q = next
	}
	d, _ := s.f.At(q)
	return q, math.Abs(d) <= 0.05*s.o.Chord
}

// flatsBeside returns the two flats that differ most of those near q toward the
// neighbours of crease vertex v, and false where none differ like a crease.
func (s *Skin) flatsBeside(v int32, q r3.Vec, reach float64) (a, b plane, found bool) {
	var room [24]int32
	var sides []plane
	for _, w := range s.neighbours(v, room[:]) {
		if _, bound := s.curve[key(v, w)]; bound {
			continue
		}
		if f, ok := s.flat(r3.Add(q, r3.Scale(reach, r3.Sub(s.p[w], s.p[v])))); ok {
			sides = append(sides, f)
		}
	}
	best := jump
	for i, x := range sides {
		for _, y := range sides[i+1:] {
			if c := r3.Dot(x.n, y.n); c < best {
				best, a, b, found = c, x, y, true
			}
		}
	}
	return
}

// fade frees vertices of creases that are none there: where a sharp edge dies
// out in a fillet, its end draws back to where it still is an edge. So does a
// corner that was found off the surface.
func (s *Skin) fade() {
	for i := range s.p {
		v := int32(i)
		if len(s.around[v]) == 0 || s.tag[v] != crease && s.tag[v] != corner {
			continue
		}
		ends := s.along(v, crease)
		if s.onRim(v) || !s.faded(v, len(ends)) {
			continue
		}
		q, n, ok := s.onto(s.p[v])
		if !ok || norm(r3.Sub(q, s.p[v])) > s.o.Size {
			continue
		}
		for _, w := range ends {
			delete(s.curve, key(v, w))
			if s.tag[w] == crease {
				s.tag[w] = corner // the crease now ends there
			}
		}
		s.p[v], s.n[v], s.tag[v] = q, n, free
	}
}

// faded tells whether a vertex on that many crease edges belongs on none.
func (s *Skin) faded(v int32, ends int) bool {
	if s.tag[v] == corner {
		if d, _ := s.f.At(s.p[v]); ends == 0 || math.Abs(d) > 0.1*s.o.Chord {
			return true
		}
	}
	if ends > 2 {
		return false
	}
	_, _, found := s.flatsBeside(v, s.p[v], 0.1)
	return !found
}

// onRim tells whether v lies at the rim.
func (s *Skin) onRim(v int32) bool {
	var room [24]int32
	for _, w := range s.neighbours(v, room[:]) {
		if _, f1 := s.faces(v, w); f1 < 0 {
			return true
		}
	}
	return false
}
