package facet

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// splitLong cuts sides that are too long in their middle.
func (s *sheet) splitLong() (changed int) {
	for _, e := range s.sides() {
		a, b := e[0], e[1]
		if s.long(a, b) <= longSide*s.g.Side {
			continue
		}
		f, g := s.beside(a, b)
		if f < 0 && g < 0 || s.g.HoldRim && (f < 0 || g < 0) {
			continue
		}
		s.split(a, b, f, g)
		changed++
	}
	return changed
}

func (s *sheet) split(a, b, f, g int32) {
	m := int32(len(s.at))
	p, line := r3.Scale(0.5, r3.Add(s.at[a], s.at[b])), s.line[key(a, b)]
	s.at, s.of, s.kind = append(s.at, p), append(s.of, nil), append(s.kind, free)
	if line {
		delete(s.line, key(a, b))
		s.line[key(a, m)], s.line[key(m, b)] = true, true
		s.kind[m] = onLine
	}
	for _, h := range [2]int32{f, g} {
		if h < 0 {
			continue
		}
		far := s.tri[h]
		for k, v := range far {
			if v == a {
				far[k] = m
			}
		}
		s.rename(h, b, m)
		s.add(far)
	}
	if to := s.project(m, p); s.mayMove(m, to) {
		s.at[m] = to
	}
}

// project returns where a vertex belongs that is meant to lie at p.
func (s *sheet) project(v int32, p r3.Vec) r3.Vec {
	switch {
	case s.kind[v] == free && s.g.Onto != nil:
		return s.g.Onto(p)
	case s.kind[v] == onLine && s.g.OntoRim != nil:
		return s.g.OntoRim(p)
	}
	return p
}

// mayMove tells whether no triangle at v turns over or gets flat if v moves.
func (s *sheet) mayMove(v int32, to r3.Vec) bool {
	was := s.at[v]
	for _, f := range s.of[v] {
		before := s.areaVector(s.tri[f])
		s.at[v] = to
		after := s.areaVector(s.tri[f])
		s.at[v] = was
		if !(r3.Dot(before, after) > leastTurn*r3.Norm(before)*r3.Norm(after)) {
			return false
		}
	}
	return true
}

// joinShort draws sides that are too short into one vertex.
func (s *sheet) joinShort() (changed int) {
	for _, e := range s.sides() {
		a, b := e[0], e[1]
		if s.long(a, b) >= shortSide*s.g.Side {
			continue
		}
		if s.kind[a] > s.kind[b] {
			a, b = b, a // a goes into b
		}
		if f, g := s.beside(a, b); f < 0 && g < 0 || !s.mayJoin(a, b) {
			continue
		}
		to := s.at[b]
		if s.kind[a] == free && s.kind[b] == free {
			to = s.project(b, r3.Scale(0.5, r3.Add(s.at[a], s.at[b])))
		}
		if s.mayDraw(a, b, to) && s.mayDraw(b, a, to) {
			s.join(a, b, to)
			changed++
		}
	}
	return changed
}

// mayJoin tells whether a may go into b so that the surface stays a sheet, and
// lines stay lines near where they ran.
func (s *sheet) mayJoin(a, b int32) bool {
	line := s.line[key(a, b)]
	switch {
	case s.kind[a] == corner:
		return false
	case s.kind[a] == onLine:
		if !line || !s.strayLittle(a, b) {
			return false
		}
	}
	f, g := s.beside(a, b)
	shared := 0
	for _, h := range [2]int32{f, g} {
		if h >= 0 {
			shared++
		}
	}
	// the only vertices that neighbour both are the tips of the side's triangles
	near, common := s.ring(a), 0
	for _, v := range s.ring(b) {
		for _, w := range near {
			if v == w {
				common++
			}
		}
	}
	return common == shared && len(s.of[a]) > shared
}

// ring lists the neighbours of a vertex, each once.
func (s *sheet) ring(v int32) []int32 {
	out := make([]int32, 0, 16)
	for _, f := range s.of[v] {
	corners:
		for _, w := range s.tri[f] {
			if w == v {
				continue
			}
			for _, u := range out {
				if u == w {
					continue corners
				}
			}
			out = append(out, w)
		}
	}
	return out
}

// strayLittle tells whether a lies near the side that its line has once a has
// gone into b.
func (s *sheet) strayLittle(a, b int32) bool {
	for _, c := range s.ring(a) {
		if c == b || !s.line[key(a, c)] {
			continue
		}
		u, w := r3.Sub(s.at[c], s.at[b]), r3.Sub(s.at[a], s.at[b])
		l := r3.Norm2(u)
		if l == 0 {
			return false
		}
		off := r3.Norm(r3.Sub(w, r3.Scale(max(0, min(1, r3.Dot(u, w)/l)), u)))
		return off <= s.g.Stray && !s.line[key(b, c)]
	}
	return false
}

// mayDraw tells whether the triangles at a that do not hold b stay whole with a
// at a place, and their sides not too long.
func (s *sheet) mayDraw(a, b int32, to r3.Vec) bool {
	was := s.at[a]
	for _, f := range s.of[a] {
		t := s.tri[f]
		if holds(t, b) {
			continue
		}
		before := s.areaVector(t)
		s.at[a] = to
		after := s.areaVector(t)
		side := 0.0
		for k := range t {
			side = max(side, s.long(t[k], t[(k+1)%3]))
		}
		s.at[a] = was
		if side > longSide*s.g.Side || !(r3.Dot(before, after) > leastTurn*r3.Norm(before)*r3.Norm(after)) {
			return false
		}
	}
	return true
}

func (s *sheet) join(a, b int32, to r3.Vec) {
	for _, c := range s.ring(a) {
		if k := key(a, c); s.line[k] {
			delete(s.line, k)
			if c != b {
				s.line[key(b, c)] = true
			}
		}
	}
	for _, f := range append([]int32(nil), s.of[a]...) {
		if holds(s.tri[f], b) {
			s.drop(f)
		} else {
			s.rename(f, a, b)
		}
	}
	s.at[b] = to
}

// turnSides turns sides whose opposite angles sum to more than a half turn, which
// makes the least angle larger.
func (s *sheet) turnSides() (changed int) {
	for _, e := range s.sides() {
		if s.turn(e[0], e[1]) {
			changed++
		}
	}
	return changed
}

// turn puts the side between the tips of the triangles at ab in the place of ab,
// where that makes the angles better and no triangle turns over.
func (s *sheet) turn(a, b int32) bool {
	f, g := s.beside(a, b)
	if f < 0 || g < 0 || s.line[key(a, b)] {
		return false
	}
	c, d := s.third(f, a, b), s.third(g, a, b)
	if c == d || c < 0 || d < 0 || s.angle(c, a, b)+s.angle(d, a, b) < math.Pi+1e-6 || s.joined(c, d) {
		return false
	}
	n := r3.Add(s.areaVector(s.tri[f]), s.areaVector(s.tri[g]))
	x, y := [3]int32{a, d, c}, [3]int32{d, b, c}
	if !s.faces(x, n) || !s.faces(y, n) {
		return false
	}
	s.drop(f)
	s.drop(g)
	s.add(x)
	s.add(y)
	return true
}

func (s *sheet) faces(t [3]int32, n r3.Vec) bool {
	a := s.areaVector(t)
	return r3.Dot(a, n) > leastTurn*r3.Norm(a)*r3.Norm(n)
}

func (s *sheet) joined(a, b int32) bool {
	for _, f := range s.of[a] {
		if holds(s.tri[f], b) {
			return true
		}
	}
	return false
}

// angle returns the angle at v between the ways to a and b.
func (s *sheet) angle(v, a, b int32) float64 {
	u, w := r3.Sub(s.at[a], s.at[v]), r3.Sub(s.at[b], s.at[v])
	return math.Atan2(r3.Norm(r3.Cross(u, w)), r3.Dot(u, w))
}

// shiftAll moves free vertices along the surface towards the middle of the
// triangles round them.
func (s *sheet) shiftAll() {
	for v := range s.at {
		if s.kind[v] != free || len(s.of[v]) == 0 {
			continue
		}
		var middle, normal r3.Vec
		area := 0.0
		for _, f := range s.of[v] {
			t := s.tri[f]
			n := s.areaVector(t)
			w := r3.Norm(n)
			area += w
			normal = r3.Add(normal, n)
			middle = r3.Add(middle, r3.Scale(w/3, r3.Add(s.at[t[0]], r3.Add(s.at[t[1]], s.at[t[2]]))))
		}
		if l := r3.Norm2(normal); area > 0 && l > 0 {
			way := r3.Sub(r3.Scale(1/area, middle), s.at[v])
			way = r3.Sub(way, r3.Scale(r3.Dot(way, normal)/l, normal))
			if to := s.project(int32(v), r3.Add(s.at[v], r3.Scale(shift, way))); s.mayMove(int32(v), to) {
				s.at[v] = to
			}
		}
	}
}
