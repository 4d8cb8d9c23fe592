package release

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
)

// side tells what moves: the part off the mould, or the mould out of the part.
type side float64

const (
	partMoves  side = 1
	mouldMoves side = -1
)

// surface is the part on its mould, ready to be asked.
type surface struct {
	in     Input
	part   *mesh.Mesh
	middle []r3.Vec
	normal []r3.Vec // to the free side at the middle of each triangle
	area   []float64
	total  float64
	span   float64       // the diagonal of part and mould, m
	off    float64       // see slack
	onBody *mesh.Locator // the mould's face
	onPart *mesh.Locator
}

// Lean and slack of what counts as free.
var (
	// A face that leans back by less than this is taken for upright: rounding and
	// facets of a vertical wall are no undercut.
	lean    = 0.1 * math.Pi / 180
	sinLean = math.Sin(lean)
)

const (
	leastSlack = 5e-5 // m: less than a sheet of paper hooks on nothing
	upright    = 0.01 // sine of the draft, about 0.6 deg, below which a wall counts as upright
	smooth     = 30 * math.Pi / 180
)

func newSurface(in Input, t *mesh.Topology) *surface {
	s := &surface{in: in, part: in.Part}
	if s.in.Normal == nil {
		s.in.Normal = smoothNormals(t)
	}
	if in.Body == nil {
		s.in.Body = in.Part
	}
	n := len(in.Part.Triangles)
	s.middle, s.normal, s.area = make([]r3.Vec, n), make([]r3.Vec, n), make([]float64, n)
	each(n, func(f int) {
		s.middle[f] = in.Part.Centroid(f)
		s.normal[f] = s.in.Normal(f, s.middle[f])
		s.area[f] = in.Part.FaceArea(f)
	})
	for _, a := range s.area {
		s.total += a
	}
	s.span = max(in.Part.Diagonal(), s.in.Body.Diagonal())
	s.off = max(slack(t), in.Chord)
	s.onPart = mesh.NewLocator(in.Part)
	s.onBody = s.onPart
	if s.in.Body != in.Part {
		s.onBody = mesh.NewLocator(s.in.Body)
	}
	return s
}

// slack is how far off the surface a place is set before it is moved: as much as
// facets stand off the smooth surface that they stand for, so that none hooks on
// its neighbour. An edge of length l over which the surface turns by φ stands off
// by about l·φ/8.
func slack(t *mesh.Topology) float64 {
	var sum, weight float64
	for e := range t.Edges {
		if φ := math.Abs(t.Turning(e)); φ < smooth {
			l := t.EdgeLength(e)
			sum, weight = sum+l*l*φ/8, weight+l
		}
	}
	if weight == 0 {
		return leastSlack
	}
	return max(leastSlack, 2*sum/weight)
}

// smoothNormals returns the normal at a place of a mesh: that of its corners, each
// the mean of the triangles round it that turn less than smooth from the one
// asked about.
func smoothNormals(t *mesh.Topology) func(f int, p r3.Vec) r3.Vec {
	m := t.Mesh
	face := m.FaceNormals()
	corner := make([][3]r3.Vec, len(face))
	least := math.Cos(smooth)
	each(len(face), func(f int) {
		for k, v := range m.Triangles[f] {
			for _, g := range t.VertexFaces(int(v)) {
				if r3.Dot(face[f], face[g]) > least {
					corner[f][k] = r3.Add(corner[f][k], m.AreaVector(int(g)))
				}
			}
			corner[f][k] = unitOr(corner[f][k], face[f])
		}
	})
	return func(f int, p r3.Vec) r3.Vec {
		a, b, c := m.Corners(f)
		n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
		whole := r3.Norm2(n)
		if whole == 0 {
			return face[f]
		}
		u := r3.Dot(r3.Cross(r3.Sub(b, p), r3.Sub(c, p)), n) / whole
		v := r3.Dot(r3.Cross(r3.Sub(c, p), r3.Sub(a, p)), n) / whole
		sum := r3.Add(r3.Scale(u, corner[f][0]), r3.Add(r3.Scale(v, corner[f][1]), r3.Scale(1-u-v, corner[f][2])))
		return unitOr(sum, face[f])
	}
}

func unitOr(v, or r3.Vec) r3.Vec {
	if n := r3.Norm(v); n > 0 {
		return r3.Scale(1/n, v)
	}
	return or
}

// blocked tells whether what moves from a place with normal n meets what stands
// still when the part is pulled along e, as seen from the mould. A wall that
// leans back is inside the mould at once; any other place is followed along its
// way, which on an upright wall turns off the surface by the lean that is allowed.
func (s *surface) blocked(moves side, p, n, e r3.Vec) bool {
	sine := r3.Dot(n, e)
	if sine < -sinLean {
		return true
	}
	way := e
	if sine < upright {
		way = r3.Add(e, r3.Scale(sinLean, n))
	}
	return s.meets(moves, r3.Add(p, r3.Scale(float64(moves)*s.off, n)), r3.Scale(float64(moves), way))
}

// meets tells whether a way from a place meets what stands still.
func (s *surface) meets(moves side, from, way r3.Vec) bool {
	still := s.onBody
	if moves == mouldMoves {
		still = s.onPart
	}
	return still.Meets(from, way, 0)
}
