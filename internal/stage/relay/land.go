package relay

import (
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// land is the surface that cloth is put back on. A place in a triangle of it is
// given by the weights of the triangle's second and third corner, so that the
// triangle is the corner of the unit square below its diagonal.
type land struct {
	*mesh.Topology
	face []frame
	area float64
	edge float64 // mean side

	once    sync.Once
	locator *mesh.Locator
}

// frame takes places to weights: x gives (x−at)·rate[0] and (x−at)·rate[1].
type frame struct {
	at     r3.Vec
	rate   [2]r3.Vec
	normal r3.Vec
	area   float64
}

// unitTriangle is every triangle of the land in its own weights.
var unitTriangle = [3]r2.Vec{{}, {X: 1}, {Y: 1}}

func newLand(top *mesh.Topology) *land {
	l := &land{Topology: top, face: make([]frame, len(top.Mesh.Triangles)), edge: top.Mesh.MeanEdge()}
	for f := range l.face {
		l.face[f] = frameOf(top.Mesh.Corners(f))
		l.area += l.face[f].area
	}
	return l
}

func frameOf(a, b, c r3.Vec) frame {
	ab, ac := r3.Sub(b, a), r3.Sub(c, a)
	n := r3.Cross(ab, ac)
	s := r3.Norm2(n)
	out := frame{at: a, area: math.Sqrt(s) / 2}
	if s > 0 {
		out.rate = [2]r3.Vec{r3.Scale(1/s, r3.Cross(ac, n)), r3.Scale(1/s, r3.Cross(n, ab))}
		out.normal = r3.Scale(1/math.Sqrt(s), n)
	}
	return out
}

// weights returns the weights of the second and third corner at the foot of x in
// the triangle's plane.
func (f *frame) weights(x r3.Vec) r2.Vec {
	d := r3.Sub(x, f.at)
	return r2.Vec{X: r3.Dot(d, f.rate[0]), Y: r3.Dot(d, f.rate[1])}
}

// off returns how far x stands off the triangle's plane.
func (f *frame) off(x r3.Vec) float64 { return math.Abs(r3.Dot(r3.Sub(x, f.at), f.normal)) }

// inside is the least of the three weights.
func inside(w r2.Vec) float64 { return min(w.X, w.Y, 1-w.X-w.Y) }

func point(f int32, w r2.Vec) mesh.Point {
	return mesh.Point{Face: int(f), Bary: [3]float64{1 - w.X - w.Y, w.X, w.Y}}
}

func weightsOf(p mesh.Point) r2.Vec { return r2.Vec{X: p.Bary[1], Y: p.Bary[2]} }

func (l *land) place(f int32, w r2.Vec) r3.Vec { return l.Mesh.At(point(f, w)) }

// homes returns for each triangle of a piece's ground the triangle of the surface
// that it lies in.
func (l *land) homes(p *Piece) []int32 {
	m := p.Top.Mesh
	out := make([]int32, len(m.Triangles))
	for g, t := range m.Triangles {
		var corner [3]int32
		for k, v := range t {
			corner[k] = l.number(p, v)
		}
		out[g] = l.home(m.Centroid(g), corner)
	}
	return out
}

// number returns the surface's number of a vertex of a piece's ground, −1 where
// it has none.
func (l *land) number(p *Piece, v int32) int32 {
	if p.Patch {
		return -1
	}
	if p.Vertices != nil {
		return p.Vertices[v]
	}
	return p.From[v]
}

// home finds the triangle of the surface round a place, at one of the vertices
// given if any is.
func (l *land) home(at r3.Vec, corner [3]int32) int32 {
	best, out := math.Inf(-1), int32(-1)
	for k, v := range corner {
		if v < 0 {
			continue
		}
		for _, f := range l.VertexFaces(int(v)) {
			t := l.Mesh.Triangles[f]
			a, b := corner[(k+1)%3], corner[(k+2)%3]
			if a >= 0 && b >= 0 && slices.Contains(t[:], a) && slices.Contains(t[:], b) {
				return f
			}
			fr := &l.face[f]
			if fits := inside(fr.weights(at)) - 10*fr.off(at)/l.edge; fits > best {
				best, out = fits, f
			}
		}
	}
	if best > -1e-6 {
		return out
	}
	l.once.Do(func() { l.locator = mesh.NewLocator(l.Mesh) })
	hit, _ := l.locator.Closest(at)
	return int32(hit.Face)
}
