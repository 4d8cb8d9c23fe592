package facet

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// tidyRounds bounds how often Tidy starts again, as a turned side may leave another
// thin triangle.
const tidyRounds = 5

// Tidied is a surface without slivers.
type Tidied struct {
	Mesh  *mesh.Mesh
	Count int    // sides that were turned or drawn together
	First r3.Vec // where the first of them was
}

// Tidy returns the surface without slivers: sides shorter than least, m, are drawn
// into one of their ends, and triangles whose height is less give way by turning
// their longest side. No place of the surface moves by more than about that
// length.
func Tidy(t *mesh.Topology, least float64) Tidied {
	var out Tidied
	s := newSheet(t, Goal{Side: math.Inf(1), Crease: math.Pi, HoldRim: true})
	changed := func(at int32) {
		if out.Count++; out.Count == 1 {
			out.First = s.at[at]
		}
	}
	for range tidyRounds {
		now := 0
		for _, e := range s.sides() {
			a, b := e[0], e[1]
			if s.kind[a] > s.kind[b] {
				a, b = b, a
			}
			if f, g := s.beside(a, b); s.long(a, b) < least && (f >= 0 || g >= 0) && s.mayJoin(a, b) && s.mayDraw(a, b, s.at[b]) {
				s.join(a, b, s.at[b])
				now++
				changed(b)
			}
		}
		for _, e := range s.sides() {
			if s.thin(e[0], e[1], least) && s.turn(e[0], e[1]) {
				now++
				changed(e[0])
			}
		}
		if now == 0 {
			break
		}
	}
	out.Mesh = s.finish()
	return out
}

// thin tells whether a triangle at side ab is lower over it than least.
func (s *sheet) thin(a, b int32, least float64) bool {
	f, g := s.beside(a, b)
	l := s.long(a, b)
	for _, h := range [2]int32{f, g} {
		if h >= 0 && l > 0 && r3.Norm(s.areaVector(s.tri[h]))/l < least {
			return true
		}
	}
	return false
}
