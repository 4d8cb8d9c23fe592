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
// the last cell of the net; a rim where a strip would fold gets a narrower one,
// or none.
func skirted(t *mesh.Topology) (*mesh.Topology, error) {
	m := t.Mesh.Clone()
	width := skirtWidth * m.MeanEdge()
	for _, loop := range t.RimLoops() {
		away := outward(t, loop)
		for share := 1.0; share > 0.1; share /= 2 {
			if strip, ok := stripOf(t, loop, away, share*width, int32(len(m.Vertices))); ok {
				m.Vertices = append(m.Vertices, strip.Vertices...)
				m.Triangles = append(m.Triangles, strip.Triangles...)
				break
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

// stripOf makes the strip of a rim; first is the number of its first vertex.
// False where a triangle of it would lie the other way round from the rim
// triangle that it hangs on.
func stripOf(t *mesh.Topology, loop []int32, away []r3.Vec, width float64, first int32) (*mesh.Mesh, bool) {
	n := len(loop)
	out := &mesh.Mesh{}
	for i, h := range loop {
		out.Vertices = append(out.Vertices, r3.Add(t.Mesh.Vertices[t.From(int(h))], r3.Scale(width, away[i])))
	}
	for i, h := range loop {
		j := (i + 1) % n
		a, b, c, d := t.From(int(h)), t.To(int(h)), first+int32(j), first+int32(i)
		pa, pb, pc, pd := t.Mesh.Vertices[a], t.Mesh.Vertices[b], out.Vertices[j], out.Vertices[i]
		normal := t.Mesh.FaceNormal(int(h) / 3)
		for _, corner := range [][3]r3.Vec{{pb, pa, pd}, {pb, pd, pc}} {
			area := r3.Cross(r3.Sub(corner[1], corner[0]), r3.Sub(corner[2], corner[0]))
			if !(r3.Dot(area, normal) > 0.1*r3.Norm(area)) {
				return nil, false
			}
		}
		out.Triangles = append(out.Triangles, [3]int32{b, a, d}, [3]int32{b, d, c})
	}
	return out, true
}
