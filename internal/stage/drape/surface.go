package drape

import (
	"math"

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
	none     []bool   // has no area to speak of
	edge     float64  // mean length of a side
	whole    float64  // area of all
	long     float64  // bound on a line, where it is known beforehand; see longestLine
	up       []r3.Vec // normals of vertices, once they are asked for
	system   *system  // of the energy, likewise
	room     *Room    // that it works in
}

// newSurface lays each triangle into its own plane: origin at corner 0, first
// axis along side 0, second axis to its left seen from outside.
func newSurface(t *mesh.Topology) *surface {
	m := t.Mesh
	n := len(m.Triangles)
	s := &surface{Mesh: m, topology: t, normal: make([]r3.Vec, n), local: make([][3]r2.Vec, n),
		slope: make([][3]r2.Vec, n), area: make([]float64, n), none: make([]bool, n), edge: m.MeanEdge()}
	split(n, func(_, from, to int) {
		for f := from; f < to; f++ {
			a, b, c := m.Corners(f)
			ab, ac := r3.Sub(b, a), r3.Sub(c, a)
			cross := r3.Cross(ab, ac)
			twice := length(cross)
			if s.area[f] = twice / 2; twice > 0 {
				s.normal[f] = r3.Scale(1/twice, cross)
			}
			x, y := s.axes(f)
			s.shape(f, [3]r2.Vec{{}, {X: r3.Dot(ab, x)}, {X: r3.Dot(ac, x), Y: r3.Dot(ac, y)}})
		}
	})
	for _, a := range s.area {
		s.whole += a
	}
	return s
}

// shape gives triangle f its form in the plane.
func (s *surface) shape(f int, p [3]r2.Vec) {
	s.local[f] = p
	long := max(r2.Norm2(p[1]), r2.Norm2(p[2]), r2.Norm2(r2.Sub(p[2], p[1])))
	if s.none[f] = !(p[1].X*p[2].Y > sliver*long); !s.none[f] {
		s.slope[f] = slopes(p)
	}
}

// sliver is the share of a squared side below which a triangle has no area to
// speak of; it then carries no energy and only its neighbours place its corners.
const sliver = 1e-6

func (s *surface) flat(f int) bool { return s.none[f] }

// length is |v| where no square can overflow.
func length(v r3.Vec) float64 { return math.Sqrt(r3.Norm2(v)) }

// normals returns the normals of the vertices.
func (s *surface) normals() []r3.Vec {
	if s.up == nil {
		s.up = s.VertexNormals()
	}
	return s.up
}

// axes returns the axes of triangle f's plane in space.
func (s *surface) axes(f int) (x, y r3.Vec) {
	a, b, _ := s.Corners(f)
	x = r3.Sub(b, a)
	if n := length(x); n > 0 {
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

// shear returns what the angle from warp to weft lacks to 90°, rad.
func (g gradient) shear() float64 { return math.Atan2(-(g.a*g.c + g.b*g.d), g.det()) }

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
