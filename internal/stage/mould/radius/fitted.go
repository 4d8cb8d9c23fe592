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
	stands    = 12.0 // a fit stands for vertices within that part of the radius looked for
)

// Fitted reads the curvature off a mesh of which nothing else is known. A hollow of
// the radius looked for should come out within a tenth in spite of the noise σ of
// the vertices: a fit over a reach R with n vertices reads a curvature to about
//
//	δκ = 12·σ/(R²·√n),  n = 3.6·(R/e)² vertices of triangles with sides e
//
// so that R = (63·σ·e·r)^⅓ is enough; but no more than r. Where sides are finer than
// that, not every vertex is fitted, and one stands for those round it. What a single
// fit says is replaced by the middle one of it and those beside it. Vertices at the
// rim and near to sharp edges are left out. An edge that turns by more than sharp,
// rad, is one of the shape.
//
// Source: propagation of errors through a least-squares parabola, worked out here;
// the factor is tested on noisy cylinders.
func Fitted(t *mesh.Topology, look, sharp float64) (Surface, Fit) {
	e := t.Mesh.MeanEdge()
	σ := noise(t)
	reach := max(2*e, min(math.Cbrt(63*σ*e*look), mostSides*e, look))
	s := Surface{Top: t, Normals: t.Mesh.VertexNormals(), Sharp: t.SharpEdges(sharp), Skip: t.RimVertices()}
	s.skipSharp()
	radius, apart := reach, max(reach/2, look/stands)
	if reach == 2*e {
		radius, apart = 0, look/stands // two rings, however long their sides
	}
	s.fit(cover(t, apart), radius)
	return s, Fit{Reach: si.Length(reach), Noise: si.Length(σ), Doubt: si.Curvature(6.3 * σ * e / (reach * reach * reach))}
}

// fit takes each vertex's curvature from the fit at its owner.
func (s *Surface) fit(owner []int32, radius float64) {
	var at []int32
	index := make([]int32, len(owner))
	for v, o := range owner {
		if int(o) == v {
			index[v] = int32(len(at))
			at = append(at, o)
		}
	}
	bends := s.Top.BendsAt(at, radius)
	beside := make([][]int32, len(at))
	told := func(v int32) bool { return bends[index[owner[v]]].OK && !s.Skip[owner[v]] }
	for _, ends := range s.Top.Edges {
		if a, b := index[owner[ends[0]]], index[owner[ends[1]]]; a != b && told(ends[0]) && told(ends[1]) {
			beside[a], beside[b] = append(beside[a], b), append(beside[b], a)
		}
	}
	low, high := make([]float64, len(at)), make([]float64, len(at))
	for i := range at {
		low[i] = middle(int32(i), beside[i], func(k int32) float64 { return bends[k].Min })
		high[i] = middle(int32(i), beside[i], func(k int32) float64 { return bends[k].Max })
	}
	n := len(owner)
	s.Low, s.High = make([]float64, n), make([]float64, n)
	s.LowDir, s.HighDir = make([]r3.Vec, n), make([]r3.Vec, n)
	for v := range owner {
		if s.Skip[v] = s.Skip[v] || !told(int32(v)); s.Skip[v] {
			continue
		}
		i := index[owner[v]]
		s.Low[v], s.High[v], s.LowDir[v], s.HighDir[v] = low[i], high[i], bends[i].MinDir, bends[i].MaxDir
	}
}

// cover gives each vertex an owner within a distance, along edges: itself, where
// none that came before is as near.
func cover(t *mesh.Topology, within float64) []int32 {
	owner := make([]int32, len(t.Mesh.Vertices))
	for v := range owner {
		owner[v] = -1
	}
	var list []int32
	for v := range owner {
		if owner[v] >= 0 {
			continue
		}
		owner[v] = int32(v)
		list = append(list[:0], int32(v))
		for i := 0; i < len(list); i++ {
			for _, e := range t.VertexEdges(int(list[i])) {
				w := t.Other(int(e), int(list[i]))
				if owner[w] < 0 && r3.Norm(r3.Sub(t.Mesh.Vertices[w], t.Mesh.Vertices[v])) < within {
					owner[w] = int32(v)
					list = append(list, int32(w))
				}
			}
		}
	}
	return owner
}

// noise is the middle of the fits' residuals over two rings, at a sample of the
// vertices, made good for the six numbers that a fit to some 19 takes out of them.
func noise(t *mesh.Topology) float64 {
	const sample = 3000
	n := len(t.Mesh.Vertices)
	var at []int32
	for v := 0; v < n; v += 1 + n/sample {
		at = append(at, int32(v))
	}
	var all []float64
	for _, b := range t.BendsAt(at, 0) {
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

// middle is the median of a fit and those beside it; of an even number the mean of
// the two in the middle.
func middle(i int32, beside []int32, of func(int32) float64) float64 {
	near := []float64{of(i)}
	seen := slices.Clone(beside)
	slices.Sort(seen)
	for _, k := range slices.Compact(seen) {
		near = append(near, of(k))
	}
	slices.Sort(near)
	return (near[(len(near)-1)/2] + near[len(near)/2]) / 2
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
