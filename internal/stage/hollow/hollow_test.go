package hollow

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
)

const (
	deg    = math.Pi / 180
	free   = 0.02    // end of the cloth beyond the rim, m
	trifle = 0.25e-3 // gap that does not count, m
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %.6g, want %.6g within %.2g", what, got, want, within)
	}
}

// gutter is a trough along y: two flat arms and between them a fillet that turns
// by θ, drawn as n facets about it.
func gutter(r, θ, arm float64, n int, long float64) *mesh.Mesh {
	at := func(s float64) r3.Vec { // by arc length from the middle, the hollow's axis up
		φ := max(-θ/2, min(θ/2, s/r))
		out := r3.Vec{X: r * math.Sin(φ), Z: -r * math.Cos(φ)}
		rest := s - r*φ
		return r3.Add(out, r3.Vec{X: rest * math.Cos(φ), Z: rest * math.Sin(φ)})
	}
	var stations []float64
	for i := 10; i > 0; i-- {
		stations = append(stations, -r*θ/2-arm*float64(i)/10)
	}
	for i := range n + 1 {
		stations = append(stations, r*θ*(float64(i)/float64(n)-0.5))
	}
	for i := 1; i <= 10; i++ {
		stations = append(stations, r*θ/2+arm*float64(i)/10)
	}
	k := len(stations) - 1
	return shapes.Patch(k, 16, func(s, t float64) r3.Vec {
		p := at(stations[int(math.Round(s*float64(k)))])
		p.Y = long * t
		return p
	})
}

// find finds the hollows under one ply that goes into 4 mm by hand and reaches
// beyond the rim by [free].
func find(t *testing.T, m *mesh.Mesh) []Hollow {
	t.Helper()
	top, err := mesh.NewTopology(m)
	if err != nil {
		t.Fatal(err)
	}
	return Find(top, []Ply{{Least: 0.004}}, free)
}

// A gutter is one hollow of its own radius, turn, length and arms. Cloth laid
// tight stands at μ·(arm + trim allowance).
func TestGutterIsMeasured(t *testing.T) {
	for _, n := range []int{1, 4, 12} {
		const θ, arm, long = 1.2, 0.06, 0.2
		r := 0.012
		all := find(t, gutter(r, θ, arm, n, long))
		if len(all) != 1 {
			t.Fatalf("%d facets: %d hollows", n, len(all))
		}
		h := all[0]
		if n > 1 {
			near(t, "radius", float64(h.Radius), r, 0.03*r)
			near(t, "turn", float64(h.Turn), θ, 1e-6)
			R := friction * (arm + free)
			near(t, "tight radius", float64(h.Tight), R, 2e-3*R)
			near(t, "gap", float64(h.Gap), (R-r)*(1/math.Cos(θ/2)-1), 0.06*float64(h.Gap))
		}
		near(t, "length", float64(h.Length), long, 0.1*long)
	}
}

// A step up from the floor, sharp and of 90°: cloth that goes into 4 mm by hand
// stands 4·(√2 − 1) mm off, and 4²·(1 − π/4) mm² of resin in section fill that.
func TestSharpHollow(t *testing.T) {
	m := shapes.Patch(40, 20, func(s, u float64) r3.Vec {
		x := 0.2 * (s - 0.5)
		return r3.Vec{X: min(x, 0), Y: 0.1 * u, Z: max(x, 0)}
	})
	all := find(t, m)
	if len(all) != 1 || all[0].Radius != 0 {
		t.Fatalf("%+v", all)
	}
	near(t, "length", float64(all[0].Length), 0.1, 1e-6)
	b := Pressed(all, 0.004, 0, trifle)
	near(t, "gap", float64(b.Gap), 0.004*(math.Sqrt2-1), 1e-9)
	near(t, "resin", float64(b.Resin), resinRho*0.1*0.004*0.004*(1-math.Pi/4), 1e-9)
	if b.Places != 1 || b.Radius != 0 {
		t.Errorf("%+v", b)
	}
}

// Each ply makes a hollow tighter for the next: cloth that goes into 4 mm lies in a
// fillet of 4.5 mm, and stands (4 − 2.4)·(1/cos(θ/2) − 1) mm off on 2.1 mm of plies.
func TestHollowCloses(t *testing.T) {
	all := find(t, gutter(0.0045, 1.4, 0.05, 8, 0.1))
	if b := Pressed(all, 0.004, 0, trifle); b != (Bridging{}) {
		t.Errorf("it bridges at once: %+v", b)
	}
	want := 0.0016 * (1/math.Cos(0.7) - 1)
	near(t, "gap", float64(Pressed(all, 0.004, 0.0021, trifle).Gap), want, 0.1*want)
}

// The direction across a gutter is that of its section, and square to its run.
func TestAcross(t *testing.T) {
	all := find(t, gutter(0.012, 1.2, 0.06, 8, 0.2))
	if len(all) != 1 || math.Abs(all[0].Across().Y) > 1e-6 || math.Abs(r3.Norm(all[0].Across())-1) > 1e-9 {
		t.Fatalf("across %v", all[0].Across())
	}
}

// Cloth slides in from the arm that holds less, which is the shorter one, and its
// free end beyond the rim helps to hold it: R = μ·(arm + trim allowance).
func TestShorterArmSlides(t *testing.T) {
	m := shapes.Patch(17, 10, func(s, u float64) r3.Vec {
		x := 0.17*s - 0.05
		return r3.Vec{X: max(x, 0), Y: 0.1 * u, Z: max(-x, 0)}
	})
	all := find(t, m)
	if len(all) != 1 {
		t.Fatalf("%d hollows", len(all))
	}
	near(t, "tight radius", float64(all[0].Tight), friction*(0.05+free), 1e-9)
}

// Beyond a ridge the cloth is held by e^{μφ} as much: here 50 mm behind a ridge of
// 60° and 40 mm before it, against 200 mm on the other arm.
func TestRidgeHolds(t *testing.T) {
	var stations []r3.Vec
	var at r3.Vec
	for i := range 30 {
		stations = append(stations, at)
		down := 30 * deg
		if i >= 5 {
			down = 90 * deg
		}
		if i >= 9 {
			down = 0
		}
		at = r3.Add(at, r3.Vec{X: 0.01 * math.Cos(down), Z: -0.01 * math.Sin(down)})
	}
	m := shapes.Patch(29, 10, func(s, u float64) r3.Vec {
		p := stations[int(math.Round(29*s))]
		p.Y = 0.1 * u
		return p
	})
	all := find(t, m)
	if len(all) != 1 || math.Abs(all[0].Turn.Degrees()-90) > 1e-6 {
		t.Fatalf("%+v", all)
	}
	want := friction*(0.05+free)*math.Exp(friction*60*deg) + friction*0.04
	near(t, "tight radius", float64(all[0].Tight), want, 1e-9)
}

// A ridge is no hollow, and neither is a plate; the foot of a drafted box is one
// all round, as long as it is.
func TestWhatIsHollow(t *testing.T) {
	if got := find(t, gutter(0.01, 1.2, 0.05, 8, 0.1).Flipped()); len(got) != 0 {
		t.Errorf("a ridge is taken for a hollow: %+v", got[0])
	}
	plate := shapes.Patch(12, 8, func(s, u float64) r3.Vec { return r3.Vec{X: 0.3 * s, Y: 0.2 * u} })
	if got := find(t, plate); len(got) != 0 {
		t.Errorf("a plate is hollow: %+v", got[0])
	}
	foot := shapes.Patch(48, 48, func(s, t float64) r3.Vec {
		x, y := 0.3*(2*s-1), 0.3*(2*t-1)
		return r3.Vec{X: x, Y: y, Z: -min(0.1, max(0, math.Abs(x)-0.1, math.Abs(y)-0.1))}
	})
	got := find(t, foot)
	if len(got) != 1 || got[0].Radius != 0 {
		t.Fatalf("%d hollows, %+v", len(got), got)
	}
	near(t, "turn", got[0].Turn.Degrees(), 45, 0.1)
	near(t, "length", float64(got[0].Length), 1.6, 0.1)
}

// A strip one triangle wide has no vertex off its rim, so nothing to cut across.
func TestStripWithoutInside(t *testing.T) {
	strip := shapes.Patch(20, 1, func(s, t float64) r3.Vec {
		θ := (s - 0.5) * math.Pi / 2
		return r3.Vec{X: 0.005 * math.Sin(θ), Y: 0.1 * t, Z: -0.005 * math.Cos(θ)}
	})
	if got := find(t, strip); len(got) != 0 {
		t.Errorf("found %d hollows", len(got))
	}
}
