package skin

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// grading is how fast the wanted edge length may grow over the surface: this
// much for each metre.
const grading = 0.35

// mostChords is how many of the wanted chords an edge may stand off the surface:
// it is split where it is longer than wanted by a third, and the chord goes with
// the square of the length.
const mostChords = 16.0 / 9

// Refine makes the triangles near equilateral and of the wanted size: each
// round splits long edges, joins short ones, flips for the larger angle and
// shifts vertices along the surface.
//
// Source: [botsch-kobbelt2004].
func (s *Skin) Refine(rounds int) {
	for range rounds {
		s.unfold()
		s.fade()
		s.freeCorners()
		s.wanted()
		s.splitLong()
		s.joinShort()
		s.flipAll()
		s.shift()
		s.bringHome(false)
		s.flipAll()
	}
	s.freeCorners()
	s.bringHome(true)
	s.mendPoor()
	for range lastSplits {
		if !s.splitProud() {
			break
		}
		s.flipAll()
		s.bringHome(true)
		s.mendPoor()
	}
}

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

// wanted sets the edge length at each vertex from the curvature κ that the
// turn of the normal along its edges shows, and along curves from their bend:
//
//	L = √(8 e / κ)    e: the chord's height in its middle
//
// and, where an edge of length l stands off by more than e as it is, from that:
//
//	L = l √(e / off)
func (s *Skin) wanted() {
	var room [24]int32
	length := func(κ float64) float64 {
		return max(s.o.Finest, min(s.o.Size, math.Sqrt(8*s.o.Chord/max(κ, 1e-9))))
	}
	for v := range s.p {
		s.size[v] = s.o.Size
		if len(s.around[v]) == 0 {
			continue
		}
		if t := s.tag[v]; t != free && t != corner {
			if e := s.along(int32(v), t); len(e) == 2 {
				u, w := r3.Sub(s.p[v], s.p[e[0]]), r3.Sub(s.p[e[1]], s.p[v])
				turn := math.Atan2(norm(r3.Cross(u, w)), r3.Dot(u, w))
				s.size[v] = length(2 * turn / (norm(u) + norm(w)))
			}
		}
		if !s.onCrease(int32(v)) {
			for _, w := range s.neighbours(int32(v), room[:]) {
				if l := norm(r3.Sub(s.p[w], s.p[v])); l > 0 && !s.onCrease(w) {
					s.size[v] = min(s.size[v], length(norm(r3.Sub(s.n[w], s.n[v]))/l))
				}
			}
		}
	}
	edges := s.edges()
	for _, e := range edges {
		l, off := norm(r3.Sub(s.p[e[0]], s.p[e[1]])), s.standsOff(s.p[e[0]], s.p[e[1]])
		if off > s.o.Chord {
			l = max(s.o.Finest, l*math.Sqrt(s.o.Chord/off))
			s.size[e[0]], s.size[e[1]] = min(s.size[e[0]], l), min(s.size[e[1]], l)
		}
	}
	for range 5 { // growth spreads an edge or more a sweep
		for _, e := range edges {
			l := grading * norm(r3.Sub(s.p[e[0]], s.p[e[1]]))
			s.size[e[0]] = min(s.size[e[0]], s.size[e[1]]+l)
			s.size[e[1]] = min(s.size[e[1]], s.size[e[0]]+l)
		}
	}
}

// onCrease tells whether a crease runs into v, where the normal has no one
// direction.
func (s *Skin) onCrease(v int32) bool {
	return s.tag[v] == crease || s.tag[v] == corner && len(s.along(v, crease)) > 0
}

func (s *Skin) lengthOf(a, b int32) (length, wanted float64) {
	return norm(r3.Sub(s.p[a], s.p[b])), (s.size[a] + s.size[b]) / 2
}

// unfold takes out vertices at which a crease doubles back on itself, as it may
// when it is first found among thin triangles. Triangles there are turned over
// already, so none is asked.
func (s *Skin) unfold() {
	var room [24]int32
	for i := range s.p {
		v := int32(i)
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

func (s *Skin) splitLong() {
	for _, e := range s.edges() {
		a, b := e[0], e[1]
		if l, want := s.lengthOf(a, b); l < 4.0/3*want {
			continue
		}
		s.halve(a, b)
	}
}

// halve splits an edge in its middle and brings that onto its surface or curve.
func (s *Skin) halve(a, b int32) {
	p := r3.Scale(0.5, r3.Add(s.p[a], s.p[b]))
	tag := free
	if c, bound := s.curve[key(a, b)]; bound {
		tag = c
	}
	var up r3.Vec
	for _, v := range [2]int32{a, b} {
		if !s.onCrease(v) {
			up = r3.Add(up, s.n[v])
		}
	}
	if up == (r3.Vec{}) { // from crease to crease: the triangles know the side
		f0, f1 := s.faces(a, b)
		for _, f := range [2]int32{f0, f1} {
			if f >= 0 {
				up = r3.Add(up, s.vector(s.tri[f]))
			}
		}
	}
	m := s.addVertex(p, r3.Unit(up), (s.size[a]+s.size[b])/2, tag)
	s.split(a, b, m)
	s.loose[m] = !s.move(m, p, wideTurn) && tag == free
}

// How far, as a cosine, the normal of a free vertex may turn when the vertex is
// shifted (30°) and when it is new between two others (60°). What turns more
// has gone round a sharp edge onto another face.
const (
	smallTurn = 0.866
	wideTurn  = 0.5
)

func (s *Skin) joinShort() {
	for _, e := range s.edges() {
		a, b := e[0], e[1]
		if f, _ := s.faces(a, b); f < 0 {
			continue // gone with an edge before
		}
		if l, want := s.lengthOf(a, b); l > 0.8*want {
			continue
		}
		if s.tag[a] == free && s.tag[b] != free {
			a, b = b, a
		}
		if s.mayJoin(a, b) && s.mayDraw(a, b) {
			s.join(a, b)
		} else if s.mayJoin(b, a) && s.mayDraw(b, a) {
			s.join(b, a)
		}
	}
}

func (s *Skin) flipAll() {
	for _, e := range s.edges() {
		s.flip(e[0], e[1])
	}
}

// shift moves each free vertex along the surface to the middle of its
// triangles, weighted so that each counts for the triangles wanted in its
// place, and each vertex of a curve to the middle of its neighbours there.
func (s *Skin) shift() {
	for i := range s.p {
		v := int32(i)
		if len(s.around[v]) == 0 || s.tag[v] == corner {
			continue
		}
		var to r3.Vec
		if s.tag[v] == free {
			to = s.middle(v)
			step := r3.Sub(to, s.p[v])
			step = r3.Sub(step, r3.Scale(r3.Dot(step, s.n[v]), s.n[v]))
			to = r3.Add(s.p[v], step)
		} else {
			e := s.along(v, s.tag[v])
			if len(e) != 2 {
				continue
			}
			u, w := r3.Sub(s.p[e[0]], s.p[v]), r3.Sub(s.p[e[1]], s.p[v])
			// the place at half the way along both chords
			d := (norm(w) - norm(u)) / 2
			if d > 0 {
				to = r3.Add(s.p[v], r3.Scale(d/norm(w), w))
			} else {
				to = r3.Add(s.p[v], r3.Scale(-d/norm(u), u))
			}
		}
		least := smallTurn
		if s.loose[v] {
			least = wideTurn
		}
		if s.move(v, to, least) {
			s.loose[v] = false
		}
	}
}

func (s *Skin) middle(v int32) r3.Vec {
	var sum r3.Vec
	var all float64
	for _, f := range s.around[v] {
		t := s.tri[f]
		size := (s.size[t[0]] + s.size[t[1]] + s.size[t[2]]) / 3
		w := norm(s.vector(t)) / (size * size)
		c := r3.Scale(1.0/3, r3.Add(s.p[t[0]], r3.Add(s.p[t[1]], s.p[t[2]])))
		sum, all = r3.Add(sum, r3.Scale(w, c)), all+w
	}
	if all == 0 {
		return s.p[v]
	}
	return r3.Scale(1/all, sum)
}

// move brings v to where its surface or curve is nearest to p, and tells
// whether it could: the way must exist, be short and fold nothing, and the
// normal of a free vertex may not turn beyond the least cosine.
func (s *Skin) move(v int32, p r3.Vec, least float64) bool {
	var q r3.Vec
	n, ok := s.n[v], false
	switch t := s.tag[v]; {
	case t == free:
		q, n, ok = s.onto(p)
		ok = ok && r3.Dot(n, s.n[v]) > least
	case t == crease:
		q, ok = s.ontoCrease(v, p)
	case t >= 0:
		q, n, ok = s.ontoBoth(p, s.cuts[t])
	}
	if !ok || norm(r3.Sub(q, p)) > s.o.Size || !s.staysOpen(v, q) {
		return false
	}
	s.p[v], s.n[v] = q, n
	return true
}
