package facet_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/facet"
	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
)

func topology(t *testing.T, m *mesh.Mesh) *mesh.Topology {
	t.Helper()
	top, err := mesh.NewTopology(m)
	if err != nil {
		t.Fatal(err)
	}
	return top
}

// A flat plate covered anew keeps its area, its corners and its one rim; sides come
// near what was wanted, coarser and finer than before.
func TestRecutPlate(t *testing.T) {
	m := shapes.Patch(20, 10, func(u, v float64) r3.Vec { return r3.Vec{X: 0.2 * u, Y: 0.1 * v} })
	for _, side := range []float64{4e-3, 16e-3} {
		out := facet.Recut(topology(t, m), facet.Goal{Side: side, Stray: 1e-9})
		top := topology(t, out)
		if math.Abs(out.Area()-0.02) > 1e-12 || len(top.RimLoops()) != 1 || len(top.BowTies())+len(top.FlippedEdges()) > 0 {
			t.Errorf("side %g: area %g, %d rims", side, out.Area(), len(top.RimLoops()))
		}
		if mean := out.MeanEdge(); mean < 0.75*side || mean > 1.25*side {
			t.Errorf("side %g: mean %g", side, mean)
		}
		for _, c := range []r3.Vec{{}, {X: 0.2}, {Y: 0.1}, {X: 0.2, Y: 0.1}} {
			if v := out.NearestVertex(c, func(int) bool { return true }); r3.Norm(r3.Sub(out.Vertices[v], c)) > 1e-15 {
				t.Errorf("side %g: the corner %v is gone", side, c)
			}
		}
	}
}

// With the rim held it keeps its vertices.
func TestRecutHoldsRim(t *testing.T) {
	m := shapes.Cap(0.1, 1, 12)
	top := topology(t, m)
	out := topology(t, facet.Recut(top, facet.Goal{Side: 4e-3, HoldRim: true}))
	if a, b := len(top.RimLoops()[0]), len(out.RimLoops()[0]); a != b {
		t.Errorf("the rim has %d vertices, had %d", b, a)
	}
}

// A ball inside a ball stands off by the difference of their radii, but for the
// facets' stand-off.
func TestStrayOfBalls(t *testing.T) {
	big, small := shapes.Sphere(0.1, 5), shapes.Sphere(0.099, 5)
	s := facet.StrayFrom(mesh.NewLocator(big), small, 1e-3)
	if math.Abs(s.Most-1e-3) > 5e-5 || math.Abs(s.RMS-1e-3) > 5e-5 {
		t.Errorf("most %g, rms %g, want 1 mm", s.Most, s.RMS)
	}
}

// Slivers and short sides go; the area stays within what they could hold.
func TestTidy(t *testing.T) {
	m := shapes.Scan(4, 3000, shapes.Flaws{Slivers: 60})
	out := facet.Tidy(topology(t, m), 1e-4)
	thin := 0
	for f := range out.Mesh.Triangles {
		if a := out.Mesh.Angles(f); min(a[0], a[1], a[2]) < 0.5*math.Pi/180 {
			thin++
		}
	}
	if out.Count < 60 || thin > 0 || math.Abs(out.Mesh.Area()/m.Area()-1) > 1e-4 {
		t.Errorf("%d turned or joined, %d thin left, area %g of %g", out.Count, thin, out.Mesh.Area(), m.Area())
	}
}
