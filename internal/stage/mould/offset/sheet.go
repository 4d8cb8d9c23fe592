package offset

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
)

// Face is a face that stands off another one.
type Face struct {
	Mesh    *mesh.Mesh // vertices and triangles numbered as the first face's
	Height  []float64  // of each vertex, m: as asked, or less where there was no room
	Hollows []Hollow   // where the first face is tighter than the height
	Cut     int        // vertices whose height had to be cut
}

// Hollow is a place where a face is hollow, seen from the side it is moved to, by
// less than the height that it is moved.
type Hollow struct {
	At     r3.Vec
	Radius float64 // m; 0 for a sharp edge
	Height float64 // m, that was asked for there
}

// Sheet moves a face of triangles by a height for each vertex, out along its
// normals where that is positive.
//
// A vertex goes to where the parallels of the triangles round it meet: the
// least-norm x of
//
//	min Σ wᵢ (nᵢ·x − h)²     wᵢ: the angle of triangle i at the vertex
//
// On a flat that is h along the normal, at an edge or corner of a block the
// edge or corner of the larger block, and on a ball right to second order in
// the triangles' size. Where that would fold triangles or run them through each
// other, the height is cut there until it does not.
func Sheet(m *mesh.Mesh, height []float64) (Face, error) {
	if len(height) != len(m.Vertices) {
		return Face{}, fmt.Errorf("%d heights for %d vertices", len(height), len(m.Vertices))
	}
	t, err := mesh.NewTopology(m)
	if err != nil {
		return Face{}, err
	}
	s := sheet{t, m.FaceNormals(), make([]r3.Vec, len(m.Vertices))}
	for v := range s.way {
		s.way[v] = s.wayOf(v)
	}
	f := Face{Height: append([]float64(nil), height...)}
	f.Hollows = s.hollows(height)
	for range mostCuts {
		f.Mesh = s.moved(f.Height)
		bad := s.bad(f.Mesh)
		if len(bad) == 0 {
			f.Cut = count(height, f.Height)
			return f, nil
		}
		s.cut(f.Height, height, bad)
	}
	return Face{}, &fault.NoSolution{What: "a face moved by its heights that does not fold", Steps: mostCuts,
		Residual: float64(len(s.bad(f.Mesh))), Do: "fill the tightest hollows first"}
}

// How the heights are cut where triangles fold: by a fifth each time at the
// triangle's corners, with a slope round them.
const (
	mostCuts = 60
	cutBy    = 0.8
	slope    = 0.5
)

type sheet struct {
	t    *mesh.Topology
	face []r3.Vec // normals
	way  []r3.Vec // of each vertex, for a height of 1 m
}

// flatShare is the share of the largest eigenvalue below which the normals round
// a vertex do not tell a direction: they turn by less than some 3 deg in it.
const flatShare = 1e-3

// wayOf solves for the way of a vertex.
func (s *sheet) wayOf(v int) (way r3.Vec) {
	a := mat.NewSymDense(3, nil)
	var b [3]float64
	for _, f := range s.t.VertexFaces(v) {
		n, w := s.face[f], s.angle(int(f), v)
		c := [3]float64{n.X, n.Y, n.Z}
		for i := range 3 {
			b[i] += w * c[i]
			for j := i; j < 3; j++ {
				a.SetSym(i, j, a.At(i, j)+w*c[i]*c[j])
			}
		}
	}
	var e mat.EigenSym
	if !e.Factorize(a, true) {
		return way
	}
	values := e.Values(nil)
	var q mat.Dense
	e.VectorsTo(&q)
	for k, λ := range values {
		if !(λ > flatShare*values[2]) {
			continue
		}
		u := r3.Vec{X: q.At(0, k), Y: q.At(1, k), Z: q.At(2, k)}
		way = r3.Add(way, r3.Scale((b[0]*u.X+b[1]*u.Y+b[2]*u.Z)/λ, u))
	}
	return way
}

func (s *sheet) angle(f, v int) float64 {
	for k, w := range s.t.Mesh.Triangles[f] {
		if int(w) == v {
			return s.t.Mesh.Angles(f)[k]
		}
	}
	return 0
}

func (s *sheet) moved(height []float64) *mesh.Mesh {
	m := s.t.Mesh.Clone()
	for v, h := range height {
		m.Vertices[v] = r3.Add(m.Vertices[v], r3.Scale(h, s.way[v]))
	}
	return m
}

// upright is the least cosine between a triangle and what became of it.
const upright = 0.3

// bad lists triangles that are folded or run through others.
func (s *sheet) bad(m *mesh.Mesh) (bad []int32) {
	for f := range m.Triangles {
		if r3.Dot(m.FaceNormal(f), s.face[f]) < upright && s.face[f] != (r3.Vec{}) {
			bad = append(bad, int32(f))
		}
	}
	if len(bad) > 0 {
		return bad
	}
	for _, two := range mesh.NewLocator(m).SelfCrossings(len(m.Triangles)) {
		bad = append(bad, two[0], two[1])
	}
	return bad
}

// cut lowers the heights at bad triangles, and what is round them so that the
// face rises from there by no more than slope, or by what was asked for.
func (s *sheet) cut(height, asked []float64, bad []int32) {
	var queue []int
	queued := make([]bool, len(height))
	for _, f := range bad {
		for _, v := range s.t.Mesh.Triangles[f] {
			if !queued[v] {
				queued[v] = true
				height[v] *= cutBy
				queue = append(queue, int(v))
			}
		}
	}
	for len(queue) > 0 {
		v := queue[0]
		queue, queued[v] = queue[1:], false
		for _, e := range s.t.VertexEdges(v) {
			w := s.t.Other(int(e), v)
			rise := max(slope*r3.Norm(r3.Sub(s.t.Mesh.Vertices[w], s.t.Mesh.Vertices[v])), math.Abs(asked[w])-math.Abs(asked[v]))
			if most := math.Abs(height[v]) + rise; math.Abs(height[w]) > most*(1+1e-9) {
				height[w] = math.Copysign(most, asked[w])
				if !queued[w] {
					queued[w] = true
					queue = append(queue, w)
				}
			}
		}
	}
}

func count(a, b []float64) (n int) {
	for v := range a {
		if a[v] != b[v] {
			n++
		}
	}
	return n
}

// How a hollow is told: sharp where two triangles turn by more than 40 deg, and
// otherwise tighter than the height by more than the fit's own error.
const (
	sharpTurn = 40 * math.Pi / 180
	tighter   = 1.02
)

// hollows finds the places that are tighter than the height, one for each piece
// of the surface that hangs together.
func (s *sheet) hollows(height []float64) (out []Hollow) {
	radius := s.radii(height)
	seen := make([]bool, len(radius))
	for first := range radius {
		if seen[first] || math.IsInf(radius[first], 1) {
			continue
		}
		seen[first] = true
		worst := first
		for stack := []int{first}; len(stack) > 0; {
			v := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			if radius[v] < radius[worst] {
				worst = v
			}
			for _, e := range s.t.VertexEdges(v) {
				if w := s.t.Other(int(e), v); !seen[w] && !math.IsInf(radius[w], 1) {
					seen[w] = true
					stack = append(stack, w)
				}
			}
		}
		out = append(out, Hollow{s.t.Mesh.Vertices[worst], radius[worst], math.Abs(height[worst])})
	}
	return out
}

// radii returns the radius of each vertex that is tighter than its height, and
// infinity elsewhere.
func (s *sheet) radii(height []float64) []float64 {
	radius := make([]float64, len(height))
	rim := s.t.RimVertices()
	for v, b := range s.t.Bends(0) {
		radius[v] = math.Inf(1)
		κ := -b.Min
		if height[v] < 0 {
			κ = b.Max
		}
		if b.OK && !rim[v] && κ*math.Abs(height[v]) > tighter {
			radius[v] = 1 / κ
		}
	}
	for e, ends := range s.t.Edges {
		turn := s.t.Turning(e)
		for _, v := range ends {
			if height[v] > 0 && turn < -sharpTurn || height[v] < 0 && turn > sharpTurn {
				radius[v] = 0
			}
		}
	}
	return radius
}
