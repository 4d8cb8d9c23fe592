package plies

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/bind"
	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/base/si"
)

// dome is a bump of height h and breadth b on a plate of 600 by 500 mm, its pole
// off the middle.
func dome(n int, pole r3.Vec, h, b float64) *mesh.Mesh {
	return sheetOf(n, n, func(s, t float64) r3.Vec {
		x, y := 0.6*(s-0.5), 0.5*(t-0.5)
		return r3.Vec{X: x, Y: y, Z: h * math.Exp(-(math.Pow(x-pole.X, 2)+math.Pow(y-pole.Y, 2))/(b*b))}
	})
}

// The curvature of a bump is parted among four quarters only from its pole: from
// anywhere else one quarter has more than its share, so that the pole is the best
// seed, whatever the angles of the plies.
func TestSeedFindsThePole(t *testing.T) {
	for _, pole := range []r3.Vec{{X: 0.1, Y: 0.06}, {X: -0.12, Y: 0.09}} {
		for _, angles := range [][]float64{{0}, {0, 45, 30}} {
			in := Input{Surface: dome(40, pole, 0.08, 0.09), Plies: stackOf(45, angles...)}
			w, err := newWork(in)
			if err != nil {
				t.Fatal(err)
			}
			out := Result{}
			if err := w.place(&out); err != nil {
				t.Fatal(err)
			}
			if miss := math.Hypot(out.Seed[0]-pole.X, out.Seed[1]-pole.Y); out.SeedFrom != "least shear" || miss > 0.02 {
				t.Errorf("plies at %v: seed %v (%s), %.0f mm from the pole", angles, out.Seed, out.SeedFrom, 1000*miss)
			}
			s := out.Search
			if s.SeedShear >= s.MiddleShear-leastGain && s.SeedLocked >= s.MiddleLocked-leastShare {
				t.Errorf("nothing was gained: %+v", s)
			}
			if !strings.Contains(codes(out), "note seed-moved") {
				t.Errorf("findings: %s", codes(out))
			}
		}
	}
}

// On a bump that lies on a middle line of the plate the seed does so to a hair.
func TestSeedKeepsToAnEvenLine(t *testing.T) {
	w, err := newWork(Input{Surface: dome(40, r3.Vec{X: 0.11}, 0.08, 0.09), Plies: stackOf(45, 0)})
	if err != nil {
		t.Fatal(err)
	}
	out := Result{}
	if err := w.place(&out); err != nil {
		t.Fatal(err)
	}
	if math.Abs(out.Seed[0]-0.11) > 0.02 || math.Abs(out.Seed[1]) > 1e-4 {
		t.Errorf("seed %v", out.Seed)
	}
}

// Where the shape itself is even the middle stands: a plate, a cylinder, a box.
func TestSeedStaysInTheMiddle(t *testing.T) {
	tunnel := sheetOf(40, 30, func(s, u float64) r3.Vec {
		φ := math.Pi * (0.5 - s)
		return r3.Vec{X: -0.06 * math.Sin(φ), Y: 0.2 * u, Z: 0.06 * math.Cos(φ)}
	})
	for name, m := range map[string]*mesh.Mesh{"plate": plate(), "tunnel": tunnel, "box": box(60 * deg)} {
		w, err := newWork(Input{Surface: m, Plies: stackOf(45, 0, 45)})
		if err != nil {
			t.Fatal(err)
		}
		out := Result{}
		if err := w.place(&out); err != nil {
			t.Fatal(err)
		}
		if out.SeedFrom != "middle" || len(out.Findings) > 0 {
			t.Errorf("%s: seed %v (%s), %s", name, out.Seed, out.SeedFrom, codes(out))
		}
	}
}

// The net of a ply at 45° on an upright box's top runs through its corners; a seed
// is judged by the worse of both, and angles a quarter turn apart count once.
func TestAnglesCountOnce(t *testing.T) {
	w := workOn(t, Input{Surface: plate(), Plies: stackOf(45, 0, 90, -45, 45, 135, 30, 180)})
	k, err := w.seeker(&w.parts[0])
	if err != nil || len(k.angles) != 3 {
		t.Errorf("angles %v, %v", k.angles, err)
	}
}

// The seed is found in the same place however the mesh is numbered, turned, shifted
// or sized, on an even shape too, where several places are alike.
func TestSeedWhateverThePose(t *testing.T) {
	ridge := sheetOf(36, 30, func(s, u float64) r3.Vec { // two domes at one end
		x, y := 0.6*(s-0.5), 0.5*(u-0.5)
		bump := func(x0, y0 float64) float64 { return math.Exp(-((x-x0)*(x-x0) + (y-y0)*(y-y0)) / 0.0064) }
		return r3.Vec{X: x, Y: y, Z: 0.06 * (bump(0.15, 0.1) + bump(0.15, -0.1))}
	})
	turn := r3.NewRotation(1.1, r3.Unit(r3.Vec{X: 0.3, Y: -0.5, Z: 1}))
	seedOf := func(m *mesh.Mesh, warp r3.Vec) r3.Vec {
		w, err := newWork(Input{Spec: Spec{Warp: bind.Direction{V: warp}}, Surface: m, Plies: stackOf(45, 0, 45)})
		if err != nil {
			t.Fatal(err)
		}
		out := Result{}
		if err := w.place(&out); err != nil {
			t.Fatal(err)
		}
		return vec(out.Seed)
	}
	warp := r3.Vec{X: 1, Y: 0.1}
	want := seedOf(ridge, warp)
	if math.Hypot(want.X, want.Y) < 0.05 {
		t.Fatalf("the seed stays in the middle: %v", want)
	}
	mixed := shapes.Shuffled(ridge, 7)
	if got := seedOf(mixed, warp); r3.Norm(r3.Sub(got, want)) > 1e-6 {
		t.Errorf("numbered anew: %v, want %v", got, want)
	}
	moved := mixed.Clone()
	for v, x := range moved.Vertices {
		moved.Vertices[v] = r3.Add(r3.Scale(3, turn.Rotate(x)), r3.Vec{X: 2, Y: 1})
	}
	if got := seedOf(moved, turn.Rotate(warp)); r3.Norm(r3.Sub(got, r3.Add(r3.Scale(3, turn.Rotate(want)), r3.Vec{X: 2, Y: 1}))) > 1e-5 {
		t.Errorf("moved: %v, want %v", got, want)
	}
}

// Places are spread: none nearer to another than half of the even distance, and
// none at the rim.
func TestSpread(t *testing.T) {
	w := workOn(t, Input{Surface: plate(), Plies: stackOf(45, 0)})
	p := &w.parts[0]
	places := spread(p, 12, skewOf(p))
	even := math.Sqrt(p.Area / 12)
	for i, a := range places {
		x := p.Top.Mesh.At(a)
		if math.Abs(x.X) > 0.15-even/5 || math.Abs(x.Y) > 0.1-even/5 {
			t.Errorf("a place at the rim: %v", x)
		}
		for _, b := range places[:i] {
			if d := r3.Norm(r3.Sub(x, p.Top.Mesh.At(b))); d < even/2 {
				t.Errorf("two places %.0f mm apart", 1000*d)
			}
		}
	}
	if len(places) != 12 {
		t.Errorf("%d places", len(places))
	}
}

// A burden is worth moving for when it shears less, locks less, or is much lighter
// all over; where cuts are made and the middle locks, only when it saves them.
func TestWorth(t *testing.T) {
	b := func(most, mean, locked float64) burden { return burden{most * deg, mean * deg, locked} }
	for _, c := range []struct {
		a, than burden
		want    bool
		cut     bool
	}{
		{b(20, 10, 0), b(30, 10, 0), true, true},
		{b(29, 10, 0), b(30, 10, 0), false, false},
		{b(60, 20, 0.1), b(85, 20, 0.1), true, false},
		{b(85, 20, 0.1), b(60, 20, 0.2), false, false},
		{b(60, 20, 0.1), b(60, 20, 0.2), true, false},
		{b(30, 20, 0), b(60, 20, 0.2), true, true},
		{b(30, 8, 0), b(30, 16, 0), true, true},
		{b(35, 4, 0), b(30, 16, 0), false, false},
	} {
		for _, cuts := range []bool{false, true} {
			want := c.want
			if cuts {
				want = c.cut
			}
			if got := (&seeker{locking: 45 * deg, cuts: cuts}).worth(c.a, c.than); got != want {
				t.Errorf("%+v for %+v, cuts %v: %v", c.a, c.than, cuts, got)
			}
		}
	}
}

func TestWarpMayHelp(t *testing.T) {
	out := Result{}
	out.noteSearch(&Search{SeedShear: si.Degrees(40), TurnShear: si.Degrees(30), Turn: si.Degrees(3)}, "middle")
	if got := codes(out); got != "note warp-turn-helps" || !strings.Contains(out.Findings[0].What, "+3°") {
		t.Errorf("%s: %v", got, out.Findings)
	}
}

func BenchmarkSeedSearch(b *testing.B) {
	in := Input{Surface: dome(224, r3.Vec{X: 0.1, Y: 0.06}, 0.08, 0.09), Plies: stackOf(45, 0, 45)}
	w, err := newWork(in)
	if err != nil {
		b.Fatal(err)
	}
	p := &w.parts[0]
	for b.Loop() {
		p.Seed = middle(p)
		point(p, r3.Vec{X: 1})
		w.search(p)
	}
}
