package skin

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// split puts vertex m into the edge ab and cuts its triangles in two.
func (s *Skin) split(a, b, m int32) {
	f0, f1 := s.faces(a, b)
	for _, f := range [2]int32{f0, f1} {
		if f < 0 {
			continue
		}
		other := s.tri[f]
		for k, v := range other {
			if v == a {
				other[k] = m
			}
		}
		s.rename(f, b, m)
		s.addTriangle(other)
	}
	if c, bound := s.curve[key(a, b)]; bound {
		delete(s.curve, key(a, b))
		s.curve[key(a, m)], s.curve[key(m, b)] = c, c
	}
}

// mayJoin tells whether vertex b may be drawn into a: the surface keeps its
// kind and bound vertices stay on their curve.
func (s *Skin) mayJoin(a, b int32) bool { return s.mayLeave(a, b) && s.keepsKind(a, b) }

// mayLeave tells whether what b is bound to lets it go to a.
func (s *Skin) mayLeave(a, b int32) bool {
	switch tb := s.tag[b]; {
	case tb == corner:
		return s.tag[a] == corner && norm(r3.Sub(s.p[a], s.p[b])) <= sameCorner*s.o.Size
	case tb != free:
		c, bound := s.curve[key(a, b)]
		return bound && c == tb && (s.tag[a] == corner || s.tag[a] == tb)
	}
	return true
}

// keepsKind tells whether the surface stays a sheet and curves stay apart when
// b is drawn into a.
func (s *Skin) keepsKind(a, b int32) bool {
	f0, f1 := s.faces(a, b)
	if f0 < 0 || f1 >= 0 && len(s.around[a]) == 3 && len(s.around[b]) == 3 { // the last four of a speck
		return false
	}
	shared := 0
	var roomA, roomB [24]int32
	near := s.neighbours(a, roomA[:])
	for _, w := range s.neighbours(b, roomB[:]) {
		if has(near, w) {
			shared++
		}
	}
	if want := 2; shared != want && f1 >= 0 || f1 < 0 && shared != 1 {
		return false
	}
	return s.keepsCurves(a, b)
}

// sameCorner is how near two corners may lie, as a share of the wanted size, to
// count as one that was found twice.
const sameCorner = 0.04

// mayDraw tells whether no triangle turns over, gets too thin or gets a side
// longer than the limit there when vertex b is drawn into a.
func (s *Skin) mayDraw(a, b int32) bool {
	f0, f1 := s.faces(a, b)
	limit, thinnest := 1.45*s.size[a], thin
	for _, f := range s.around[b] { // what is thin already may stay as thin
		t := s.tri[f]
		thinnest = max(thinnest, slim(s.p[t[0]], s.p[t[1]], s.p[t[2]]))
	}
	for _, f := range s.around[b] {
		if f == f0 || f == f1 {
			continue
		}
		t := s.tri[f]
		for _, v := range t {
			if v != b && norm(r3.Sub(s.p[v], s.p[a])) > limit {
				return false
			}
		}
		if c := s.with(t, b, s.p[a]); !s.upright(t, c) || slim(c[0], c[1], c[2]) > thinnest {
			return false
		}
	}
	return true
}

// with returns the corners of triangle t with vertex v at place q.
func (s *Skin) with(t [3]int32, v int32, q r3.Vec) [3]r3.Vec {
	c := [3]r3.Vec{s.p[t[0]], s.p[t[1]], s.p[t[2]]}
	for k, w := range t {
		if w == v {
			c[k] = q
		}
	}
	return c
}

// upright tells whether triangle t faces the right way with its corners at c,
// or at least more so than now. The surface's own normals say which way that
// is, where a corner is not on a crease.
func (s *Skin) upright(t [3]int32, c [3]r3.Vec) bool {
	var up r3.Vec
	for _, v := range t {
		if s.tag[v] != crease && s.tag[v] != corner {
			up = r3.Add(up, s.n[v])
		}
	}
	old := s.vector(t)
	if up == (r3.Vec{}) {
		up = old
	}
	now := vectorOf(c[0], c[1], c[2])
	x := cosine(now, up)
	return x > 0.5 || x > cosine(old, up)
}

// cosine is that of the angle between two vectors, -1 where either has no length.
func cosine(a, b r3.Vec) float64 {
	if l := r3.Norm2(a) * r3.Norm2(b); l > 0 {
		return r3.Dot(a, b) / math.Sqrt(l)
	}
	return -1
}

// keepsCurves refuses a join that would lay one bound edge on another, but for
// a sliver that lies wholly between creases: there one crease was found twice.
func (s *Skin) keepsCurves(a, b int32) bool {
	f0, f1 := s.faces(a, b)
	for _, f := range [2]int32{f0, f1} {
		if f < 0 {
			continue
		}
		c := s.opposite(f, a, b)
		ca, atA := s.curve[key(a, c)]
		cb, atB := s.curve[key(b, c)]
		if atA && atB {
			if ab, bound := s.curve[key(a, b)]; bound && ab == crease && ca == crease && cb == crease && slim(s.p[a], s.p[b], s.p[c]) > thin {
				continue
			}
			return false
		}
	}
	return true
}

// join draws vertex b into a.
func (s *Skin) join(a, b int32) {
	var room [24]int32
	for _, w := range append([]int32(nil), s.neighbours(b, room[:])...) {
		if c, bound := s.curve[key(b, w)]; bound {
			delete(s.curve, key(b, w))
			if w != a {
				s.curve[key(a, w)] = c
			}
		}
	}
	f0, f1 := s.faces(a, b)
	for _, f := range [2]int32{f0, f1} {
		if f >= 0 {
			s.removeTriangle(f)
		}
	}
	for _, f := range append([]int32(nil), s.around[b]...) {
		s.rename(f, b, a)
	}
}

// flip turns the edge ab of two triangles into their other diagonal, if that
// makes the smallest corner angle larger, folds nothing and stands off no more.
//
//	   c               c
//	 / | \           /   \
//	a——+——b   from  a-----b  to  d—c
//	 \ | /           \   /
//	   d               d
func (s *Skin) flip(a, b int32) bool {
	if _, bound := s.curve[key(a, b)]; bound {
		return false
	}
	f0, f1 := s.faces(a, b)
	if f1 < 0 {
		return false
	}
	if !runs(s.tri[f0], a, b) {
		f0, f1 = f1, f0
	}
	c, d := s.opposite(f0, a, b), s.opposite(f1, a, b)
	if g, _ := s.faces(c, d); g >= 0 {
		return false
	}
	pa, pb, pc, pd := s.p[a], s.p[b], s.p[c], s.p[d]
	old := max(slim(pa, pb, pc), slim(pb, pa, pd))
	now := max(slim(pa, pd, pc), slim(pd, pb, pc))
	if !(now < old-1e-3*(1.001-old)) {
		return false
	}
	n := r3.Add(vectorOf(pa, pb, pc), vectorOf(pb, pa, pd))
	if cosine(vectorOf(pa, pd, pc), n) < 0.5 || cosine(vectorOf(pd, pb, pc), n) < 0.5 {
		return false
	}
	if off := s.standsOff(pc, pd); off > mostChords*s.o.Chord && off > s.standsOff(pa, pb) {
		return false
	}
	s.rename(f0, b, d)
	s.rename(f1, a, c)
	return true
}

// runs tells whether triangle t goes from a to b.
func runs(t [3]int32, a, b int32) bool {
	return t[0] == a && t[1] == b || t[1] == a && t[2] == b || t[2] == a && t[0] == b
}

// slim returns how thin a triangle is: the cosine of its smallest corner angle,
// 0.5 where it is equilateral and 1 where it has no area.
func slim(a, b, c r3.Vec) float64 {
	u, v, w := r3.Sub(b, a), r3.Sub(c, b), r3.Sub(a, c)
	x, y, z := r3.Norm2(u), r3.Norm2(v), r3.Norm2(w)
	// The smallest angle lies opposite the shortest side.
	var cos, sides float64
	switch {
	case x <= y && x <= z:
		cos, sides = -r3.Dot(v, w), y*z
	case y <= z:
		cos, sides = -r3.Dot(w, u), z*x
	default:
		cos, sides = -r3.Dot(u, v), x*y
	}
	if sides == 0 {
		return 1
	}
	return cos / math.Sqrt(sides)
}

// thin is the cosine of the smallest angle that joining two vertices may make: 6°.
const thin = 0.995

// norm is the length of v; sizes here are far from where squares overflow.
func norm(v r3.Vec) float64 { return math.Sqrt(r3.Norm2(v)) }
