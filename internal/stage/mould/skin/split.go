package skin

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// lastSplits is how often edges that still stand off too far are halved at the
// end; each time their chord falls to a quarter.
const lastSplits = 5

// splitProud halves edges that stand off too far, unless they are short, and
// tells whether there were any.
func (s *Skin) splitProud() (any bool) {
	for _, e := range s.edges() {
		a, b := e[0], e[1]
		l := norm(r3.Sub(s.p[a], s.p[b]))
		if l < s.o.Finest || s.standsOff(s.p[a], s.p[b]) <= mostChords*s.o.Chord {
			continue
		}
		n := int32(len(s.p))
		s.halve(a, b)
		any = true
		if q, m, ok := s.onto(s.p[n]); s.loose[n] && ok && norm(r3.Sub(q, s.p[n])) < l/2 && s.staysOpen(n, q) {
			s.p[n], s.n[n], s.loose[n] = q, m, false
		}
	}
	return any
}

func (s *Skin) splitLong() {
	for _, e := range s.edges() {
		a, b := e[0], e[1]
		if l, want := s.lengthOf(a, b); l < 4.0/3*want {
			continue
		}
		s.halve(a, b)
	}
}

// halve splits an edge in its middle and brings that onto its surface or curve, or,
// where the nearest place lies round an edge of the shape, to what lies over it.
func (s *Skin) halve(a, b int32) {
	p := r3.Scale(0.5, r3.Add(s.p[a], s.p[b]))
	tag := free
	if c, bound := s.curve[key(a, b)]; bound {
		tag = c
	}
	over := s.over(a, b)
	var up r3.Vec
	for _, v := range [2]int32{a, b} {
		if !s.onCrease(v) {
			up = r3.Add(up, s.n[v])
		}
	}
	if up == (r3.Vec{}) { // from crease to crease: the triangles know the side
		up = over
	}
	m := s.addVertex(p, r3.Unit(up), (s.size[a]+s.size[b])/2, tag)
	s.split(a, b, m)
	s.loose[m] = !s.move(m, p, wideTurn) && tag == free && !s.lift(m, over, norm(r3.Sub(s.p[a], s.p[b]))/2)
}

// over returns the direction that the triangles at an edge look.
func (s *Skin) over(a, b int32) (up r3.Vec) {
	f0, f1 := s.faces(a, b)
	for _, f := range [2]int32{f0, f1} {
		if f >= 0 {
			up = r3.Add(up, s.vector(s.tri[f]))
		}
	}
	return r3.Unit(up)
}

// lift moves v to where the surface is met along a direction or against it, no
// farther than a length off, and tells whether it could.
func (s *Skin) lift(v int32, way r3.Vec, most float64) bool {
	q := s.p[v]
	for range 60 { // each step is a distance, so that nothing is passed by
		d, n := s.f.At(q)
		if math.Abs(d) <= onSurface {
			old := s.n[v]
			if s.n[v] = n; !s.staysOpen(v, q) {
				s.n[v] = old
				return false
			}
			s.p[v] = q
			return true
		}
		if q = r3.Sub(q, r3.Scale(d, way)); !(norm(r3.Sub(q, s.p[v])) <= most) {
			return false
		}
	}
	return false
}
