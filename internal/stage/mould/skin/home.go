package skin

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// bringHome sees to free vertices that still stand off the surface, left where
// a long edge over a tight radius was split: each is drawn into a neighbour that
// stands on it, or, at the last, moved to the surface whatever its triangles.
func (s *Skin) bringHome(last bool) {
	var room [24]int32
	for i := range s.p {
		v := int32(i)
		if s.tag[v] != free || len(s.around[v]) == 0 {
			continue
		}
		d, n := s.f.At(s.p[v])
		if math.Abs(d) <= 10*onSurface || !last && math.Abs(d) <= s.o.Chord {
			continue
		}
		if s.drawAway(v, s.neighbours(v, room[:])) {
			continue
		}
		if q, m, ok := s.onto(s.p[v]); ok && last && norm(r3.Sub(q, s.p[v])) < s.o.Size {
			s.p[v], s.n[v] = q, m
		} else {
			s.n[v], s.loose[v] = n, true
		}
	}
}

// drawAway draws v into the nearest of the given vertices that it may go to.
func (s *Skin) drawAway(v int32, into []int32) bool {
	best, to := math.Inf(1), int32(-1)
	for _, w := range into {
		if l := r3.Norm2(r3.Sub(s.p[w], s.p[v])); l < best && s.mayJoin(w, v) && s.staysUp(w, v) {
			best, to = l, w
		}
	}
	if to < 0 {
		return false
	}
	s.join(to, v)
	return true
}

// staysUp tells whether no triangle turns over when b is drawn into a.
func (s *Skin) staysUp(a, b int32) bool {
	f0, f1 := s.faces(a, b)
	for _, f := range s.around[b] {
		if f != f0 && f != f1 && !s.upright(s.tri[f], s.with(s.tri[f], b, s.p[a])) {
			return false
		}
	}
	return true
}
