package shapes

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

func topologyOf(t *testing.T, m *mesh.Mesh) *mesh.Topology {
	t.Helper()
	top, err := mesh.NewTopology(m)
	if err != nil {
		t.Fatal(err)
	}
	return top
}

// Areas of the true surfaces, closed forms: the triangles lie on them with their
// corners, so that they fall short by the square of their size.
func TestAreas(t *testing.T) {
	const π = math.Pi
	ramp := func(r, c float64) float64 { // of a helicoid, ∫ √(r² + c²) dr
		return r/2*math.Hypot(r, c) + c*c/2*math.Asinh(r/c)
	}
	const lean = 0.2013579207903308 // asin(15/75)
	for _, c := range []struct {
		name string
		make func(n int) *mesh.Mesh
		want float64
	}{
		{"torus", func(n int) *mesh.Mesh { return Torus(0.12, 0.04, 3*n, n) }, 4 * π * π * 0.12 * 0.04},
		{"half torus", func(n int) *mesh.Mesh { return HalfTorus(0.12, 0.04, 3*n, n) }, 2 * π * π * 0.12 * 0.04},
		{"elbow", func(n int) *mesh.Mesh { return Elbow(0.12, 0.04, π/2, n, n) }, π * π * 0.12 * 0.04},
		{"tube", func(n int) *mesh.Mesh { return Tube(0.04, 0.2, n, n) }, 2 * π * 0.04 * 0.2},
		{"half ball", func(n int) *mesh.Mesh { return Cap(0.1, π/2, n) }, 2 * π * 0.01},
		{"cone", func(n int) *mesh.Mesh { return Cone(0.12, 0.09, n) }, π * 0.12 * 0.15},
		{"stair", func(n int) *mesh.Mesh { return Stair(0.05, 0.2, 0.15, 1.5, 3*n, n) },
			3 * π * (ramp(0.2, 0.15/(2*π)) - ramp(0.05, 0.15/(2*π)))},
		// Guldin: ball 2πR·R(1-sin lean), fillet and flat.
		{"blister", func(n int) *mesh.Mesh { return Blister(0.06, 0.015, 0.15, n) },
			2*π*0.06*0.06*(1-math.Sin(lean)) +
				2*π*0.015*(0.075*math.Cos(lean)*(π/2-lean)-0.015*math.Cos(lean)) +
				π*(0.15*0.15-math.Pow(0.075*math.Cos(lean), 2))},
	} {
		coarse, fine := c.make(24).Area()/c.want-1, c.make(48).Area()/c.want-1
		if math.Abs(fine) > 6e-3 {
			t.Errorf("%s: area off by %.2e", c.name, fine)
		}
		kinked := c.name == "blister" // rings do not fall on its kinks
		if order := math.Log2(coarse / fine); !(order > 1.6 && order < 2.5) && !kinked {
			t.Errorf("%s: order %.2f, want 2 (%.1e, %.1e)", c.name, order, coarse, fine)
		}
	}
}

// Areas of flat-faced surfaces are exact; the duct's fine rows fall beside its kinks.
func TestFlatAreas(t *testing.T) {
	for _, c := range []struct {
		name            string
		m               *mesh.Mesh
		want, tolerance float64
	}{
		{"open box", OpenBox(r3.Vec{X: 0.3, Y: 0.2, Z: 0.1}, 5), 0.3*0.2 + 2*0.1*(0.3+0.2), 1e-12},
		{"comb", Comb(12, 0.008, 0.3, 40), 23*0.008*4*0.008 + 12*0.008*0.3, 1e-12},
		{"strip", Strip(1, 0.002, 500), 0.002, 1e-12},
		{"z-plate", Folded([]float64{0.1, 0.1, 0.1}, []float64{1, -2}, 0.2, 3, 3), 0.06, 1e-12},
		{"triangle", Triangle(0.1), 0.005, 1e-12},
		{"duct, straight", Duct(0.4, 0.05, 0, 0.025, 4, 1000), 0.4 * (0.05 + math.Pi*0.05), 1e-3},
	} {
		if got := c.m.Area(); math.Abs(got-c.want) > c.tolerance*c.want {
			t.Errorf("%s: %.6f m², want %.6f", c.name, got, c.want)
		}
	}
}

// Euler's number, rims and sides tell surfaces apart: disc 1, ring 0, ball 2.
func TestConnections(t *testing.T) {
	for _, c := range []struct {
		shape              string
		euler, rims, parts int
	}{
		{"bowl", 1, 1, 1}, {"blister", 1, 1, 1}, {"saddle", 1, 1, 1}, {"swell", 1, 1, 1}, {"cone", 1, 1, 1}, {"box", 1, 1, 1}, {"duct", 1, 1, 1},
		{"z-plate", 1, 1, 1}, {"comb", 1, 1, 1}, {"stair", 1, 1, 1}, {"strip", 1, 1, 1}, {"triangle", 1, 1, 1},
		{"tube", 0, 2, 1}, {"elbow", 0, 2, 1}, {"half-torus", 0, 2, 1}, {"eight", 0, 2, 1}, {"cut-bottle", 1, 1, 1}, {"twisted-strip", 1, 1, 1},
		{"torus", 0, 0, 1}, {"bottle", 0, 0, 1}, {"links", 0, 0, 2}, {"crossed-boxes", 4, 0, 2}, {"open-links", 0, 4, 2},
		{"moebius", 0, 1, 1}, {"sieve", -198, 200, 1},
	} {
		m := named(t, c.shape).Make()
		top := topologyOf(t, m)
		euler := len(m.Vertices) - len(top.Edges) + len(m.Triangles)
		_, parts := top.Components()
		oneSided := c.shape == "moebius" || c.shape == "bottle" // rims then hang on the turn
		_, report, err := mesh.Clean(m, mesh.CleanOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if euler != c.euler || parts != c.parts || len(report.Rims) != c.rims && !oneSided {
			t.Errorf("%s: Euler's number %d, %d rims, %d parts; want %d, %d, %d", c.shape, euler, len(report.Rims), parts, c.euler, c.rims, c.parts)
		}
		if report.Welded+report.Degenerate+report.Duplicate+report.Flipped+report.Inverted+len(report.NonManifold)+len(report.BowTies) > 0 && !oneSided {
			t.Errorf("%s: not clean: %+v", c.shape, report)
		}
		if oneSided != (len(report.Twisted) > 0) {
			t.Errorf("%s: twisted edges %d", c.shape, len(report.Twisted))
		}
	}
}

func named(t *testing.T, name string) Shape {
	t.Helper()
	for _, s := range Corpus() {
		if s.Name == name {
			return s
		}
	}
	t.Fatalf("no shape is named %s", name)
	return Shape{}
}

// Two links of a chain: the middle line of one runs once through the hole of
// the other. The linking number by its double integral (Gauss 1833) is ±1.
func TestLinksAreLinked(t *testing.T) {
	const n = 400
	ring := func(i int) (r3.Vec, r3.Vec) {
		φ := 2 * math.Pi * float64(i) / n
		return polar(0.1, φ, 0), r3.Scale(2*math.Pi/n, polar(0.1, φ+math.Pi/2, 0))
	}
	other := r3.NewRotation(math.Pi/2, r3.Vec{X: 1})
	var sum float64
	for i := range n {
		p, dp := ring(i)
		for j := range n {
			q, dq := ring(j)
			q, dq = r3.Add(other.Rotate(q), r3.Vec{X: 0.1}), other.Rotate(dq)
			d := r3.Sub(p, q)
			sum += r3.Dot(d, r3.Cross(dp, dq)) / math.Pow(r3.Norm(d), 3)
		}
	}
	if got := math.Abs(sum / (4 * math.Pi)); math.Abs(got-1) > 1e-3 {
		t.Errorf("linking number %.4f, want 1", got)
	}
	m := Links(0.1, 0.02, 36, 12)
	if got := r3.Norm(r3.Sub(m.Bounds().Max, r3.Vec{X: 0.22, Y: 0.12, Z: 0.12})); got > 1e-9 {
		t.Errorf("the rings do not reach where they should: %v", m.Bounds())
	}
}

// A scan has the flaws that it was asked to have, and beneath them one surface.
func TestScanFlaws(t *testing.T) {
	flaws := Flaws{Noise: 5e-5, Spikes: 5, SpikeUp: 4e-3, Holes: 4, Slivers: 50, Torn: 0.3, Turned: 0.01}
	m := Scan(1, 20000, flaws)
	if n := len(m.Triangles); n < 19000 || n > 21000 {
		t.Errorf("%d triangles, want about 20 000", n)
	}
	clean, report, err := mesh.Clean(m, mesh.CleanOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if report.Components != 1 || len(report.NonManifold) > 0 || len(report.Twisted) > 0 {
		t.Errorf("beneath the flaws lies no surface: %d parts, %d bad edges, %d twisted", report.Components, len(report.NonManifold), len(report.Twisted))
	}
	if got := float64(report.Flipped) / float64(len(m.Triangles)); got < 0.005 || got > 0.015 {
		t.Errorf("share of triangles turned %.4f, want about 0.01", got)
	}
	if report.Welded < 15000 {
		t.Errorf("only %d corners were loose", report.Welded)
	}
	if rims := len(report.Rims); rims < 2 || rims > 5 {
		t.Errorf("%d rims, want the outer one and about four holes", rims)
	}
	thin := 0
	for f := range clean.Triangles {
		if clean.Quality(f) < 0.01 {
			thin++
		}
	}
	if thin < 40 {
		t.Errorf("%d slivers, want about 50", thin)
	}
	if again := Scan(1, 20000, flaws); !slices.Equal(again.Triangles, m.Triangles) || !slices.Equal(again.Vertices, m.Vertices) {
		t.Error("the same seed gives another scan")
	}
	if other := Scan(2, 20000, flaws); slices.Equal(other.Vertices, m.Vertices) {
		t.Error("another seed gives the same scan")
	}
}

// What moves, sizes, turns and shuffles leaves areas and connections be.
func TestMoved(t *testing.T) {
	m := Torus(0.12, 0.04, 24, 16)
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
		size float64
	}{
		{"moved", Moved(m, r3.Vec{X: 1, Y: 2, Z: 3}), 1},
		{"scaled", Scaled(m, 3), 9},
		{"turned", Turned(m, r3.Vec{X: 1, Y: 1}, 1), 1},
		{"shuffled", Shuffled(m, 7), 1},
	} {
		if got := c.m.Area() / m.Area(); math.Abs(got-c.size) > 1e-12*c.size {
			t.Errorf("%s: area times %.15g, want %g", c.name, got, c.size)
		}
		if got, want := len(topologyOf(t, c.m).Edges), len(topologyOf(t, m).Edges); got != want {
			t.Errorf("%s: %d edges, want %d", c.name, got, want)
		}
		if got := c.m.Volume() / m.Volume() / math.Pow(c.size, 1.5); math.Abs(got-1) > 1e-9 {
			t.Errorf("%s: turned inside out", c.name)
		}
	}
	if slices.Equal(Shuffled(m, 7).Vertices, m.Vertices) {
		t.Error("shuffling left the order")
	}
}

// Closed shapes hold what their formulas say, and so face outwards.
func TestVolumes(t *testing.T) {
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"torus", Torus(0.12, 0.04, 192, 96).Volume(), 2 * math.Pi * math.Pi * 0.12 * 0.04 * 0.04},
		{"ball", Sphere(0.1, 5).Volume(), 4 * math.Pi / 3 * 1e-3},
		{"boxes", CrossedBoxes(r3.Vec{X: 0.2, Y: 0.15, Z: 0.1}, 3).Volume(), 2 * 0.2 * 0.15 * 0.1},
	} {
		if math.Abs(c.got/c.want-1) > 3e-3 {
			t.Errorf("%s: %.6g m³, want %.6g", c.name, c.got, c.want)
		}
	}
}

// Every shape can be made, with numbers for coordinates, and by one name.
func TestCorpus(t *testing.T) {
	seen := map[string]bool{}
	for _, s := range Corpus() {
		if seen[s.Name] || s.Hard == "" {
			t.Errorf("%s stands twice, or says not what is hard", s.Name)
		}
		seen[s.Name] = true
		m := s.Make()
		if len(m.Triangles) == 0 || !(m.Area() > 0) {
			t.Errorf("%s: no surface", s.Name)
		}
		if s.Name == "scan" && math.Abs(float64(len(m.Triangles))-70000) > 1000 {
			t.Errorf("scan: %d triangles", len(m.Triangles))
		}
	}
}
