package drape

import (
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// skirtWidth is the width of the strip beyond the rim, in mean sides of a
// triangle: room for the net to end in, so that it is whole on the part itself.
const skirtWidth = 3

// skirted returns the mesh with a strip along its rims that goes on in the plane
// of each rim triangle. The part's own vertices and triangles keep their
// numbers. What the cloth does on the part does not depend on the strip but for
// the last cell of the net. Where the strip would fold, as at the tip of a slit,
// it is narrower, or has a gap.
func skirted(t *mesh.Topology) (*mesh.Topology, error) {
	m := t.Mesh.Clone()
	width := skirtWidth * m.MeanEdge()
	for _, loop := range t.RimLoops() {
		strip := stripOf(t, loop, width)
		number := make([]int32, len(loop)) // of the strip's vertices in the mesh; 0: not used
		at := func(i int) int32 {
			if number[i] == 0 {
				number[i] = int32(len(m.Vertices))
				m.Vertices = append(m.Vertices, strip[i])
			}
			return number[i]
		}
		for i, h := range loop {
			j := (i + 1) % len(loop)
			if a, b := int32(t.From(int(h))), int32(t.To(int(h))); hangs(t, h, strip[i], strip[j]) {
				m.Triangles = append(m.Triangles, [3]int32{b, a, at(i)}, [3]int32{b, at(i), at(j)})
			}
		}
	}
	return mesh.NewTopology(m)
}

// outward returns at each vertex of a rim the vector out of the surface that
// moves both sides there by one.
func outward(t *mesh.Topology, loop []int32) []r3.Vec {
	n := len(loop)
	side := make([]r3.Vec, n)
	for i, h := range loop {
		e := r3.Sub(t.Mesh.Vertices[t.To(int(h))], t.Mesh.Vertices[t.From(int(h))])
		side[i] = level(r3.Cross(e, t.Mesh.FaceNormal(int(h)/3)), e)
	}
	out := make([]r3.Vec, n)
	for i := range out {
		a, b := side[(i+n-1)%n], side[i]
		// (a + b)/(1 + a·b) has length 1 along both; held short where the rim turns back
		out[i] = r3.Scale(1/max(0.5, 1+r3.Dot(a, b)), r3.Add(a, b))
	}
	return out
}

// narrowings is how often a strip is halved in width where it would fold; a
// triangle of it with less than half of thinStrip of the rim side's square is none.
const (
	narrowings = 3
	thinStrip  = 1e-3
)

// stripOf returns the outer vertices of a rim's strip.
func stripOf(t *mesh.Topology, loop []int32, width float64) []r3.Vec {
	n := len(loop)
	away := outward(t, loop)
	share, out := make([]float64, n), make([]r3.Vec, n)
	for i := range share {
		share[i] = 1
	}
	for range narrowings + 1 {
		for i, h := range loop {
			out[i] = r3.Add(t.Mesh.Vertices[t.From(int(h))], r3.Scale(share[i]*width, away[i]))
		}
		less := make([]bool, n)
		for i, h := range loop {
			if j := (i + 1) % n; !hangs(t, h, out[i], out[j]) {
				less[i], less[j] = true, true
			}
		}
		for i, is := range less {
			if is {
				share[i] /= 2
			}
		}
	}
	return out
}

// hangs tells whether both triangles of the strip beyond rim half-edge h, with
// outer vertices d by its start and c by its end, lie the same way round as the
// rim triangle that they hang on.
func hangs(t *mesh.Topology, h int32, d, c r3.Vec) bool {
	a, b := t.Mesh.Vertices[t.From(int(h))], t.Mesh.Vertices[t.To(int(h))]
	normal, side := t.Mesh.FaceNormal(int(h)/3), r3.Norm2(r3.Sub(b, a))
	for _, corner := range [][3]r3.Vec{{b, a, d}, {b, d, c}} {
		area := r3.Cross(r3.Sub(corner[1], corner[0]), r3.Sub(corner[2], corner[0]))
		if !(r3.Dot(area, normal) > max(0.1*length(area), thinStrip*side)) {
			return false
		}
	}
	return true
}
