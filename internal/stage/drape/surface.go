package drape

import (
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// surface is what the solver needs to know of the mesh. Vertices that no
// triangle uses keep the place (0, 0) and take no part.
type surface struct {
	*mesh.Mesh
	topology *mesh.Topology
	normal   []r3.Vec // of triangles
	local    [][3]r2.Vec
	slope    [][3]r2.Vec // gradient of each corner's weight in the same axes
	area     []float64
	edge     float64 // mean length of a side
	whole    float64 // area of all
}

// newSurface lays each triangle into its own plane: origin at corner 0, first
// axis along side 0, second axis to its left seen from outside.
func newSurface(t *mesh.Topology) *surface {
	m := t.Mesh
	n := len(m.Triangles)
	s := &surface{Mesh: m, topology: t, normal: m.FaceNormals(), local: make([][3]r2.Vec, n),
		slope: make([][3]r2.Vec, n), area: m.FaceAreas(), edge: m.MeanEdge()}
	for f := range m.Triangles {
		s.whole += s.area[f]
		x, y := s.axes(f)
		a, b, c := m.Corners(f)
		ab, ac := r3.Sub(b, a), r3.Sub(c, a)
		p := [3]r2.Vec{{}, {X: r3.Dot(ab, x)}, {X: r3.Dot(ac, x), Y: r3.Dot(ac, y)}}
		s.local[f] = p
		if !s.flat(f) {
			s.slope[f] = slopes(p)
		}
	}
	return s
}

// sliver is the share of a squared side below which a triangle has no area to
// speak of; it then carries no energy and only its neighbours place its corners.
const sliver = 1e-6

func (s *surface) flat(f int) bool {
	p := s.local[f]
	long := max(r2.Norm2(p[1]), r2.Norm2(p[2]), r2.Norm2(r2.Sub(p[2], p[1])))
	return !(p[1].X*p[2].Y > sliver*long)
}

// axes returns the axes of triangle f's plane in space.
func (s *surface) axes(f int) (x, y r3.Vec) {
	a, b, _ := s.Corners(f)
	x = r3.Sub(b, a)
	if n := r3.Norm(x); n > 0 {
		x = r3.Scale(1/n, x)
	}
	return x, r3.Cross(s.normal[f], x)
}

// gradient is the derivative of the flat place along the axes of a triangle:
//
//	| a b |   | ∂u/∂x ∂u/∂y |
//	| c d | = | ∂v/∂x ∂v/∂y |
type gradient struct{ a, b, c, d float64 }

func (g gradient) det() float64 { return g.a*g.d - g.b*g.c }

// gradientOf returns the derivative of the flat places in triangle f.
func (s *surface) gradientOf(f int, flat []r2.Vec) gradient {
	var g gradient
	for k, v := range s.Triangles[f] {
		n, q := s.slope[f][k], flat[v]
		g.a += q.X * n.X
		g.b += q.X * n.Y
		g.c += q.Y * n.X
		g.d += q.Y * n.Y
	}
	return g
}

// yarns returns the derivatives of the place on the surface along the warp and
// the weft of the flat cloth, in the triangle's axes: the columns of the inverse
// of the gradient. Their lengths are the yarns' stretch.
func (g gradient) yarns() (warp, weft r2.Vec) {
	d := g.det()
	return r2.Vec{X: g.d / d, Y: -g.c / d}, r2.Vec{X: -g.b / d, Y: g.a / d}
}
