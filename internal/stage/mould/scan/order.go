package scan

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// A mesh of so many triangles whose neighbours in the file lie so far apart, as a
// share of the vertices, is put in order first: memory is slow where every look
// goes somewhere else.
const (
	manyTriangles = 50_000
	farApart      = 0.02
)

// ordered returns a mesh with vertices and triangles in the order of the places
// along a curve that fills the box, if they are many and in no order as they come. It is the same
// surface.
func ordered(m *mesh.Mesh) *mesh.Mesh {
	if len(m.Triangles) < manyTriangles || !scattered(m) {
		return m
	}
	box := m.Bounds()
	long := max(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y, box.Max.Z-box.Min.Z)
	if !(long > 0) || math.IsInf(long, 0) {
		return m
	}
	const cells = 1<<10 - 1
	keys := make([]uint64, len(m.Vertices))
	for v, p := range m.Vertices {
		at := func(x, low float64) uint64 { return spread(uint64(max(0, min(cells, (x-low)/long*cells)))) }
		keys[v] = (at(p.X, box.Min.X)|at(p.Y, box.Min.Y)<<1|at(p.Z, box.Min.Z)<<2)<<32 | uint64(v)
	}
	slices.Sort(keys)
	out := &mesh.Mesh{Vertices: make([]r3.Vec, 0, len(m.Vertices)), Triangles: make([][3]int32, 0, len(m.Triangles))}
	now := make([]int32, len(keys))
	for i, k := range keys {
		now[uint32(k)] = int32(i)
		out.Vertices = append(out.Vertices, m.Vertices[uint32(k)])
	}
	keys = make([]uint64, 0, len(m.Triangles))
	for f, t := range m.Triangles {
		keys = append(keys, uint64(min(now[t[0]], now[t[1]], now[t[2]]))<<32|uint64(f))
	}
	slices.Sort(keys)
	for _, k := range keys {
		t := m.Triangles[uint32(k)]
		out.Triangles = append(out.Triangles, [3]int32{now[t[0]], now[t[1]], now[t[2]]})
	}
	return out
}

func scattered(m *mesh.Mesh) bool {
	sum := 0.0
	for f, t := range m.Triangles {
		for _, v := range t {
			if v < 0 || int(v) >= len(m.Vertices) {
				return false // to be refused as it is
			}
		}
		if f > 0 {
			sum += math.Abs(float64(t[0] - m.Triangles[f-1][0]))
		}
	}
	return sum > farApart*float64(len(m.Triangles))*float64(len(m.Vertices))
}

// spread puts two empty bits after each of ten bits.
func spread(x uint64) uint64 {
	x = (x | x<<16) & 0x030000ff
	x = (x | x<<8) & 0x0300f00f
	x = (x | x<<4) & 0x030c30c3
	return (x | x<<2) & 0x09249249
}
