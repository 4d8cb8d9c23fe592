package mesh

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// soupOf gives each triangle vertices of its own.
func soupOf(m *Mesh) *Mesh {
	s := &Mesh{}
	for f := range m.Triangles {
		a, b, c := m.Corners(f)
		n := int32(len(s.Vertices))
		s.Vertices = append(s.Vertices, a, b, c)
		s.Triangles = append(s.Triangles, [3]int32{n, n + 1, n + 2})
	}
	return s
}

// A sphere taken apart, its corners shaken by less than the weld distance, its
// triangles shuffled and turned at random, comes back whole and outwards.
func TestCleanRestoresShakenSoup(t *testing.T) {
	m := sphere(t, 3)
	rng := rand.New(rand.NewPCG(7, 7))
	s := soupOf(m)
	for i, v := range s.Vertices {
		shake := r3.Vec{X: rng.Float64() - 0.5, Y: rng.Float64() - 0.5, Z: rng.Float64() - 0.5}
		s.Vertices[i] = r3.Add(v, r3.Scale(5e-7, shake)) // apart by at most 8.7e-7
	}
	rng.Shuffle(len(s.Triangles), func(i, j int) { s.Triangles[i], s.Triangles[j] = s.Triangles[j], s.Triangles[i] })
	turned := 0
	for f, tri := range s.Triangles {
		if rng.Float64() < 0.3 {
			s.Triangles[f] = [3]int32{tri[1], tri[0], tri[2]}
			turned++
		}
	}
	out, r, err := Clean(s, CleanOptions{Weld: 1e-6})
	if err != nil {
		t.Fatal(err)
	}
	if len(out.Vertices) != len(m.Vertices) || len(out.Triangles) != len(m.Triangles) || !r.Closed || r.Components != 1 {
		t.Errorf("%d vertices, %d triangles, closed %v, %d parts", len(out.Vertices), len(out.Triangles), r.Closed, r.Components)
	}
	if r.Flipped != turned || r.Welded != len(s.Vertices)-len(m.Vertices) || r.Inverted != 0 {
		t.Errorf("report: flipped %d of %d, welded %d, inverted %d", r.Flipped, turned, r.Welded, r.Inverted)
	}
	near(t, "volume", out.Volume(), m.Volume(), 1e-5)
	for v, w := range r.Vertex {
		if r3.Norm(r3.Sub(s.Vertices[v], out.Vertices[w])) > 1e-6 {
			t.Fatalf("vertex %d moved too far", v)
		}
	}
}

// Welding leaves vertices where they were and does not run along a row of them,
// each within the distance of the next.
func TestWeldDoesNotDrift(t *testing.T) {
	var row []r3.Vec
	for i := range 100 {
		row = append(row, r3.Vec{X: 0.6 * float64(i)})
	}
	first := firstWithin(row, 1)
	for i, w := range first {
		if want := int32(i - i%2); w != want {
			t.Fatalf("place %d welded to %d, want %d", i, w, want)
		}
	}
}

// The grid finds what a search of all pairs finds.
func TestWeldAgainstAllPairs(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	var p []r3.Vec
	for range 400 {
		p = append(p, r3.Vec{X: 4*rng.Float64() - 2, Y: 4*rng.Float64() - 2, Z: 4*rng.Float64() - 2})
	}
	const d = 0.3
	got := firstWithin(p, d)
	var want []int32
	for i := range p {
		w := int32(i)
		for j := range i {
			if want[j] == int32(j) && r3.Norm(r3.Sub(p[i], p[j])) <= d {
				w = int32(j)
				break
			}
		}
		want = append(want, w)
		if got[i] != w {
			t.Fatalf("place %d: %d, want %d", i, got[i], w)
		}
	}
}

// A closed box turned inside out is turned back; a box inside a box, turned
// inwards, bounds a cavity and stays; beside it, it does not.
func TestCleanTurnsOutwards(t *testing.T) {
	out, r, err := Clean(cube().Flipped(), CleanOptions{})
	if err != nil || r.Inverted != 1 {
		t.Fatalf("inverted %d, error %v", r.Inverted, err)
	}
	near(t, "volume", out.Volume(), 1, 1e-14)
	for _, c := range []struct {
		shift  r3.Vec
		volume float64
		kept   int
	}{{r3.Vec{X: 0.25, Y: 0.25, Z: 0.25}, 1 - 0.125, 1}, {r3.Vec{X: 3}, 1 + 0.125, 0}} {
		both := cube()
		for _, v := range cube().Vertices {
			both.Vertices = append(both.Vertices, r3.Add(r3.Scale(0.5, v), c.shift))
		}
		for _, f := range cube().Triangles {
			both.Triangles = append(both.Triangles, [3]int32{f[0] + 8, f[2] + 8, f[1] + 8})
		}
		out, r, err := Clean(both, CleanOptions{})
		if err != nil || r.Cavities != c.kept || r.Inverted != 1-c.kept {
			t.Errorf("cavities %d, inverted %d, error %v", r.Cavities, r.Inverted, err)
		}
		near(t, "volume", out.Volume(), c.volume, 1e-14)
	}
}

// An open surface keeps the turn that most of its area has in the file.
func TestCleanKeepsMajority(t *testing.T) {
	m := plate(4)
	for f := range 10 {
		tri := m.Triangles[f]
		m.Triangles[f] = [3]int32{tri[1], tri[0], tri[2]}
	}
	out, r, err := Clean(m, CleanOptions{})
	if err != nil || r.Flipped != 10 {
		t.Fatalf("flipped %d, error %v", r.Flipped, err)
	}
	for f := range out.Triangles {
		near(t, "normal", out.FaceNormal(f).Z, 1, 1e-14)
	}
}

// A flat triangle with its middle corner on the side of the next leaves no slit.
func TestCleanCutsCaps(t *testing.T) {
	m := &Mesh{
		Vertices: []r3.Vec{{}, {X: 1}, {X: 0.5}, {X: 0.5, Y: 1}, {X: 0.5, Y: -1}},
		// Above the x axis one triangle, below it two; the flat one joins them.
		Triangles: [][3]int32{{0, 1, 3}, {0, 4, 2}, {2, 4, 1}, {0, 2, 1}},
	}
	out, r, err := Clean(m, CleanOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if r.Degenerate != 1 || r.Flipped != 0 || len(r.Rims) != 1 || len(out.Triangles) != 4 || r.Rims[0].Edges != 4 {
		t.Errorf("degenerate %d, rims %v, triangles %v", r.Degenerate, r.Rims, out.Triangles)
	}
	near(t, "area", out.Area(), 1, 1e-14)
	for f := range out.Triangles {
		near(t, "area of a triangle", out.AreaVector(f).Z, 0.25, 1e-14)
	}
}

// What can't be mended is reported: a strip with half a twist has one side only.
func TestCleanReportsTwist(t *testing.T) {
	_, r, err := Clean(moebius(30), CleanOptions{})
	if err != nil || len(r.Twisted) != 1 {
		t.Errorf("%d twisted edges, error %v; want 1", len(r.Twisted), err)
	}
}

func TestCleanReportsFinAndDuplicate(t *testing.T) {
	m := cube()
	m.Vertices = append(m.Vertices, r3.Vec{X: 0.5, Y: -1}, r3.Vec{X: 9})
	m.Triangles = append(m.Triangles, [3]int32{0, 1, 8}, [3]int32{2, 0, 3}, [3]int32{4, 4, 5})
	_, r, err := Clean(m, CleanOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.NonManifold) != 1 || r.Duplicate != 1 || r.Degenerate != 1 || r.Unused != 1 || r.Closed {
		t.Errorf("non-manifold %v, duplicate %d, degenerate %d, unused %d, closed %v", r.NonManifold, r.Duplicate, r.Degenerate, r.Unused, r.Closed)
	}
	if at := r.NonManifold[0].At; at != (r3.Vec{X: 0.5}) {
		t.Errorf("fin at %v, want on the x axis at ½", at)
	}
}

func TestCleanRefuses(t *testing.T) {
	v := []r3.Vec{{}, {X: 1}, {Y: 1}}
	for name, m := range map[string]*Mesh{
		"no triangle": {}, "flat": {v, [][3]int32{{0, 1, 1}}}, "index": {v, [][3]int32{{0, 1, 7}}},
		"NaN": {[]r3.Vec{{X: math.NaN()}, {X: 1}, {Y: 1}}, [][3]int32{{0, 1, 2}}},
		"Inf": {[]r3.Vec{{X: math.Inf(-1)}, {X: 1}, {Y: 1}}, [][3]int32{{0, 1, 2}}},
	} {
		if _, _, err := Clean(m, CleanOptions{}); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// The winding number is 1 inside and 0 outside a closed surface, and near a
// plate of which p sees a solid angle of 4π/6 a sixth: the cube's face from its
// middle.
func TestWinding(t *testing.T) {
	near(t, "inside", cube().Winding(r3.Vec{X: 0.3, Y: 0.4, Z: 0.5}), 1, 1e-13)
	near(t, "outside", cube().Winding(r3.Vec{X: 1.3, Y: 0.4, Z: 0.5}), 0, 1e-13)
	near(t, "a face", plate(3).Winding(r3.Vec{X: 0.5, Y: 0.5, Z: -0.5}), 1.0/6, 1e-13)
}
