package geom

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Simplify drops corners that lie within tol of the chord between the corners
// kept (Douglas and Peucker), starting from the two corners farthest apart
// seen from the first. The result may lie on either side of the border by tol,
// and a tol wider than a neck of the ring can make it cross itself.
// Source: [douglas1973]
func Simplify(p Polygon, tol float64) Polygon {
	if len(p) < 4 {
		return p.Clone()
	}
	far := 0
	for i := range p {
		if r2.Norm2(r2.Sub(p[i], p[0])) > r2.Norm2(r2.Sub(p[far], p[0])) {
			far = i
		}
	}
	closed := append(p.Clone(), p[0])
	keep := make([]bool, len(closed))
	keep[0], keep[far], keep[len(p)] = true, true, true
	markKept(closed, keep, 0, far, tol)
	markKept(closed, keep, far, len(p), tol)
	var q Polygon
	for i := range p {
		if keep[i] {
			q = append(q, p[i])
		}
	}
	return q
}

// markKept keeps the farthest corner between i and j and goes on either side.
func markKept(p Polygon, keep []bool, i, j int, tol float64) {
	worst, at := tol, -1
	for k := i + 1; k < j; k++ {
		if d := SegmentDistance(p[k], p[i], p[j]); d > worst {
			worst, at = d, k
		}
	}
	if at < 0 {
		return
	}
	keep[at] = true
	markKept(p, keep, i, at, tol)
	markKept(p, keep, at, j, tol)
}

// SimplifyOutward drops corners so that the result holds the whole of p and
// reaches at most tol beyond it. Two moves are made, the one that adds least
// area first: a reflex corner is cut off by its chord, and an edge between two
// convex corners gives way to its neighbours, prolonged until they meet. The
// ring must not cross itself; the result is anticlockwise and does not either.
func SimplifyOutward(p Polygon, tol float64) Polygon {
	q := p.Anticlockwise().Clean(0)
	reach := make([]float64, len(q)) // how far each corner may already stand out
	for len(q) > 3 {
		best := outwardMove{area: math.Inf(1)}
		for i := range q {
			if m, ok := outwardAt(q, reach, i, tol); ok && m.area < best.area && !m.holdsCorner(q) {
				best = m
			}
		}
		if math.IsInf(best.area, 1) {
			return q
		}
		q, reach = best.apply(q, reach)
	}
	return q
}

// outwardMove replaces corner i (chord) or the corners i and i+1 (apex).
type outwardMove struct {
	i     int
	chord bool
	tri   [3]r2.Vec // the triangle that is added
	area  float64
	reach float64
}

// outwardAt is the move at corner i: a chord where it is reflex or straight,
// else the prolongation over edge i to i+1.
func outwardAt(q Polygon, reach []float64, i int, tol float64) (outwardMove, bool) {
	n := len(q)
	j := (i + 1) % n
	a, b, c, d := q.prev(i), q[i], q[j], q[(i+2)%n]
	if r2.Cross(r2.Sub(b, a), r2.Sub(c, b)) <= 0 {
		m := outwardMove{i: i, chord: true, tri: [3]r2.Vec{a, c, b}}
		m.area = Polygon(m.tri[:]).Area()
		m.reach = reach[i] + SegmentDistance(b, a, c)
		return m, m.reach <= tol && m.area >= 0
	}
	u, v := r2.Sub(b, a), r2.Sub(d, c)
	if r2.Cross(r2.Sub(c, b), r2.Sub(d, c)) <= 0 || r2.Cross(u, v) <= 0 {
		return outwardMove{}, false
	}
	apex := r2.Add(b, r2.Scale(r2.Cross(r2.Sub(c, b), v)/r2.Cross(u, v), u))
	m := outwardMove{i: i, tri: [3]r2.Vec{b, apex, c}}
	m.area = math.Abs(Polygon(m.tri[:]).Area())
	m.reach = max(reach[i], reach[j]) + SegmentDistance(apex, b, c)
	return m, m.reach <= tol && !math.IsNaN(m.reach)
}

// holdsCorner reports whether any other corner lies in the added triangle, in
// which case the new border would cross the old.
func (m outwardMove) holdsCorner(q Polygon) bool {
	t := Polygon(m.tri[:])
	if t.Area() < 0 {
		t = t.Reversed()
	}
	for _, v := range q {
		if v == m.tri[0] || v == m.tri[1] || v == m.tri[2] {
			continue
		}
		if leftOf(t[0], t[1], v) && leftOf(t[1], t[2], v) && leftOf(t[2], t[0], v) {
			return true
		}
	}
	return false
}

func leftOf(a, b, v r2.Vec) bool { return r2.Cross(r2.Sub(b, a), r2.Sub(v, a)) >= 0 }

func (m outwardMove) apply(q Polygon, reach []float64) (Polygon, []float64) {
	var p Polygon
	var r []float64
	n := len(q)
	for k := range q {
		switch {
		case m.chord && k == m.i:
		case !m.chord && k == m.i:
			p, r = append(p, m.tri[1]), append(r, m.reach)
		case !m.chord && k == (m.i+1)%n:
		default:
			p, r = append(p, q[k]), append(r, reach[k])
		}
	}
	if m.chord { // the chord's ends answer for what was cut off between them
		i := m.i % len(r)
		before := (m.i - 1 + len(r)) % len(r)
		r[i], r[before] = max(r[i], m.reach), max(r[before], m.reach)
	}
	return p, r
}
