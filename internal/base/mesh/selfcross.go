package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// SelfCrossing returns two triangles of the surface that run through each other,
// and false where no two do; see [Locator.SelfCrossings].
func (l *Locator) SelfCrossing() (f, g int, found bool) {
	if two := l.SelfCrossings(1); len(two) > 0 {
		return int(two[0][0]), int(two[0][1]), true
	}
	return 0, 0, false
}

// SelfCrossings returns pairs of triangles of the surface that run through each
// other, up to a number of them. Triangles that touch without a common corner
// count, and so do two that lie on each other beside a common side. Signs are
// exact: no crossing is missed by rounding, and none is made up.
func (l *Locator) SelfCrossings(most int) (pairs [][2]int32) {
	found, _ := l.crossings(most, math.MaxInt/2, func(f, g int) (r3.Vec, bool) {
		return r3.Vec{}, l.m.through(min(f, g), max(f, g))
	})
	for _, c := range found {
		pairs = append(pairs, c.Faces)
	}
	return pairs
}

// through tells whether two triangles have more in common than the corners that
// both name.
func (m *Mesh) through(f, g int) bool {
	t, u := m.turnedToShared(f, g)
	switch shared := sharedCorners(t, u); shared {
	case 0:
		return m.pierces(t, u) || m.pierces(u, t)
	case 1: // what lies opposite to the common corner may run through
		return m.sidePierces(t[1], t[2], u) || m.sidePierces(u[1], u[2], t)
	case 2:
		return m.folded(t, u)
	}
	return true // one triangle twice
}

// turnedToShared returns both triangles so turned that what they share comes
// first.
func (m *Mesh) turnedToShared(f, g int) (t, u [3]int32) {
	t, u = m.Triangles[f], m.Triangles[g]
	turn := func(t, u [3]int32) [3]int32 {
		in := func(v int32) bool { return v == u[0] || v == u[1] || v == u[2] }
		for k := range 3 {
			if c := [3]int32{t[k], t[(k+1)%3], t[(k+2)%3]}; in(c[0]) && !in(c[2]) {
				return c
			}
		}
		return t
	}
	return turn(t, u), turn(u, t)
}

func sharedCorners(t, u [3]int32) (n int) {
	for _, v := range t {
		if v == u[0] || v == u[1] || v == u[2] {
			n++
		}
	}
	return n
}

// pierces tells whether a side of t meets triangle u.
func (m *Mesh) pierces(t, u [3]int32) bool {
	return m.sidePierces(t[0], t[1], u) || m.sidePierces(t[1], t[2], u) || m.sidePierces(t[2], t[0], u)
}

// sidePierces tells whether the side from v to w meets triangle u.
func (m *Mesh) sidePierces(v, w int32, u [3]int32) bool {
	p, q := m.Vertices[v], m.Vertices[w]
	a, b, c := m.Vertices[u[0]], m.Vertices[u[1]], m.Vertices[u[2]]
	from, to := orient3(a, b, c, p), orient3(a, b, c, q)
	if from == 0 && to == 0 {
		return inPlane(p, q, a, b, c)
	}
	if from*to > 0 {
		return false
	}
	x, y, z := orient3(p, q, a, b), orient3(p, q, b, c), orient3(p, q, c, a)
	return (x >= 0 && y >= 0 && z >= 0) || (x <= 0 && y <= 0 && z <= 0)
}

// inPlane tells whether the side pq meets the triangle abc in whose plane it
// lies, seen along the axis that the plane leans least from.
func inPlane(p, q, a, b, c r3.Vec) bool {
	n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
	i, j := 0, 1
	switch x, y, z := math.Abs(n.X), math.Abs(n.Y), math.Abs(n.Z); {
	case x >= y && x >= z:
		i, j = 1, 2
	case y >= z:
		i, j = 2, 0
	}
	for _, s := range [3][2]r3.Vec{{a, b}, {b, c}, {c, a}} {
		if orient2(p, q, s[0], i, j)*orient2(p, q, s[1], i, j) <= 0 && orient2(s[0], s[1], p, i, j)*orient2(s[0], s[1], q, i, j) <= 0 && reach(p, q, s[0], s[1]) {
			return true
		}
	}
	x, y, z := orient2(a, b, p, i, j), orient2(b, c, p, i, j), orient2(c, a, p, i, j)
	return x > 0 && y > 0 && z > 0 || x < 0 && y < 0 && z < 0
}

// reach tells whether the boxes round two sides meet: two on one line have no
// other sign of being apart.
func reach(p, q, a, b r3.Vec) bool {
	return boxesMeet(&r3.Box{Min: lower(p, q), Max: upper(p, q)}, &r3.Box{Min: lower(a, b), Max: upper(a, b)})
}

// folded tells whether two triangles at a common side lie on each other.
func (m *Mesh) folded(t, u [3]int32) bool {
	a, b, c, d := m.Vertices[t[0]], m.Vertices[t[1]], m.Vertices[t[2]], m.Vertices[u[2]]
	if orient3(a, b, c, d) != 0 {
		return false
	}
	side := r3.Unit(r3.Sub(b, a))
	out := func(p r3.Vec) r3.Vec {
		p = r3.Sub(p, a)
		return r3.Sub(p, r3.Scale(r3.Dot(p, side), side))
	}
	return r3.Dot(out(c), out(d)) > 0
}
