package radius

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

// Fit says how a mesh was read.
type Fit struct {
	Reach si.Length    // over which the fits smooth
	Noise si.Length    // root mean square of the vertices off the fits
	Doubt si.Curvature // standard error of a curvature
}

// How far a fit may reach: in sides of triangles, for the sake of time, and against
// the radius that is looked for, beyond which it would round the hollow itself.
const (
	mostSides = 6.0
	wantDoubt = 0.1 // of the curvature that is looked for
)

// Fitted reads the curvature off a mesh of which nothing else is known. A hollow of
// the radius looked for should come out within a tenth in spite of the noise σ of
// the vertices: a fit over a reach R with n vertices reads a curvature to about
//
//	δκ = 12·σ/(R²·√n),  n = 3.6·(R/e)² vertices of triangles with sides e
//
// so that R = (63·σ·e·r)^⅓ is enough; but no more than r. What a single vertex
// says is replaced by the middle one of it and its neighbours. Vertices at the rim
// and near to sharp edges are left out.
//
// An edge that turns by more than sharp, rad, is one of the shape.
//
// Source: propagation of errors through a least-squares parabola, worked out here;
// the factor is tested on noisy cylinders.
func Fitted(t *mesh.Topology, look, sharp float64) (Surface, Fit) {
	bends := t.Bends(0)
	e := t.Mesh.MeanEdge()
	σ := noise(bends)
	reach := min(math.Cbrt(63*σ*e*look), mostSides*e, look)
	if reach > 2*e {
		bends = t.Bends(reach)
	} else {
		reach = 2 * e
	}
	s := Surface{Top: t, Normals: t.Mesh.VertexNormals(), Sharp: sharpEdges(t, sharp), Skip: t.RimVertices()}
	s.skipSharp()
	n := len(bends)
	s.Low, s.High = make([]float64, n), make([]float64, n)
	s.LowDir, s.HighDir = make([]r3.Vec, n), make([]r3.Vec, n)
	for v, b := range bends {
		if !b.OK {
			s.Skip[v] = true
		}
		s.LowDir[v], s.HighDir[v] = b.MinDir, b.MaxDir
	}
	for v := range bends {
		s.Low[v] = s.middle(v, func(w int) float64 { return bends[w].Min })
		s.High[v] = s.middle(v, func(w int) float64 { return bends[w].Max })
	}
	return s, Fit{Reach: si.Length(reach), Noise: si.Length(σ), Doubt: si.Curvature(6.3 * σ * e / (reach * reach * reach))}
}

// noise is the middle of the fits' residuals, made good for the six numbers that a
// fit to two rings, some 19 vertices, takes out of them.
func noise(bends []mesh.Bend) float64 {
	var all []float64
	for _, b := range bends {
		if b.OK {
			all = append(all, b.Residual)
		}
	}
	if len(all) == 0 {
		return 0
	}
	slices.Sort(all)
	return 1.2 * all[len(all)/2]
}

// sharpEdges returns the edges that turn by more than an angle, those beside
// slivers left out, whose normals say nothing of the surface.
func sharpEdges(t *mesh.Topology, angle float64) (out []int32) {
	const sliver = 0.01
	for e := range t.Edges {
		faces := t.EdgeFaces(e)
		if len(faces) != 2 || math.Abs(t.Turning(e)) <= angle {
			continue
		}
		a, b := t.Mesh.FaceArea(int(faces[0])), t.Mesh.FaceArea(int(faces[1]))
		if min(a, b) > sliver*max(a, b) {
			out = append(out, int32(e))
		}
	}
	return out
}

// skipSharp leaves out vertices within two rings of a sharp edge, where a fit
// reads the edge as a bend of its own reach.
func (s *Surface) skipSharp() {
	near := make([]int8, len(s.Top.Mesh.Vertices))
	for _, e := range s.Sharp {
		ends := s.Top.Edges[e]
		near[ends[0]], near[ends[1]] = 2, 2
	}
	for ring := int8(2); ring > 0; ring-- {
		for _, ends := range s.Top.Edges {
			a, b := ends[0], ends[1]
			if near[a] == ring && near[b] < ring-1 {
				near[b] = ring - 1
			}
			if near[b] == ring && near[a] < ring-1 {
				near[a] = ring - 1
			}
		}
	}
	for v, n := range near {
		s.Skip[v] = s.Skip[v] || n > 0
	}
}

func (s *Surface) middle(v int, of func(int) float64) float64 {
	if s.Skip[v] {
		return 0
	}
	near := []float64{of(v)}
	for _, e := range s.Top.VertexEdges(v) {
		if w := s.Top.Other(int(e), v); !s.Skip[w] {
			near = append(near, of(w))
		}
	}
	slices.Sort(near)
	return (near[(len(near)-1)/2] + near[len(near)/2]) / 2
}
