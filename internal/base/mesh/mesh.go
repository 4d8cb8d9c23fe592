// Package mesh answers what a triangle surface is like: its areas, normals,
// connectivity, curvature, rims, straightest lines and nearest points, from
// vertices in metres and triangles that index them.
//
// Triangles run counter-clockwise seen from outside. Corner k of triangle f is
// half-edge 3f+k, which runs from corner k to corner k+1. Nothing here changes
// a mesh that it was given; what makes another mesh returns it with the map
// from the new numbers to the old ones.
//
// It does not read files, hold materials or know what the surface is for.
package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Mesh is an indexed triangle surface in metres; triangles run
// counter-clockwise seen from outside.
type Mesh struct {
	Vertices  []r3.Vec
	Triangles [][3]int32
}

// Corners returns the three places of triangle f.
func (m *Mesh) Corners(f int) (a, b, c r3.Vec) {
	t := m.Triangles[f]
	return m.Vertices[t[0]], m.Vertices[t[1]], m.Vertices[t[2]]
}

// Clone returns a copy that shares nothing with m.
func (m *Mesh) Clone() *Mesh {
	return &Mesh{
		Vertices:  append([]r3.Vec(nil), m.Vertices...),
		Triangles: append([][3]int32(nil), m.Triangles...),
	}
}

// Flipped returns m turned inside out.
func (m *Mesh) Flipped() *Mesh {
	out := m.Clone()
	for f, t := range out.Triangles {
		out.Triangles[f] = [3]int32{t[0], t[2], t[1]}
	}
	return out
}

// Bounds returns the box round the vertices that triangles use, and a zero box
// for a mesh without triangles.
func (m *Mesh) Bounds() r3.Box {
	if len(m.Triangles) == 0 {
		return r3.Box{}
	}
	inf := math.Inf(1)
	b := r3.Box{Min: r3.Vec{X: inf, Y: inf, Z: inf}, Max: r3.Vec{X: -inf, Y: -inf, Z: -inf}}
	for _, t := range m.Triangles {
		for _, v := range t {
			b.Min = lower(b.Min, m.Vertices[v])
			b.Max = upper(b.Max, m.Vertices[v])
		}
	}
	return b
}

// Diagonal returns the length of the diagonal of the bounds, m.
func (m *Mesh) Diagonal() float64 {
	b := m.Bounds()
	return r3.Norm(r3.Sub(b.Max, b.Min))
}

func lower(a, b r3.Vec) r3.Vec {
	return r3.Vec{X: min(a.X, b.X), Y: min(a.Y, b.Y), Z: min(a.Z, b.Z)}
}

func upper(a, b r3.Vec) r3.Vec {
	return r3.Vec{X: max(a.X, b.X), Y: max(a.Y, b.Y), Z: max(a.Z, b.Z)}
}

// unit returns v at length 1, or a zero vector where v is zero.
func unit(v r3.Vec) r3.Vec {
	n := r3.Norm(v)
	if n == 0 {
		return r3.Vec{}
	}
	return r3.Scale(1/n, v)
}

// AreaVector returns half the cross product of two edges of triangle f: its
// length is the area, m², its direction the outward normal.
func (m *Mesh) AreaVector(f int) r3.Vec {
	a, b, c := m.Corners(f)
	return r3.Scale(0.5, r3.Cross(r3.Sub(b, a), r3.Sub(c, a)))
}

// FaceArea returns the area of triangle f, m².
func (m *Mesh) FaceArea(f int) float64 { return r3.Norm(m.AreaVector(f)) }

// FaceNormal returns the outward unit normal of triangle f, and a zero vector
// where the triangle has no area.
func (m *Mesh) FaceNormal(f int) r3.Vec { return unit(m.AreaVector(f)) }

// Centroid returns the middle of triangle f.
func (m *Mesh) Centroid(f int) r3.Vec {
	a, b, c := m.Corners(f)
	return r3.Scale(1.0/3, r3.Add(a, r3.Add(b, c)))
}

// Area returns the area of the surface, m².
func (m *Mesh) Area() float64 {
	var sum float64
	for f := range m.Triangles {
		sum += m.FaceArea(f)
	}
	return sum
}

// Volume returns the signed volume, m³, that a closed surface holds: positive
// where the triangles run counter-clockwise seen from outside.
//
//	V = 1/6 · Σ a·(b × c)    the divergence theorem with the field x/3
//
// It is summed about the middle of the bounds, so that a small part far from
// the origin loses no digits. On an open surface it is the volume of the cone
// from that middle over the surface, which depends on the place chosen.
func (m *Mesh) Volume() float64 {
	box := m.Bounds()
	o := r3.Scale(0.5, r3.Add(box.Min, box.Max))
	var sum float64
	for f := range m.Triangles {
		a, b, c := m.Corners(f)
		sum += r3.Dot(r3.Sub(a, o), r3.Cross(r3.Sub(b, o), r3.Sub(c, o)))
	}
	return sum / 6
}

// FaceAreas returns the area of every triangle, m².
func (m *Mesh) FaceAreas() []float64 {
	areas := make([]float64, len(m.Triangles))
	for f := range areas {
		areas[f] = m.FaceArea(f)
	}
	return areas
}

// FaceNormals returns the outward unit normal of every triangle.
func (m *Mesh) FaceNormals() []r3.Vec {
	normals := make([]r3.Vec, len(m.Triangles))
	for f := range normals {
		normals[f] = m.FaceNormal(f)
	}
	return normals
}

// VertexNormals returns the outward unit normal at every vertex: the normals of
// the triangles round it weighted by their angle there, so that the way a flat
// face is cut into triangles has no say. A vertex without triangles gets a zero
// vector.
//
// Source: [thuermer1998].
func (m *Mesh) VertexNormals() []r3.Vec {
	normals := make([]r3.Vec, len(m.Vertices))
	for f, t := range m.Triangles {
		n := m.FaceNormal(f)
		for k, angle := range m.Angles(f) {
			normals[t[k]] = r3.Add(normals[t[k]], r3.Scale(angle, n))
		}
	}
	for v := range normals {
		normals[v] = unit(normals[v])
	}
	return normals
}

// VertexAreas returns a third of the area of the triangles round each vertex,
// m²; they add up to the area of the surface.
func (m *Mesh) VertexAreas() []float64 {
	areas := make([]float64, len(m.Vertices))
	for f, t := range m.Triangles {
		third := m.FaceArea(f) / 3
		for _, v := range t {
			areas[v] += third
		}
	}
	return areas
}

// Fan closes a rim, walked with the surface on its left, by triangles round its
// middle, a new vertex. That is flat where the rim is.
func (m *Mesh) Fan(rim []int32) {
	var middle r3.Vec
	for _, v := range rim {
		middle = r3.Add(middle, r3.Scale(1/float64(len(rim)), m.Vertices[v]))
	}
	c := int32(len(m.Vertices))
	m.Vertices = append(m.Vertices, middle)
	for i, v := range rim {
		m.Triangles = append(m.Triangles, [3]int32{rim[(i+1)%len(rim)], v, c})
	}
}

// Angles returns the three corner angles of triangle f, rad.
func (m *Mesh) Angles(f int) [3]float64 {
	a, b, c := m.Corners(f)
	return [3]float64{angleBetween(r3.Sub(b, a), r3.Sub(c, a)),
		angleBetween(r3.Sub(c, b), r3.Sub(a, b)),
		angleBetween(r3.Sub(a, c), r3.Sub(b, c))}
}

// angleBetween is exact for nearly parallel vectors too, where the arc cosine
// of the scalar product loses half the digits.
func angleBetween(a, b r3.Vec) float64 {
	return math.Atan2(r3.Norm(r3.Cross(a, b)), r3.Dot(a, b))
}

// MeanEdge returns the mean length of the triangles' sides, m; an inner edge
// counts once for each of its two triangles. An empty mesh has 0.
func (m *Mesh) MeanEdge() float64 {
	if len(m.Triangles) == 0 {
		return 0
	}
	var sum float64
	for f := range m.Triangles {
		a, b, c := m.Corners(f)
		sum += r3.Norm(r3.Sub(b, a)) + r3.Norm(r3.Sub(c, b)) + r3.Norm(r3.Sub(a, c))
	}
	return sum / float64(3*len(m.Triangles))
}

// Quality returns how near triangle f is to equilateral: 1 for equilateral, 0
// for one without area.
//
//	q = 4·√3·A / (l₁² + l₂² + l₃²)
//
// Source: [bhatia1990].
func (m *Mesh) Quality(f int) float64 {
	a, b, c := m.Corners(f)
	sides := r3.Norm2(r3.Sub(b, a)) + r3.Norm2(r3.Sub(c, b)) + r3.Norm2(r3.Sub(a, c))
	if sides == 0 {
		return 0
	}
	return 4 * math.Sqrt(3) * m.FaceArea(f) / sides
}

// NearestVertex returns the vertex nearest to a place of those that qualify, −1
// where none does.
func (m *Mesh) NearestVertex(at r3.Vec, is func(v int) bool) int32 {
	best, out := math.Inf(1), int32(-1)
	for v, x := range m.Vertices {
		if d := r3.Norm2(r3.Sub(x, at)); d < best && is(v) {
			best, out = d, int32(v)
		}
	}
	return out
}
