package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// AngleDefects returns for each vertex the Gaussian curvature integrated over
// its surroundings, rad: at an inner vertex what its angles lack to a full
// turn, at the rim what they lack to half a turn, which is how far the rim
// turns there.
//
//	defect = 2π − π·(edges − triangles at the vertex) − Σ angles
//
// Summed over all vertices in use it is 2π times the Euler characteristic, for
// every mesh, whatever its shape (Gauss and Bonnet). A vertex without triangles
// has 0.
func (t *Topology) AngleDefects() []float64 {
	defects := make([]float64, len(t.Mesh.Vertices))
	for v := range defects {
		faces := len(t.VertexFaces(v))
		if faces > 0 {
			defects[v] = 2*math.Pi - math.Pi*float64(len(t.VertexEdges(v))-faces)
		}
	}
	for f, tri := range t.Mesh.Triangles {
		for k, a := range t.Mesh.Angles(f) {
			defects[tri[k]] -= a
		}
	}
	return defects
}

// Turning returns the angle by which the surface bends at edge e, rad: positive
// where it bulges outwards, negative in a hollow, 0 where it is flat or the edge
// is not between two triangles that agree.
func (t *Topology) Turning(e int) float64 {
	h := t.firstHalf(e)
	g := t.Twin[h]
	if g < 0 {
		return 0
	}
	m := t.Mesh
	n, o := m.FaceNormal(h/3), m.FaceNormal(int(g)/3)
	along := unit(r3.Sub(m.Vertices[t.To(h)], m.Vertices[t.From(h)]))
	return math.Atan2(r3.Dot(along, r3.Cross(n, o)), r3.Dot(n, o))
}

func (t *Topology) firstHalf(e int) int { return t.halfEdge(int(t.EdgeFaces(e)[0]), e) }

// SharpEdges returns the edges at which the surface bends by more than the angle,
// rad, either way: edges that cloth can't follow whatever its radius, where the
// file shows no fillet. A fillet drawn with few facets bends by 45 deg at most.
// Edges beside a sliver are left out: its normal says nothing of the surface.
func (t *Topology) SharpEdges(angle float64) []int32 {
	const sliver = 0.01 // height over the edge as a share of its neighbour's
	var found []int32
	near := math.Cos(angle) + 1e-9
	for e := range t.Edges {
		if t.bendsLess(e, near) || math.Abs(t.Turning(e)) <= angle {
			continue
		}
		faces := t.EdgeFaces(e)
		a, b := t.Mesh.FaceArea(int(faces[0])), t.Mesh.FaceArea(int(faces[1]))
		if math.Min(a, b) > sliver*math.Max(a, b) {
			found = append(found, int32(e))
		}
	}
	return found
}

// bendsLess tells without roots that the cosine of the turn at e is larger than a
// positive one.
func (t *Topology) bendsLess(e int, cosine float64) bool {
	faces := t.EdgeFaces(e)
	if len(faces) != 2 {
		return false
	}
	a, b := t.Mesh.AreaVector(int(faces[0])), t.Mesh.AreaVector(int(faces[1]))
	c := r3.Dot(a, b)
	return cosine > 0 && c > 0 && c*c > cosine*cosine*r3.Norm2(a)*r3.Norm2(b)
}

// Bend is the curvature of the surface at a vertex, 1/m: positive where it
// bulges outwards, negative where it is hollow seen from outside.
type Bend struct {
	Max, Min float64 // principal curvatures, Max ≥ Min
	MaxDir   r3.Vec  // unit vector in which it bends by Max; MinDir stands across it
	MinDir   r3.Vec
	Residual float64 // root mean square distance of the points from the fit, m
	OK       bool    // false where too few points lie round the vertex to tell
}

// Mean returns the mean curvature, 1/m.
func (b Bend) Mean() float64 { return (b.Max + b.Min) / 2 }

// Gauss returns the Gaussian curvature, 1/m².
func (b Bend) Gauss() float64 { return b.Max * b.Min }

// Bends returns the curvature at every vertex: that of the quadric fitted to
// the vertices which hang together with it within the radius, m, or, where
// these are few or the radius is 0, to two rings of neighbours.
//
//	z = z₀ + p·x + q·y + ½k(a·x² + 2b·xy + c·y²)    k = d²/(x² + y²)
//
// with weights (1 − d²/R²)² in a frame whose z axis is the vertex normal, d being
// the distance; curvature from the first and second fundamental forms at the
// origin. The factor k turns the parabola of each direction into a circle, so
// that spheres and fillets come out right however far the fit reaches. The error
// falls with the square of the radius on smooth surfaces. It smooths over the radius: a crease comes out
// as a bend of about that radius, and at a fillet's end it reads a mean of both
// sides. A surface in few large triangles must be refined first (see Refine),
// and the radius must reach over several of its facets.
//
// Source: [goldfeather2004] for the fit in the tangent frame.
func (t *Topology) Bends(radius float64) []Bend {
	all := make([]int32, len(t.Mesh.Vertices))
	for v := range all {
		all[v] = int32(v)
	}
	return t.BendsAt(all, radius)
}
