package skin

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Crease cuts the triangles along the sharp edges of the surface, so that no
// triangle bridges one. An edge whose ends lie on either side gets a vertex
// where the tangent flats of both sides meet; a triangle cut on all three sides
// gets one more where three flats meet. It returns how many vertices it put in.
func (s *Skin) Crease() int {
	on := map[[2]int32]int32{}
	var found []edgePoint
	before := append([][3]int32(nil), s.tri...)
	for _, e := range s.edges() {
		a, b, ok := across(plane{s.p[e[0]], s.n[e[0]]}, plane{s.p[e[1]], s.n[e[1]]}, s.flat)
		if !ok {
			continue
		}
		p, ok := meet(a, b, r3.Scale(0.5, r3.Add(a.p, b.p)))
		if !ok {
			continue
		}
		m := s.addVertex(p, a.n, s.o.Size, crease)
		s.split(e[0], e[1], m)
		on[key(e[0], e[1])] = m
		found = append(found, edgePoint{m, a, b})
	}
	for _, t := range before {
		if t[0] >= 0 {
			s.joinCrossings(t, on)
		}
	}
	for _, c := range found {
		s.drawToCorner(c)
	}
	s.endCreases()
	return len(on)
}

// edgePoint is a vertex put on a crease, and the flats on both sides.
type edgePoint struct {
	v    int32
	a, b plane
}

// drawToCorner moves a new vertex into a corner nearby when one of its
// neighbours lies on a third flat: the edge that it was put into ran over two
// creases, and would bridge the other one.
func (s *Skin) drawToCorner(c edgePoint) {
	var room [24]int32
	for _, w := range s.neighbours(c.v, room[:]) {
		if s.tag[w] != free || r3.Dot(s.n[w], c.a.n) > jump || r3.Dot(s.n[w], c.b.n) > jump {
			continue
		}
		q, ok := meetThree(c.a, c.b, plane{s.p[w], s.n[w]})
		if d, _ := s.f.At(q); !ok || math.Abs(d) > 1e-7 || norm(r3.Sub(q, s.p[c.v])) > s.o.Size {
			continue // the surface is bent there, no corner
		}
		s.p[c.v], s.tag[c.v] = q, corner
		return
	}
}

// joinCrossings marks what joins the new vertices inside one old triangle.
func (s *Skin) joinCrossings(t [3]int32, on map[[2]int32]int32) {
	var m []int32
	for k := range 3 {
		if v, ok := on[key(t[k], t[(k+1)%3])]; ok {
			m = append(m, v)
		}
	}
	switch len(m) {
	case 2:
		if f, _ := s.faces(m[0], m[1]); f >= 0 {
			s.curve[key(m[0], m[1])] = crease
		}
	case 3:
		s.addCorner(t, m)
	}
}

// addCorner puts a vertex where the three flats at the corners of t meet, in
// the one edge inside t that joins a new vertex to an old one.
func (s *Skin) addCorner(t [3]int32, m []int32) {
	p, ok := meetThree(plane{s.p[t[0]], s.n[t[0]]}, plane{s.p[t[1]], s.n[t[1]]}, plane{s.p[t[2]], s.n[t[2]]})
	mid := r3.Scale(1.0/3, r3.Add(s.p[m[0]], r3.Add(s.p[m[1]], s.p[m[2]])))
	if !ok || norm(r3.Sub(p, mid)) > s.o.Size {
		p = mid
	}
	for k := range 3 {
		far, near := t[(k+2)%3], m[k] // m[k] lies between t[k] and t[k+1]
		if f, _ := s.faces(far, near); f < 0 {
			continue
		}
		x := s.addVertex(p, s.n[t[0]], s.o.Size, corner)
		s.split(far, near, x)
		for _, v := range m {
			if f, _ := s.faces(x, v); f >= 0 {
				s.curve[key(x, v)] = crease
			}
		}
		return
	}
}

// endCreases fixes the vertices that a crease does not simply pass through:
// where it ends or forks.
func (s *Skin) endCreases() {
	for v := range s.p {
		if s.tag[v] != crease {
			continue
		}
		if len(s.along(int32(v), crease)) != 2 {
			s.tag[v] = corner
		}
	}
}

// freeCorners lets slide again what was fixed where a crease did not simply
// pass, but does so by now and goes on nearly straight, or is gone.
func (s *Skin) freeCorners() {
	for i := range s.p {
		v := int32(i)
		if s.tag[v] != corner || len(s.around[v]) == 0 || s.onRim(v) {
			continue
		}
		e := s.along(v, crease)
		if len(e) == 0 {
			s.tag[v] = free
			continue
		}
		if len(e) != 2 || cosine(r3.Sub(s.p[v], s.p[e[0]]), r3.Sub(s.p[e[1]], s.p[v])) < jump {
			continue
		}
		if d, _ := s.f.At(s.p[v]); math.Abs(d) <= 0.05*s.o.Chord {
			s.tag[v] = crease
		}
	}
}

// along returns the neighbours of v that bound edges of one curve lead to.
func (s *Skin) along(v, curve int32) []int32 {
	var room [24]int32
	var out []int32
	for _, w := range s.neighbours(v, room[:]) {
		if c, bound := s.curve[key(v, w)]; bound && c == curve {
			out = append(out, w)
		}
	}
	return out
}
