package mesh

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// Gauss and Bonnet: the defects add up to 2π times the Euler characteristic,
// with or without rim, and on any set of triangles.
func TestGaussBonnet(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	wild := &Mesh{}
	for range 12 {
		wild.Vertices = append(wild.Vertices, r3.Vec{X: rng.Float64(), Y: rng.Float64(), Z: rng.Float64()})
	}
	for range 30 {
		p := rng.Perm(12)
		wild.Triangles = append(wild.Triangles, [3]int32{int32(p[0]), int32(p[1]), int32(p[2])})
	}
	for name, m := range map[string]*Mesh{"cube": cube(), "sphere": sphere(t, 3), "torus": torus(t, 2, 0.5, 9),
		"tube": tube(t, 1, 2, 9, 3), "plate": plate(3), "strip with a twist": moebius(20), "wild": wild} {
		top := topologyOf(t, m)
		var sum float64
		for _, d := range top.AngleDefects() {
			sum += d
		}
		near(t, name, sum, 2*math.Pi*float64(top.Euler()), 1e-11)
	}
}

// A cube's corner lacks a right angle; its edges turn by one. Seen from inside
// they are hollow.
func TestCubeDefectAndTurning(t *testing.T) {
	top := topologyOf(t, cube())
	for _, d := range top.AngleDefects() {
		near(t, "defect", d, math.Pi/2, 1e-14)
	}
	inside := topologyOf(t, cube().Flipped())
	for e := range top.Edges {
		want := math.Pi / 2
		if top.EdgeLength(e) > 1.1 {
			want = 0 // diagonal of a face
		}
		near(t, "turning", top.Turning(e), want, 1e-14)
		near(t, "turning inside", inside.Turning(e), -want, 1e-14)
	}
	if a, b := len(top.SharpEdges(0.8)), len(inside.SharpEdges(0.8)); a != 12 || b != 12 {
		t.Errorf("%d and %d sharp edges, want 12", a, b)
	}
}

// A sliver that stands up beside an edge makes it no sharp one.
func TestSliverIsNoEdge(t *testing.T) {
	m := &Mesh{[]r3.Vec{{}, {X: 1}, {X: 0.5, Y: 1e-3, Z: 1e-3}, {X: 0.5, Y: -1}, {X: 0.5, Y: 0.5, Z: 0.5}},
		[][3]int32{{0, 1, 2}, {1, 0, 3}}}
	if got := topologyOf(t, m).SharpEdges(0.7); len(got) != 0 {
		t.Errorf("sliver: %d sharp edges", len(got))
	}
	m.Triangles[0][2] = 4
	if got := topologyOf(t, m).SharpEdges(0.7); len(got) != 1 {
		t.Errorf("wall: %d sharp edges, want 1", len(got))
	}
}

// Curvatures within 1 %, though the fit reaches over a third of the radius, of a
// sphere (1, 1), of it inside out (−1, −1), and of a tube (1, 0) with the bend
// across its axis.
func TestBendsOfKnownShapes(t *testing.T) {
	for v, b := range topologyOf(t, sphere(t, 4)).Bends(0) {
		if !b.OK || math.Abs(b.Max-1) > 0.01 || math.Abs(b.Min-1) > 0.01 {
			t.Fatalf("sphere, vertex %d: %+v", v, b)
		}
	}
	for v, b := range topologyOf(t, sphere(t, 4).Flipped()).Bends(0) {
		if math.Abs(b.Max+1) > 0.01 || math.Abs(b.Min+1) > 0.01 {
			t.Fatalf("sphere inside out, vertex %d: %+v", v, b)
		}
	}
	top := topologyOf(t, tube(t, 1, 2, 60, 20))
	for v, b := range top.Bends(0.4) {
		p := top.Mesh.Vertices[v]
		if p.Z < 0.3 || p.Z > 1.7 {
			continue
		}
		near(t, "tube, across", b.Max, 1, 0.01)
		near(t, "tube, along", b.Min, 0, 0.01)
		near(t, "direction", math.Abs(b.MinDir.Z), 1, 1e-3)
		near(t, "directions stand across each other", r3.Dot(b.MaxDir, b.MinDir), 0, 1e-12)
	}
}

// The curvature of a graph where it slopes, from its derivatives in closed form:
// a sphere bends by 1 everywhere, a cylinder across its axis only.
func TestPrincipalOnSlopes(t *testing.T) {
	x, y, z := r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1}
	for _, at := range [][2]float64{{0, 0}, {0.5, 0}, {0.3, -0.4}, {-0.6, 0.5}} {
		u, v := at[0], at[1]
		h := math.Sqrt(1 - u*u - v*v) // z = √(1 − x² − y²)
		b := principal([6]float64{0, -u / h, -v / h, -(1 + u*u/h/h) / h, -u * v / h / h / h, -(1 + v*v/h/h) / h}, x, y, z)
		near(t, "sphere", b.Max, 1, 1e-7)
		near(t, "sphere", b.Min, 1, 1e-7)
	}
	for i := range 16 {
		sin, cos := math.Sincos(float64(i) * math.Pi / 8) // axis (cos, sin, 0), z = √(1 − w²)
		for _, w := range []float64{0, 0.4, -0.8} {
			h := math.Sqrt(1 - w*w)
			d, dd := -w/h, -1/(h*h*h)
			b := principal([6]float64{0, -d * sin, d * cos, dd * sin * sin, -dd * sin * cos, dd * cos * cos}, x, y, z)
			near(t, "across the cylinder", b.Max, 1, 1e-12)
			near(t, "along the cylinder", b.Min, 0, 1e-12)
			near(t, "axis", math.Abs(r3.Dot(b.MinDir, r3.Vec{X: cos, Y: sin})), 1, 1e-12)
			near(t, "across", math.Abs(r3.Dot(b.MaxDir, r3.Unit(r3.Vec{X: -sin, Y: cos, Z: d}))), 1, 1e-12)
		}
	}
}

// On a torus of radii R, r at angle φ from the outer equator the curvatures are
// 1/r and cosφ/(R + r·cosφ) (do Carmo, Differential Geometry of Curves and
// Surfaces, 1976, section 3-3). The fit comes to them with the square of the
// triangles' size, and round the hole it sees the saddle.
func TestBendsSecondOrderOnTorus(t *testing.T) {
	const big, small = 2, 0.8
	miss := func(n int) (worst float64) {
		top := topologyOf(t, torus(t, big, small, n))
		for v, b := range top.Bends(0) {
			p := top.Mesh.Vertices[v]
			c := (math.Hypot(p.X, p.Y) - big) / small
			want := c / (big + small*c)
			worst = math.Max(worst, math.Max(math.Abs(b.Max-1/small), math.Abs(b.Min-want)))
		}
		return worst
	}
	e20, e40 := miss(20), miss(40)
	if got := order(e20, e40); got < 1.7 {
		t.Errorf("observed order %.2f (worst %.2e, %.2e), want 2", got, e20, e40)
	}
	near(t, "worst of the fine mesh, 1/m", e40, 0, 0.04/small)
}

// A floor, a wall and a hollow fillet between them: the middle of the fillet bends
// by its radius, across it. Turned inside out it bulges by the same.
func TestBendsOfAFillet(t *testing.T) {
	const r = 0.01
	m := grid(60, 20, func(u, v float64) r3.Vec {
		s := (u - 0.5) * 0.06 // arc from the fillet's middle, m
		a := math.Pi / 4 * s / (r * math.Pi / 4)
		y := 0.03 * v
		switch { // floor along −x, fillet, wall along z
		case a < -math.Pi/4:
			return r3.Vec{X: -r + (s + r*math.Pi/4), Y: y, Z: 0}
		case a > math.Pi/4:
			return r3.Vec{X: 0, Y: y, Z: r + (s - r*math.Pi/4)}
		}
		sin, cos := math.Sincos(a + math.Pi/4)
		return r3.Vec{X: -r + r*sin, Y: y, Z: r - r*cos}
	})
	middle := int32(10*61 + 30)
	hollow := topologyOf(t, m).BendsAt([]int32{middle}, 0.003)[0]
	near(t, "radius, m", -1/hollow.Min, r, 0.02*r)
	near(t, "no bend along the fillet", hollow.MinDir.Y, 0, 0.01)
	out := topologyOf(t, m.Flipped()).BendsAt([]int32{middle}, 0.003)[0]
	near(t, "the other way, m", 1/out.Max, r, 0.02*r)
}

// One vertex's normal is that of all together, to the last bit.
func TestVertexNormalAlone(t *testing.T) {
	for _, m := range []*Mesh{sphere(t, 2), cube(), torus(t, 2, 0.5, 9), moebius(20)} {
		top := topologyOf(t, m)
		for v, want := range m.VertexNormals() {
			if got := top.vertexNormal(v); got != want {
				t.Errorf("vertex %d: %v, want %v", v, got, want)
			}
		}
	}
}
