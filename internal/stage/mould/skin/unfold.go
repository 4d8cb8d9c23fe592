package skin

import (
	"gonum.org/v1/gonum/spatial/r3"
)

// unfold takes out vertices at which a crease doubles back on itself, as it may
// when it is first found among thin triangles, and what it shuts in there. Triangles
// there are turned over already, so none is asked.
func (s *Skin) unfold() {
	var room [24]int32
	for i := range s.p {
		v := int32(i)
		if s.tag[v] == free && s.shutIn(v) {
			if w := s.neighbours(v, room[:])[0]; s.mayJoin(w, v) {
				s.join(w, v)
			}
		}
		if s.tag[v] == corner {
			for _, w := range append([]int32(nil), s.neighbours(v, room[:])...) {
				if s.tag[w] == corner && s.mayJoin(w, v) { // one corner found twice
					s.join(w, v)
					break
				}
			}
		}
		if s.tag[v] != crease || len(s.around[v]) == 0 {
			continue
		}
		e := s.along(v, crease)
		if len(e) != 2 {
			continue
		}
		u, w := r3.Sub(s.p[v], s.p[e[0]]), r3.Sub(s.p[e[1]], s.p[v])
		if r3.Dot(u, w) >= 0 {
			continue
		}
		if r3.Norm2(w) < r3.Norm2(u) {
			e[0], e[1] = e[1], e[0]
		}
		if s.mayJoin(e[0], v) {
			s.join(e[0], v)
		} else if s.mayJoin(e[1], v) {
			s.join(e[1], v)
		}
	}
}

// shutIn tells whether v lies in three triangles with creases all round them.
func (s *Skin) shutIn(v int32) bool {
	if len(s.around[v]) != 3 {
		return false
	}
	for _, f := range s.around[v] {
		for k, a := range s.tri[f] {
			b := s.tri[f][(k+1)%3]
			if c, bound := s.curve[key(a, b)]; a != v && b != v && (!bound || c != crease) {
				return false
			}
		}
	}
	return true
}
