package skin

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Cut is a cutter: what lies where its field is positive comes off.
type Cut struct {
	Field Field
	Near  *r3.Vec             // where set, only the one piece nearest to it comes off
	Where func(p r3.Vec) bool // where set, only there
	Fine  float64             // where set, edges are split to this length by the cut first, m
}

// Cut takes off what the cutter holds and binds the new rim to it. It returns
// the number by which [Rim] names it and the area taken off.
func (s *Skin) Cut(c Cut) (number int32, area float64) {
	number = int32(len(s.cuts))
	s.cuts = append(s.cuts, c.Field)
	if c.Fine > 0 && c.Fine < s.o.Size {
		s.densify(c)
	}
	g := s.sides(c)
	if c.Near != nil {
		s.keepNearest(g, *c.Near)
	}
	s.snap(g, c.Field, number)
	for _, e := range s.edges() {
		a, b := e[0], e[1]
		if g[a]*g[b] >= 0 {
			continue
		}
		p := r3.Add(s.p[a], r3.Scale(g[a]/(g[a]-g[b]), r3.Sub(s.p[b], s.p[a])))
		tag := number
		if _, bound := s.curve[key(a, b)]; bound {
			tag = corner
		}
		q, n, ok := s.ontoBoth(p, c.Field)
		if !ok || norm(r3.Sub(q, p)) > norm(r3.Sub(s.p[b], s.p[a])) {
			q, n = p, s.n[a]
		}
		s.split(a, b, s.addVertex(q, n, s.o.Size, tag))
		g = append(g, 0)
	}
	for f, t := range s.tri {
		if t[0] >= 0 && g[t[0]]+g[t[1]]+g[t[2]] > 0 {
			area += norm(s.vector(t))
			s.takeOff(int32(f))
		}
	}
	s.bindRim(g, number)
	return number, area
}

// densify splits edges near a cut, so that a hole smaller than the triangles
// is not lost between their corners.
func (s *Skin) densify(c Cut) {
	const rounds = 8 // halvings
	for range rounds {
		done := true
		for _, e := range s.edges() {
			a, b := e[0], e[1]
			l := norm(r3.Sub(s.p[a], s.p[b]))
			mid := r3.Scale(0.5, r3.Add(s.p[a], s.p[b]))
			if g, _ := c.Field.At(mid); l < 1.5*c.Fine || math.Abs(g) > l || c.Near != nil && norm(r3.Sub(mid, *c.Near)) > 4*l+20*c.Fine {
				continue
			}
			s.halve(a, b)
			done = false
		}
		if done {
			return
		}
	}
}

// takeOff removes a triangle and forgets bound edges that go with it.
func (s *Skin) takeOff(f int32) {
	t := s.tri[f]
	s.removeTriangle(f)
	for k := range 3 {
		if g, _ := s.faces(t[k], t[(k+1)%3]); g < 0 {
			delete(s.curve, key(t[k], t[(k+1)%3]))
		}
	}
}

// sides returns the cutter's value at each vertex.
func (s *Skin) sides(c Cut) []float64 {
	g := make([]float64, len(s.p))
	for v, p := range s.p {
		if len(s.around[v]) == 0 {
			continue
		}
		if c.Where != nil && !c.Where(p) {
			g[v] = -s.o.Size
			continue
		}
		g[v], _ = c.Field.At(p)
	}
	return g
}

// keepNearest leaves the one piece of the cut-off part that comes nearest to a
// place and turns the others to the kept side.
func (s *Skin) keepNearest(g []float64, near r3.Vec) {
	piece := make([]int32, len(s.p))
	best, chosen, count := math.Inf(1), int32(0), int32(0)
	var room [24]int32
	for first := range s.p {
		if piece[first] != 0 || g[first] <= 0 {
			continue
		}
		count++
		piece[first] = count
		for stack := []int32{int32(first)}; len(stack) > 0; {
			v := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			if d := norm(r3.Sub(s.p[v], near)); d < best {
				best, chosen = d, count
			}
			for _, w := range s.neighbours(v, room[:]) {
				if g[w] > 0 && piece[w] == 0 {
					piece[w] = count
					stack = append(stack, w)
				}
			}
		}
	}
	for v := range g {
		if g[v] > 0 && piece[v] != chosen {
			g[v] = -g[v]
		}
	}
}

// snap shifts vertices that lie close to the cut onto it, so that it leaves no
// slivers.
func (s *Skin) snap(g []float64, f Field, number int32) {
	var room [24]int32
	for v := range s.p {
		if s.tag[v] != free || len(s.around[v]) == 0 || g[v] == 0 {
			continue
		}
		crosses, least := false, math.Inf(1)
		for _, w := range s.neighbours(int32(v), room[:]) {
			crosses = crosses || g[v]*g[w] < 0
			least = min(least, norm(r3.Sub(s.p[w], s.p[v])))
		}
		if !crosses || math.Abs(g[v]) > 0.3*least {
			continue
		}
		if q, n, ok := s.ontoBoth(s.p[v], f); ok && norm(r3.Sub(q, s.p[v])) < 0.4*least && s.staysOpen(int32(v), q) {
			s.p[v], s.n[v], s.tag[v], g[v] = q, n, number, 0
		}
	}
}

// staysOpen tells whether no triangle at v turns over when v goes to q.
func (s *Skin) staysOpen(v int32, q r3.Vec) bool {
	for _, f := range s.around[v] {
		if t := s.tri[f]; !s.upright(t, s.with(t, v, q)) {
			return false
		}
	}
	return true
}

// bindRim binds the edges of the new rim, frees what was snapped for nothing,
// and puts a vertex into each corner of the cutter's outline.
func (s *Skin) bindRim(g []float64, number int32) {
	count := map[int32]int{}
	for _, e := range s.edges() {
		if _, f1 := s.faces(e[0], e[1]); f1 >= 0 {
			continue
		}
		if _, bound := s.curve[key(e[0], e[1])]; bound || g[e[0]] != 0 || g[e[1]] != 0 {
			continue
		}
		s.curve[key(e[0], e[1])] = number
		count[e[0]]++
		count[e[1]]++
	}
	for v := range s.p {
		switch n := count[int32(v)]; {
		case s.tag[v] == number && n == 0 && len(s.around[v]) > 0:
			s.tag[v] = free
		case n > 0 && s.tag[v] != number, n > 2:
			s.tag[v] = corner
		}
	}
	s.cutCorners(number)
}

// cutCorners finds rim edges that go round a corner of the cutter's outline.
func (s *Skin) cutCorners(number int32) {
	f := s.cuts[number]
	at := func(p r3.Vec) (plane, bool) {
		q, _, ok := s.ontoBoth(p, f)
		_, n := f.At(q)
		return plane{q, n}, ok
	}
	for _, e := range s.edges() {
		if c, bound := s.curve[key(e[0], e[1])]; !bound || c != number {
			continue
		}
		_, na := f.At(s.p[e[0]])
		_, nb := f.At(s.p[e[1]])
		a, b, found := across(plane{s.p[e[0]], na}, plane{s.p[e[1]], nb}, at)
		if !found {
			continue
		}
		_, n := s.f.At(a.p)
		p, ok := meetThree(a, b, plane{a.p, n})
		if !ok || norm(r3.Sub(p, a.p)) > 2*s.o.Size {
			continue
		}
		if q, m, on := s.onto(p); on {
			p, n = q, m
		}
		s.split(e[0], e[1], s.addVertex(p, n, s.o.Size, corner))
	}
}
