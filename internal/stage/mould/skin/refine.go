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
	s.unfold()
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
		l := norm(r3.Sub(s.p[e[0]], s.p[e[1]]))
		if s.surelyClose(e[0], e[1], l) {
			continue
		}
		if off := s.standsOff(s.p[e[0]], s.p[e[1]]); off > s.o.Chord {
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

// surelyClose tells cheaply that an edge of length l, shorter than any wanted, does
// not stand off by the chord: over a smooth bend it would by |nᵦ − nₐ|·l/8.
func (s *Skin) surelyClose(a, b int32, l float64) bool {
	return l < 2*s.o.Chord || l < s.o.Finest && s.tag[a] == free && s.tag[b] == free && l*norm(r3.Sub(s.n[a], s.n[b])) < s.o.Chord
}

// onCrease tells whether a crease runs into v, where the normal has no one
// direction.
func (s *Skin) onCrease(v int32) bool {
	return s.tag[v] == crease || s.tag[v] == corner && len(s.along(v, crease)) > 0
}

func (s *Skin) lengthOf(a, b int32) (length, wanted float64) {
	return norm(r3.Sub(s.p[a], s.p[b])), (s.size[a] + s.size[b]) / 2
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
