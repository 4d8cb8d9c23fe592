package skin

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// How triangles are mended, at the end of refining. A triangle is good enough,
// its quality 1, where its smallest angle, the cosine of its turn from the
// surface over it and the reach of its sides to the surface all are.
const (
	mendAngle  = 16 * math.Pi / 180
	mendTurn   = 0.4 // cosine
	mendOff    = 3   // chords that a side may stand off the surface in its middle
	mendGain   = 0.01
	mendRounds = 10
)

// mendPoor takes out triangles that are thin or folded, where a sharp edge dies
// out in a fillet for one. Of all ways to join, flip and shift at such a
// triangle it takes the one that leaves the best of worst triangles among those
// changed, as long as that is better than before.
func (s *Skin) mendPoor() {
	s.rated = map[[3]r3.Vec]float64{}
	defer func() { s.rated = nil }()
	for range mendRounds {
		done := true
		for f := range s.tri {
			if t := s.tri[f]; t[0] >= 0 && s.suspect(t) && s.mend(t) {
				done = false
			}
		}
		if done {
			return
		}
	}
}

// suspect tells cheaply whether a triangle may want mending.
func (s *Skin) suspect(t [3]int32) bool {
	if slim(s.p[t[0]], s.p[t[1]], s.p[t[2]]) > math.Cos(mendAngle) {
		return true
	}
	up := s.vector(t)
	for _, v := range t {
		if s.tag[v] == free && cosine(up, s.n[v]) < mendTurn {
			return true
		}
	}
	return false
}

// remedy is a way to mend, and the quality of the worst triangle it leaves.
type remedy struct {
	quality float64
	do      func()
}

// mend does the best for triangle t, and tells whether anything helped.
func (s *Skin) mend(t [3]int32) bool {
	best := remedy{quality: math.Inf(-1)}
	for k := range 3 {
		a, b, c := t[k], t[(k+1)%3], t[(k+2)%3]
		for _, r := range []remedy{s.mendByJoin(a, b), s.mendByJoin(b, a), s.mendByFlip(a, b, c), s.mendByShift(a)} {
			if r.do != nil && r.quality > best.quality {
				best = r
			}
		}
	}
	if best.do == nil {
		return false
	}
	best.do()
	return true
}

// mendByJoin draws b into a.
func (s *Skin) mendByJoin(a, b int32) remedy {
	if !s.mayLeave(a, b) && !s.strayCorner(a, b) || !s.keepsKind(a, b) {
		return remedy{}
	}
	f0, f1 := s.faces(a, b)
	var left [][3]int32
	for _, f := range s.around[b] {
		if f != f0 && f != f1 {
			left = append(left, s.tri[f])
		}
	}
	gain := mendGain
	if norm(r3.Sub(s.p[a], s.p[b])) < s.o.Finest/2 {
		gain = -mendGain // among vertices that crowd, fewer are better by themselves
	}
	return s.better(change{s.around[b], left, b, s.p[a], gain}, func() { s.join(a, b) })
}

// strayCorner tells whether b is a corner by mistake with a crease to a: three
// creases or more meet in a true one.
func (s *Skin) strayCorner(a, b int32) bool {
	if s.tag[b] != corner || s.onRim(b) {
		return false
	}
	ends := s.along(b, crease)
	return len(ends) <= 2 && has(ends, a)
}

// mendByFlip turns the edge ab over; c lies opposite.
func (s *Skin) mendByFlip(a, b, c int32) remedy {
	if _, bound := s.curve[key(a, b)]; bound {
		return remedy{}
	}
	f0, f1 := s.faces(a, b)
	if f1 < 0 {
		return remedy{}
	}
	if s.opposite(f0, a, b) != c {
		f0, f1 = f1, f0
	}
	if !runs(s.tri[f0], a, b) {
		a, b = b, a
	}
	d := s.opposite(f1, a, b)
	if g, _ := s.faces(c, d); g >= 0 || c == d {
		return remedy{}
	}
	return s.better(change{[]int32{f0, f1}, [][3]int32{{a, d, c}, {d, b, c}}, a, s.p[a], mendGain}, func() {
		s.rename(f0, b, d)
		s.rename(f1, a, c)
	})
}

// mendByShift moves a free vertex to the middle of its triangles.
func (s *Skin) mendByShift(v int32) remedy {
	if s.tag[v] != free {
		return remedy{}
	}
	q, n, ok := s.onto(s.middle(v))
	if !ok || norm(r3.Sub(q, s.p[v])) > s.o.Size {
		return remedy{}
	}
	var round [][3]int32
	for _, f := range s.around[v] {
		round = append(round, s.tri[f])
	}
	return s.better(change{s.around[v], round, v, q, mendGain}, func() { s.p[v], s.n[v] = q, n })
}

// change is what a remedy makes of some triangles.
type change struct {
	before []int32
	after  [][3]int32
	v      int32  // the vertex that is elsewhere after,
	q      r3.Vec // and where
	gain   float64
}

// better returns a remedy where the worst quality gains enough.
func (s *Skin) better(c change, do func()) remedy {
	now, was := 1.0, 1.0
	for _, f := range c.before {
		was = min(was, s.quality(s.with(s.tri[f], -1, c.q)))
	}
	for _, t := range c.after {
		if now = min(now, s.quality(s.with(t, c.v, c.q))); now < was+c.gain {
			return remedy{}
		}
	}
	return remedy{now, do}
}

// quality returns the quality of a triangle with its corners at c. Each triangle comes
// up in many remedies, and a field with fillets is dear, so that it is kept.
func (s *Skin) quality(c [3]r3.Vec) float64 {
	q, known := s.rated[c]
	if !known {
		q = s.rate(c)
		s.rated[c] = q
	}
	return q
}

func (s *Skin) rate(c [3]r3.Vec) float64 {
	least := math.Acos(min(1, slim(c[0], c[1], c[2]))) / mendAngle
	_, up, _ := s.onto(r3.Scale(1.0/3, r3.Add(c[0], r3.Add(c[1], c[2]))))
	least = min(least, cosine(vectorOf(c[0], c[1], c[2]), up)/mendTurn)
	for k := range 3 {
		least = min(least, mendOff*s.o.Chord/s.standsOff(c[k], c[(k+1)%3]))
	}
	return least
}

// standsOff returns how far the middle of an edge lies from the surface: never
// farther than from its ends.
func (s *Skin) standsOff(p, q r3.Vec) float64 {
	d, _ := s.f.At(r3.Scale(0.5, r3.Add(p, q)))
	return min(math.Abs(d), norm(r3.Sub(p, q))/2)
}
