package drape

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// A strip goes all round a plane with a slit, in the plane and the same way up,
// but for the two sides that meet at the slit's tip.
func TestSkirtOfASlitRim(t *testing.T) {
	const n = 20
	m := slit(graph(1, n, func(x, y float64) float64 { return -1 }), 0)
	whole := topologyOf(t, m)
	rims := len(whole.RimEdges())
	if rims <= 4*n {
		t.Fatalf("%d rim sides: no slit", rims)
	}
	wide, err := skirted(whole)
	if err != nil {
		t.Fatal(err)
	}
	strip := len(wide.Mesh.Triangles) - len(m.Triangles)
	if strip > 2*rims || strip < 2*(rims-4) {
		t.Errorf("%d triangles along %d sides", strip, rims)
	}
	for f := len(m.Triangles); f < len(wide.Mesh.Triangles); f++ {
		if up := wide.Mesh.FaceNormal(f); r3.Norm(r3.Sub(up, r3.Vec{Z: 1})) > 1e-9 || !(wide.Mesh.FaceArea(f) > 0) {
			t.Errorf("triangle %d of the strip looks along %v", f, up)
		}
	}
}

// The strip of a round rim goes on along the surface's slope: at a polar angle θ
// its outer vertices lie in the cone with that half-angle.
func TestSkirtGoesOnAlongTheSurface(t *testing.T) {
	m := dome(40, 1)
	wide, err := skirted(topologyOf(t, m))
	if err != nil {
		t.Fatal(err)
	}
	if len(wide.Mesh.Vertices) == len(m.Vertices) {
		t.Fatal("no strip")
	}
	for _, p := range wide.Mesh.Vertices[len(m.Vertices):] {
		r, along := math.Hypot(p.X, p.Y)-math.Sin(1), math.Cos(1)-p.Z
		if slope := math.Atan2(along, r); math.Abs(slope-1) > 0.05 {
			t.Errorf("the strip goes down at %.3f rad, want about 1", slope)
		}
	}
}
