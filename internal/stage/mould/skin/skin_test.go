package skin

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
)

func vec(x, y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} }

// ball, slab and cube are fields with known areas and volumes.
type ball struct{ r float64 }

func (b ball) At(p r3.Vec) (float64, r3.Vec) {
	d := r3.Norm(p)
	return d - b.r, r3.Scale(1/d, p)
}

type slab struct{}

func (slab) At(p r3.Vec) (float64, r3.Vec) { return p.Z, vec(0, 0, 1) }

// cube has sharp edges; its axes are turned so that no face lies along the grid.
type cube struct{ half float64 }

var turned = [3]r3.Vec{r3.Unit(vec(1, 0.3, 0.2)), r3.Unit(r3.Cross(vec(0, 0, 1), vec(1, 0.3, 0.2))), r3.Unit(r3.Cross(vec(1, 0.3, 0.2), r3.Cross(vec(0, 0, 1), vec(1, 0.3, 0.2))))}

func (c cube) At(p r3.Vec) (float64, r3.Vec) {
	best, n := math.Inf(-1), r3.Vec{}
	for _, a := range turned {
		for _, s := range []float64{1, -1} {
			if d := s*r3.Dot(a, p) - c.half; d > best {
				best, n = d, r3.Scale(s, a)
			}
		}
	}
	return best, n
}

// pipe takes off what lies within a radius of the z axis.
type pipe struct{ r float64 }

func (c pipe) At(p r3.Vec) (float64, r3.Vec) {
	ρ := math.Hypot(p.X, p.Y)
	return c.r - ρ, r3.Scale(-1/ρ, vec(p.X, p.Y, 0))
}

// square takes off what lies outside a square tube.
type square struct{ half float64 }

func (c square) At(p r3.Vec) (float64, r3.Vec) {
	if x, y := math.Abs(p.X), math.Abs(p.Y); x > y {
		return x - c.half, vec(math.Copysign(1, p.X), 0, 0)
	} else {
		return y - c.half, vec(0, math.Copysign(1, p.Y), 0)
	}
}

func box(h float64) r3.Box { return r3.Box{Min: vec(-h, -h, -h), Max: vec(h, h, h)} }

func skinOf(t testing.TB, f Field, b r3.Box, size float64, cuts ...Cut) (Made, *mesh.Topology) {
	t.Helper()
	s, err := March(f, b, 0.8*size, Options{Size: size, Chord: 4 * size * size, Finest: 0.15 * size})
	if err != nil {
		t.Fatal(err)
	}
	s.Crease()
	for _, c := range cuts {
		s.Cut(c)
	}
	s.Refine(8)
	m, err := s.Made()
	if err != nil {
		t.Fatal(err)
	}
	top, err := mesh.NewTopology(m.Mesh)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(top.NonManifoldEdges()) + len(top.FlippedEdges()) + len(top.BowTies()); n > 0 {
		t.Errorf("%d places are not manifold", n)
	}
	for _, v := range m.Mesh.Vertices {
		if d, _ := f.At(v); math.Abs(d) > 1e-8 {
			t.Errorf("a vertex stands %g m off the surface", d)
			break
		}
	}
	return m, top
}

func least(m *mesh.Mesh) float64 {
	a := 180.0
	for f := range m.Triangles {
		for _, x := range m.Angles(f) {
			a = min(a, x*180/math.Pi)
		}
	}
	return a
}

// proudest returns how far the middle of an edge stands off the surface at most.
func proudest(f Field, t *mesh.Topology) (most float64) {
	for _, e := range t.Edges {
		d, _ := f.At(r3.Scale(0.5, r3.Add(t.Mesh.Vertices[e[0]], t.Mesh.Vertices[e[1]])))
		most = max(most, math.Abs(d))
	}
	return most
}

// A sphere is one closed sheet, and its area and volume come right with the
// square of the triangles' size.
func TestSphereSecondOrder(t *testing.T) {
	const r = 0.05
	var errs []float64
	for _, size := range []float64{0.016, 0.008, 0.004} {
		m, top := skinOf(t, ball{r}, box(0.06), size)
		if top.Euler() != 2 || !top.Closed() {
			t.Errorf("Euler characteristic %d, closed %v", top.Euler(), top.Closed())
		}
		if a := least(m.Mesh); a < 30 {
			t.Errorf("least angle %.1f deg", a)
		}
		if off := proudest(ball{r}, top); off > mostChords*4*size*size*1.001 {
			t.Errorf("an edge stands off by %.3g m at size %g", off, size)
		}
		if v := m.Mesh.Volume(); v < 0 || v > 4.0/3*math.Pi*r*r*r {
			t.Errorf("volume %g: an inscribed body is smaller than the sphere", v)
		}
		errs = append(errs, 1-m.Mesh.Area()/(4*math.Pi*r*r))
	}
	for i := range 2 {
		if order := math.Log2(errs[i] / errs[i+1]); order < 1.7 || order > 2.3 {
			t.Errorf("errors %v: order %.2f, want 2", errs, order)
		}
	}
}

// A cube keeps its twelve edges and eight corners, so that its flat faces are
// exact.
func TestCubeIsSharp(t *testing.T) {
	const h = 0.03
	m, top := skinOf(t, cube{h}, box(0.07), 0.006)
	if top.Euler() != 2 {
		t.Errorf("Euler characteristic %d", top.Euler())
	}
	if a, want := m.Mesh.Area(), 24*h*h; math.Abs(a/want-1) > 1e-6 {
		t.Errorf("area %.8g, want %.8g", a, want)
	}
	if v, want := m.Mesh.Volume(), 8*h*h*h; math.Abs(v/want-1) > 1e-6 {
		t.Errorf("volume %.8g, want %.8g", v, want)
	}
	var length float64
	for _, e := range m.Creases {
		length += r3.Norm(r3.Sub(m.Mesh.Vertices[e[0]], m.Mesh.Vertices[e[1]]))
	}
	if want := 24 * h; math.Abs(length/want-1) > 1e-6 {
		t.Errorf("creases are %.8g m long, want %.8g", length, want)
	}
	if a := least(m.Mesh); a < 15 {
		t.Errorf("least angle %.1f deg", a)
	}
}

// A square of the plane with a round hole: rims lie on the cutters, the corners
// are kept, and the area is right but for the hole's chords.
func TestCutsAreExact(t *testing.T) {
	const h, r = 0.04, 0.015
	m, top := skinOf(t, slab{}, r3.Box{Min: vec(-0.06, -0.06, -0.01), Max: vec(0.06, 0.06, 0.01)}, 0.005,
		Cut{Field: square{h}}, Cut{Field: pipe{r}})
	if top.Euler() != 0 || len(m.Rims) != 2 {
		t.Fatalf("Euler characteristic %d with %d rims, want 0 with 2", top.Euler(), len(m.Rims))
	}
	for _, rim := range m.Rims {
		var polygon, n = 0.0, float64(len(rim.Vertices))
		for i, v := range rim.Vertices {
			p, q := m.Mesh.Vertices[v], m.Mesh.Vertices[rim.Vertices[(i+1)%len(rim.Vertices)]]
			polygon += (p.X*q.Y - p.Y*q.X) / 2
			g := square{h}.dist(p)
			if rim.Cutter == 1 {
				g = math.Hypot(p.X, p.Y) - r
			}
			if math.Abs(g) > 1e-8 {
				t.Errorf("rim %d: a vertex stands %g m off", rim.Cutter, g)
			}
		}
		switch rim.Cutter {
		case 0: // on the left of it lies the surface: anticlockwise
			if math.Abs(polygon/(4*h*h)-1) > 1e-9 {
				t.Errorf("the square's area is %.9g, want %.9g", polygon, 4*h*h)
			}
		case 1: // clockwise; near a regular polygon of n sides in a circle
			if want := -n / 2 * r * r * math.Sin(2*math.Pi/n); math.Abs(polygon/want-1) > 2e-3 {
				t.Errorf("the hole's area is %.6g, want %.6g", polygon, want)
			}
		}
	}
	if a := least(m.Mesh); a < 25 {
		t.Errorf("least angle %.1f deg", a)
	}
}

func (c square) dist(p r3.Vec) float64 { d, _ := c.At(p); return d }

// Of a hole through a ball only the piece near its place comes off.
func TestCutTakesNearestPiece(t *testing.T) {
	const r, hole = 0.05, 0.015
	top := vec(0, 0, r)
	m, _ := skinOf(t, ball{r}, box(0.06), 0.006, Cut{Field: pipe{hole}, Near: &top})
	// Less a cap of height r − √(r² − hole²); area of a sphere's zone 2πrh.
	want := 4*math.Pi*r*r - 2*math.Pi*r*(r-math.Sqrt(r*r-hole*hole))
	if got := m.Mesh.Area(); len(m.Rims) != 1 || math.Abs(got/want-1) > 5e-3 {
		t.Errorf("%d rims, area %.6g, want 1 and %.6g", len(m.Rims), got, want)
	}
}

// A hole far smaller than the triangles is found all the same.
func TestCutSmallHole(t *testing.T) {
	const r = 0.0015
	top := vec(0, 0, 0)
	m, _ := skinOf(t, slab{}, r3.Box{Min: vec(-0.03, -0.03, -0.01), Max: vec(0.03, 0.03, 0.01)}, 0.006,
		Cut{Field: square{0.02}}, Cut{Field: pipe{r}, Near: &top, Fine: 0.6 * r})
	want := 0.04*0.04 - math.Pi*r*r
	if got := m.Mesh.Area(); len(m.Rims) != 2 || math.Abs(got/want-1) > 1e-3 {
		t.Errorf("%d rims, area %.6g, want 2 and %.6g", len(m.Rims), got, want)
	}
}

// The same input gives the same triangles.
func TestSameEachTime(t *testing.T) {
	a, _ := skinOf(t, cube{0.03}, box(0.07), 0.008)
	b, _ := skinOf(t, cube{0.03}, box(0.07), 0.008)
	if len(a.Mesh.Vertices) != len(b.Mesh.Vertices) || len(a.Mesh.Triangles) != len(b.Mesh.Triangles) {
		t.Fatal("another mesh")
	}
	for v := range a.Mesh.Vertices {
		if a.Mesh.Vertices[v] != b.Mesh.Vertices[v] {
			t.Fatal("another place")
		}
	}
}

func TestGridTooFine(t *testing.T) {
	if _, err := March(ball{1}, box(1.1), 1e-3, Options{Size: 1e-3, Chord: 1e-4, Finest: 1e-4}); err == nil {
		t.Error("a grid of ten thousand million points was not refused")
	}
}
