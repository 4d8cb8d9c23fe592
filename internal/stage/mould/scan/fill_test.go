package scan_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/stage/mould/scan"
)

func take(t testing.TB, m *mesh.Mesh, o scan.Options) scan.Taken {
	t.Helper()
	o.File = "a.stl"
	out, err := scan.Take(m, o)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// pierced returns m without what pass says of a triangle's middle.
func pierced(m *mesh.Mesh, out func(p r3.Vec) bool) *mesh.Mesh {
	return m.Extract(m.FacesWhere(func(f int) bool { return !out(m.Centroid(f)) })).Mesh
}

// off returns how far the filled triangles' corners stand off, by a measure.
func off(k scan.Taken, measure func(p r3.Vec) float64) (most float64, filled int) {
	for f, is := range k.Filled {
		if !is {
			continue
		}
		filled++
		for _, v := range k.Mesh.Triangles[f] {
			most = max(most, math.Abs(measure(k.Mesh.Vertices[v])))
		}
	}
	return most, filled
}

// A sphere of 100 mm with a cap of some half-angle removed is closed again. A thin
// plate over the hole alone would stand off by R·θ⁴/8 in the middle (its paraboloid
// against the sphere); beside the ball of its surroundings nothing is left of that.
func TestFillSphere(t *testing.T) {
	const r = 0.1
	whole := shapes.Sphere(r, 5)
	for _, angle := range []float64{5, 10, 20, 40, 60} {
		θ := angle * math.Pi / 180
		m := pierced(whole, func(p r3.Vec) bool { return math.Acos(p.Z/r3.Norm(p)) < θ })
		k := take(t, m, scan.Options{Fill: 3 * r})
		most, filled := off(k, func(p r3.Vec) float64 { return r3.Norm(p) - r })
		plate := r * math.Pow(θ, 4) / 8
		t.Logf("half-angle %2.0f deg, hole %3.0f mm: %4d triangles, off the sphere by %.4f mm; a plate alone by %.4f mm", angle, 2e3*r*math.Sin(θ), filled, 1e3*most, 1e3*plate)
		if !k.Closed || filled == 0 || most > max(0.01e-3, plate/100) {
			t.Errorf("closed %v, %d triangles, %.4f mm off", k.Closed, filled, 1e3*most)
		}
		if got, want := k.Mesh.Volume(), whole.Volume(); math.Abs(got/want-1) > 1e-3 {
			t.Errorf("volume %.6g, before the hole was made %.6g", got, want)
		}
		if len(k.Crossing) > 0 || len(k.Repairs) != 1 || !(k.Repairs[0].Area > 0) {
			t.Errorf("%d crossings, repairs %v", len(k.Crossing), k.Repairs)
		}
	}
}

// On a tube, which no ball fits, what the tube stands off the ball is a saddle,
// which a thin plate follows: the fill is off by less than a hundredth of the
// bulge that a flat fill would lack.
func TestFillTube(t *testing.T) {
	const r = 0.05
	whole := shapes.Tube(r, 0.2, 200, 130)
	for _, half := range []float64{0.024, 0.012} {
		m := pierced(whole, func(p r3.Vec) bool { return p.X > 0 && math.Hypot(p.Y, p.Z-0.1) < half })
		k := take(t, m, scan.Options{Fill: 0.06})
		most, filled := off(k, func(p r3.Vec) float64 { return math.Hypot(p.X, p.Y) - r })
		bulge := r - math.Sqrt(r*r-half*half)
		t.Logf("hole %.0f mm: %d triangles, off the tube by %.4f mm of a bulge of %.3f mm", 2e3*half, filled, 1e3*most, 1e3*bulge)
		if filled == 0 || most > bulge/100 {
			t.Errorf("%d triangles, %.4f mm off", filled, 1e3*most)
		}
	}
}

// A flat plate's hole is filled flat, and a rim wider than the limit stays.
func TestFillPlate(t *testing.T) {
	whole := shapes.Patch(40, 30, func(u, v float64) r3.Vec { return r3.Vec{X: 0.4 * u, Y: 0.3 * v, Z: 0.02} })
	m := pierced(whole, func(p r3.Vec) bool {
		return math.Hypot(p.X-0.1, p.Y-0.1) < 0.03 || math.Hypot(p.X-0.3, p.Y-0.2) < 0.07
	})
	k := take(t, m, scan.Options{Fill: 0.08})
	most, filled := off(k, func(p r3.Vec) float64 { return p.Z - 0.02 })
	if filled == 0 || most > 1e-12 || k.Rims != 2 || len(k.Holes) != 1 || !(k.Holes[0].Wide > 0.08) {
		t.Errorf("%d triangles, %g m off, %d rims, open %v", filled, most, k.Rims, k.Holes)
	}
	if got, want := k.Mesh.Area(), whole.Area()-(whole.Area()-m.Area())+k.Repairs[0].Area; math.Abs(got-want) > 1e-12 {
		t.Errorf("area %g, want %g", got, want)
	}
}

// Holes over the edge and the corner of a box close without crossing.
func TestFillBoxCorner(t *testing.T) {
	whole := shapes.OpenBox(r3.Vec{X: 0.12, Y: 0.1, Z: 0.06}, 30)
	b := whole.Bounds()
	for _, at := range []r3.Vec{{X: b.Max.X, Y: b.Max.Y, Z: b.Max.Z}, {X: b.Max.X, Y: (b.Min.Y + b.Max.Y) / 2, Z: b.Max.Z}} {
		m := pierced(whole, func(p r3.Vec) bool { return r3.Norm(r3.Sub(p, at)) < 0.02 })
		k := take(t, m, scan.Options{Fill: 0.06})
		if _, filled := off(k, func(r3.Vec) float64 { return 0 }); filled == 0 || k.Rims != 1 || len(k.Crossing) > 0 {
			t.Errorf("at %v: %d triangles, %d rims, %d crossings", at, filled, k.Rims, len(k.Crossing))
		}
	}
}
