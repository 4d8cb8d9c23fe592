package offset

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/stage/mould/skin"
	"laywright/internal/stage/mould/solid"
)

func vec(x, y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} }

var up = solid.Along(r3.Vec{}, vec(0, 0, 1))

// exactly is the bar for a parallel, m: two hundredths of a millimetre.
const exactly = 0.02e-3

// skinned covers a closed field with triangles.
func skinned(t testing.TB, f skin.Field, half r3.Vec, size float64) *mesh.Mesh {
	t.Helper()
	s, err := skin.March(f, r3.Box{Min: r3.Scale(-1, half), Max: half}, 0.8*size, skin.Options{Size: size, Chord: 4 * size * size, Finest: 0.15 * size})
	if err != nil {
		t.Fatal(err)
	}
	s.Crease()
	s.Refine(7)
	m, err := s.Made()
	if err != nil {
		t.Fatal(err)
	}
	return m.Mesh
}

func heights(m *mesh.Mesh, h float64) []float64 {
	out := make([]float64, len(m.Vertices))
	for v := range out {
		out[v] = h
	}
	return out
}

// box is a sharp box about the origin.
func box(x, y, z float64) solid.Solid {
	f := up
	f.O.Z = -z / 2
	return solid.Footed(solid.Block(f, vec(x, y, z), 0, solid.Draft{}), f.O, f.Z)
}

// The parallels of a box, a ball, a cylinder and a torus are known.
func TestSheetClosedForms(t *testing.T) {
	ball := &solid.Ellipsoid{F: up, A: vec(0.05, 0.05, 0.05)}
	can := func(r, half float64) solid.Solid {
		f := up
		f.O.Z = -half
		return solid.Footed(solid.Cone(f, r, r, 2*half, 0), f.O, f.Z)
	}
	for _, c := range []struct {
		name  string
		of    skin.Field
		half  r3.Vec
		moved func(h float64) skin.Field
	}{
		{"box", box(0.08, 0.05, 0.04), vec(0.06, 0.05, 0.04), func(h float64) skin.Field { return box(0.08+2*h, 0.05+2*h, 0.04+2*h) }},
		{"ball", ball, vec(0.07, 0.07, 0.07), func(h float64) skin.Field { return &solid.Ellipsoid{F: up, A: vec(0.05+h, 0.05+h, 0.05+h)} }},
		{"cylinder", can(0.03, 0.04), vec(0.05, 0.05, 0.06), func(h float64) skin.Field { return can(0.03+h, 0.04+h) }},
		{"torus", &solid.Ring{F: up, Big: 0.05, Small: 0.02}, vec(0.09, 0.09, 0.04), func(h float64) skin.Field { return &solid.Ring{F: up, Big: 0.05, Small: 0.02 + h} }},
	} {
		size := 4e-3
		if c.name == "cylinder" {
			size = 2.5e-3 // its facets' own chord is 0.03 mm by then
		}
		m := skinned(t, c.of, c.half, size)
		for _, h := range []float64{0.003, -0.003} {
			if h < 0 && (c.name == "box" || c.name == "cylinder") {
				continue // a sharp edge has no room inside
			}
			f, err := Sheet(m, heights(m, h))
			if err != nil {
				t.Errorf("%s by %g mm: %v", c.name, 1e3*h, err)
				continue
			}
			worst, want := 0.0, c.moved(h)
			for _, v := range f.Mesh.Vertices {
				d, _ := want.At(v)
				worst = max(worst, math.Abs(d))
			}
			t.Logf("%s by %g mm: off by %.4f mm at most", c.name, 1e3*h, 1e3*worst)
			if worst > exactly || f.Cut > 0 {
				t.Errorf("%s by %g mm: a vertex is %.4f mm off, %d cut", c.name, 1e3*h, 1e3*worst, f.Cut)
			}
		}
	}
}

// On a ball the error falls with the square of the triangles' size.
func TestSheetSecondOrder(t *testing.T) {
	const r, h = 0.05, 0.005
	var errs []float64
	for _, size := range []float64{0.016, 0.008, 0.004} {
		m := skinned(t, &solid.Ellipsoid{F: up, A: vec(r, r, r)}, vec(0.07, 0.07, 0.07), size)
		f, err := Sheet(m, heights(m, h))
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, v := range f.Mesh.Vertices {
			sum += math.Abs(r3.Norm(v) - r - h)
		}
		errs = append(errs, sum/float64(len(f.Mesh.Vertices)))
	}
	for i := range 2 {
		if order := math.Log2(errs[i] / errs[i+1]); order < 1.6 || order > 2.4 {
			t.Errorf("errors %v: order %.2f, want 2", errs, order)
		}
	}
}

// Unlike heights stand over their own places: a flat with a patch twice as high.
func TestSheetLocalHeights(t *testing.T) {
	m := skinned(t, box(0.08, 0.05, 0.04), vec(0.06, 0.05, 0.04), 4e-3)
	h := heights(m, 0.001)
	for v, p := range m.Vertices {
		if math.Abs(p.X) < 0.02 {
			h[v] = 0.002
		}
	}
	f, err := Sheet(m, h)
	if err != nil {
		t.Fatal(err)
	}
	for v, p := range m.Vertices {
		if math.Abs(p.X) < 0.039 && math.Abs(p.Y) < 0.0249 && p.Z > 0.0199 {
			if got := f.Mesh.Vertices[v].Z - p.Z; math.Abs(got-h[v]) > 1e-9 {
				t.Fatalf("at %v it stands %g m proud, want %g", p, got, h[v])
			}
		}
	}
}

// A fillet of 4 mm can't be covered by 6 mm: the hollow is reported with its
// place and radius, and nothing folds. By 3 mm it can.
func TestHollowTighterThanHeight(t *testing.T) {
	// The groove round a cylinder on a plate, filled to 4 mm: a ring of radius R + r.
	const R, r = 0.03, 0.004
	j := &solid.Joined{Parts: []solid.Field{solid.Cone(up, R, R, 0.03, 0.004), solid.Behind{N: r3.Vec{Z: 1}}}, Radius: r}
	s, err := skin.March(j, r3.Box{Min: vec(-0.06, -0.06, -0.006), Max: vec(0.06, 0.06, 0.04)}, 2e-3, skin.Options{Size: 2.5e-3, Chord: 2e-5, Finest: 0.3e-3})
	if err != nil {
		t.Fatal(err)
	}
	s.Crease()
	s.Cut(skin.Cut{Field: square{0.05}})
	s.Refine(7)
	made, err := s.Made()
	if err != nil {
		t.Fatal(err)
	}
	m := made.Mesh
	for _, c := range []struct {
		h     float64
		found int
	}{{0.003, 0}, {0.006, 1}} {
		f, err := Sheet(m, heights(m, c.h))
		if err != nil {
			t.Fatal(err)
		}
		if len(f.Hollows) != c.found {
			t.Fatalf("by %g mm: hollows %v", 1e3*c.h, f.Hollows)
		}
		if _, _, crossing := mesh.NewLocator(f.Mesh).SelfCrossing(); crossing {
			t.Errorf("by %g mm: the face runs through itself", 1e3*c.h)
		}
		for i := range f.Mesh.Triangles {
			if r3.Dot(f.Mesh.FaceNormal(i), m.FaceNormal(i)) <= 0 {
				t.Fatalf("by %g mm: triangle %d is folded", 1e3*c.h, i)
			}
		}
		for _, w := range f.Hollows {
			// on the quarter circle about (R + r, r)
			if off := math.Hypot(math.Hypot(w.At.X, w.At.Y)-R-r, w.At.Z-r) - r; math.Abs(off) > 1e-4 || math.Abs(w.Radius/r-1) > 0.1 {
				t.Errorf("a hollow of %.3f mm at %v, %.3f mm off the groove", 1e3*w.Radius, w.At, 1e3*off)
			}
		}
		if c.found == 0 && f.Cut != 0 {
			t.Errorf("%d heights cut for nothing", f.Cut)
		}
	}
}

// square takes off what lies outside a square tube.
type square struct{ half float64 }

func (c square) At(p r3.Vec) (float64, r3.Vec) {
	if math.Abs(p.X) > math.Abs(p.Y) {
		return math.Abs(p.X) - c.half, vec(math.Copysign(1, p.X), 0, 0)
	}
	return math.Abs(p.Y) - c.half, vec(0, math.Copysign(1, p.Y), 0)
}

// A sharp box has no room inside for its parallel: its edges are reported as
// radius 0, nothing folds, and the middle of each face moves by the height.
func TestSharpEdgesInward(t *testing.T) {
	m := skinned(t, box(0.08, 0.05, 0.04), vec(0.06, 0.05, 0.04), 4e-3)
	f, err := Sheet(m, heights(m, -0.003))
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Hollows) != 1 || f.Hollows[0].Radius != 0 || f.Cut == 0 {
		t.Errorf("hollows %v, %d cut", f.Hollows, f.Cut)
	}
	for v, p := range m.Vertices {
		if p.Z > 0.0199 && math.Hypot(p.X, p.Y) < 0.01 && math.Abs(f.Mesh.Vertices[v].Z-0.017) > 1e-9 {
			t.Fatalf("the top's middle moves to %v", f.Mesh.Vertices[v])
		}
	}
}

// Where two walls face each other nearer than twice the height, the height is cut.
func TestNarrowGap(t *testing.T) {
	ring := &solid.Wall{F: up, Outline: solid.Oval(0.012, 0.012), Reach: 0.012, Thickness: 0.008, Height: 0.02, Edge: 0.003}
	m := skinned(t, solid.Footed(ring, vec(0, 0, -0.02), vec(0, 0, 1)), vec(0.03, 0.03, 0.03), 2.5e-3)
	f, err := Sheet(m, heights(m, 0.009)) // the hole is 16 mm wide
	if err != nil {
		t.Fatal(err)
	}
	if _, _, crossing := mesh.NewLocator(f.Mesh).SelfCrossing(); crossing || f.Cut == 0 || len(f.Hollows) == 0 {
		t.Errorf("crossing %v, %d cut, hollows %v", crossing, f.Cut, f.Hollows)
	}
}

// Parallels of fields: a body moved out is at its own distance less the move.
func TestFieldsExact(t *testing.T) {
	moved := Moved{box(0.08, 0.05, 0.04), 0.003}
	for _, c := range []struct{ p, q r3.Vec }{
		{vec(0.043, 0, 0), vec(1, 0, 0)},
		{vec(0.04+0.003/math.Sqrt2, 0.025+0.003/math.Sqrt2, 0), vec(1, 1, 0)},
	} {
		d, n := moved.Crisp(c.p)
		if math.Abs(d) > 1e-12 || r3.Norm(r3.Sub(n, r3.Unit(c.q))) > 1e-9 {
			t.Errorf("at %v: %g along %v", c.p, d, n)
		}
	}
	in := Moved{box(0.08, 0.05, 0.04), -0.003}
	if d, _ := in.Crisp(vec(0.037, 0.022, 0.017)); math.Abs(d) > 1e-12 {
		t.Errorf("a corner moved in is %g off", d)
	}
	big := Scaled{box(0.08, 0.05, 0.04), vec(0.01, 0, 0), 1.5}
	if d, _ := big.At(vec(0.01+1.5*0.03+0.002, 0, 0)); math.Abs(d-0.002) > 1e-12 {
		t.Errorf("scaled: %g", d)
	}
}

// A duct that changes from round to flat is right to first order; walked to its
// nearest place the parallel is exact: the place p = q + h·n is at h.
func TestNearest(t *testing.T) {
	s, corner := solid.NewSweep([]r3.Vec{vec(0, 0, 0), vec(0.15, 0, 0), vec(0.2, 0.12, 0.05)}, 0.08, solid.Oval(0.025, 0.025), solid.Rounded(0.04, 0.015, 0.012), 0.045)
	if corner >= 0 {
		t.Fatal("no room")
	}
	exact := Nearest{s, 0.02}
	const h = 0.004
	first := 0.0
	for i := range 200 {
		x, a := 0.02+0.2*float64(i)/200, 2.4*float64(i)
		o := s.Point(x)
		q := vec(o[0]+0.02*math.Cos(a), o[1]+0.02*math.Sin(a)*0.6, o[2]+0.02*math.Sin(a))
		for range 60 {
			d, n := s.At(q)
			q = r3.Sub(q, r3.Scale(d, n))
		}
		_, n := s.At(q)
		for _, by := range []float64{h, -h} {
			p := r3.Add(q, r3.Scale(by, n))
			d, _ := s.At(p)
			first = max(first, math.Abs(d-by))
			if d, _ = exact.At(p); math.Abs(d-by) > 1e-8 {
				t.Errorf("at %v: %g, want %g", p, d, by)
			}
		}
	}
	if first < 1e-6 {
		t.Errorf("the first-order distance is off by %g only: this test shows nothing", first)
	}
}

func TestRefusesShortList(t *testing.T) {
	m := skinned(t, box(0.08, 0.05, 0.04), vec(0.06, 0.05, 0.04), 8e-3)
	if _, err := Sheet(m, []float64{0.001}); err == nil {
		t.Error("one height for many vertices was taken")
	}
}
