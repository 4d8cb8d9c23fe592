package drape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// A lid is not made of a rim of more than longestRim vertices, or of one that
// holds less than thinnest of its squared length, which is a slit.
const (
	longestRim = 600
	thinnest   = 1e-3
)

// lid closes a hole of any form with triangles between the vertices of its rim:
// of the rim as it is seen along its vector area one ear after the other is cut
// off, always the best shaped. All its curvature is in the rim. It adds nothing
// where the rim crosses or touches itself.
//
// Source: [meisters1975].
func lid(m *mesh.Mesh, rim []int32) bool {
	n := len(rim)
	if n > longestRim {
		return false
	}
	var area r3.Vec
	var long float64
	for i, v := range rim { // the surface is on its left: the hole's own way round is the other
		a, b := m.Vertices[v], m.Vertices[rim[(i+1)%n]]
		area = r3.Add(area, r3.Scale(-0.5, r3.Cross(r3.Sub(a, m.Vertices[rim[0]]), r3.Sub(b, m.Vertices[rim[0]]))))
		long += r3.Norm(r3.Sub(b, a))
	}
	if r3.Norm(area) < thinnest*long*long {
		return false
	}
	up := r3.Unit(area)
	x := level(r3.Sub(m.Vertices[rim[1]], m.Vertices[rim[0]]), up)
	y := r3.Cross(up, x)
	ring, at := make([]int32, n), make([]r2.Vec, n)
	for i, v := range rim {
		ring[n-1-i], at[n-1-i] = v, r2.Vec{X: r3.Dot(m.Vertices[v], x), Y: r3.Dot(m.Vertices[v], y)}
	}
	var out [][3]int32
	for len(ring) > 2 {
		k := bestEar(at)
		if k < 0 {
			return false
		}
		l := len(ring)
		out = append(out, [3]int32{ring[(k+l-1)%l], ring[k], ring[(k+1)%l]})
		ring, at = append(ring[:k:k], ring[k+1:]...), append(at[:k:k], at[k+1:]...)
	}
	m.Triangles = append(m.Triangles, out...)
	return true
}

// bestEar returns the corner of a polygon whose triangle with its neighbours lies
// inside, holds no other corner and is the nearest to equilateral; −1: there is
// none.
func bestEar(at []r2.Vec) int {
	best, most, n := -1, sliver, len(at)
	for k, b := range at {
		a, c := at[(k+n-1)%n], at[(k+1)%n]
		area := r2.Cross(r2.Sub(b, a), r2.Sub(c, a)) / 2
		shape := 4 * math.Sqrt(3) * area / (r2.Norm2(r2.Sub(b, a)) + r2.Norm2(r2.Sub(c, b)) + r2.Norm2(r2.Sub(a, c)))
		if shape > most && emptyEar(at, k, a, b, c) {
			best, most = k, shape
		}
	}
	return best
}

// emptyEar tells whether no other corner lies in or on the triangle at corner k.
func emptyEar(at []r2.Vec, k int, a, b, c r2.Vec) bool {
	n := len(at)
	for i, p := range at {
		if i == k || i == (k+n-1)%n || i == (k+1)%n {
			continue
		}
		if r2.Cross(r2.Sub(b, a), r2.Sub(p, a)) >= 0 && r2.Cross(r2.Sub(c, b), r2.Sub(p, b)) >= 0 && r2.Cross(r2.Sub(a, c), r2.Sub(p, c)) >= 0 {
			return false
		}
	}
	return true
}
