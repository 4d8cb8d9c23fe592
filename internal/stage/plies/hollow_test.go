package plies

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/material"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
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
	return sheetOf(k, 16, func(s, t float64) r3.Vec {
		p := at(stations[int(math.Round(s*float64(k)))])
		p.Y = long * t
		return p
	})
}

// The arc that touches both arms, measured by its points: the way across the
// corner, the area under it and the length of cloth, each worked out from the
// figure and not from the formulas.
func TestStandIsPlaneGeometry(t *testing.T) {
	for _, c := range []struct{ R, r, θ, arm float64 }{
		{0.02, 0.005, 90 * deg, 0.1}, {0.012, 0, 60 * deg, 0.1}, {0.03, 0.01, 120 * deg, 0.004}, {0.5, 0, 90 * deg, 0.02}, {0.012, 0.01, 2, 0},
	} {
		got := stand(c.R, c.r, c.θ, c.arm)
		sin, cos := math.Sincos(c.θ / 2)
		long := c.r*sin/cos + c.arm // the arms meet at (0, 0) and rise to either side at θ/2
		surface := func(x float64) float64 {
			if c.r > 0 && math.Abs(x) < c.r*sin {
				return c.r/cos - math.Sqrt(c.r*c.r-x*x)
			}
			return math.Abs(x) * sin / cos
		}
		touch := min(c.R*sin, long*cos)
		middle := touch*sin/cos + math.Sqrt(c.R*c.R-touch*touch)
		cloth := func(x float64) float64 { return middle - math.Sqrt(max(0, c.R*c.R-x*x)) }
		const n = 200000
		area, lengthS, lengthC := 0.0, 0.0, 0.0
		for i := range n {
			a, b := touch*(2*float64(i)/n-1), touch*(2*float64(i+1)/n-1)
			area += (b - a) * (cloth((a+b)/2) - surface((a+b)/2))
			lengthS += math.Hypot(b-a, surface(b)-surface(a))
			lengthC += math.Hypot(b-a, cloth(b)-cloth(a))
		}
		near(t, "gap", got.gap, cloth(0)-surface(0), 1e-9)
		near(t, "void", got.void, area, 1e-9)
		near(t, "feed", got.feed, lengthS-lengthC, 2e-7)
	}
	if got := stand(0.01, 0.02, 1, 1); got.gap != 0 || got.radius != 0.02 {
		t.Errorf("cloth that bends tighter than the hollow: %+v", got)
	}
}

// On a flat arm the radius is μ·L; past a ridge of radius a that turns by φ it is
// (μ·L + a)·e^{μφ} − a, the closed form of the balance of forces, which the sum over
// small turns comes near to by the first order of their size.
func TestHold(t *testing.T) {
	near(t, "flat arm", arm{ways: []float64{0.05}, turns: []float64{0}}.hold(0.02), friction*0.07, 1e-12)
	const a, φ, L = 0.03, 1.2, 0.08
	want := friction*0.01 + (friction*L+a)*math.Exp(friction*φ) - a
	miss := func(n int) float64 {
		ridge := arm{}
		for i := range n {
			ridge.ways, ridge.turns = append(ridge.ways, a*φ/float64(n)), append(ridge.turns, φ/float64(n))
			if i == 0 {
				ridge.ways[0] += 0.01
			}
		}
		ridge.ways, ridge.turns = append(ridge.ways, L), append(ridge.turns, 0)
		return ridge.hold(0) - want
	}
	if a, b := miss(20), miss(40); math.Abs(a) > 4e-3*want || math.Abs(a/b-2) > 0.1 {
		t.Errorf("off by %g and %g of %g", a, b, want)
	}
}

// A gutter is one hollow of its own radius, turn, length and arms. Cloth laid
// tight stands at μ·(arm + trim allowance).
func TestGutterIsMeasured(t *testing.T) {
	for _, n := range []int{1, 4, 12} {
		const θ, arm, long = 1.2, 0.06, 0.2
		r := 0.012
		w, err := newWork(Input{Surface: gutter(r, θ, arm, n, long), Plies: stackOf(45, 0)})
		if err != nil {
			t.Fatal(err)
		}
		all := w.hollows()
		if len(all) != 1 {
			t.Fatalf("%d facets: %d hollows", n, len(all))
		}
		h := all[0]
		if n > 1 {
			near(t, "radius", float64(h.Radius), r, 0.03*r)
			near(t, "turn", float64(h.Turn), θ, 1e-6)
			R := friction * (arm + float64(usualAllowance))
			near(t, "tight radius", float64(h.Tight), R, 2e-3*R)
			near(t, "gap", float64(h.Gap), (R-r)*(1/math.Cos(θ/2)-1), 0.06*float64(h.Gap))
		}
		near(t, "length", float64(h.Length), long, 0.1*long)
	}
}

// A step up from the floor, sharp and of 90°: cloth that goes into 4 mm by hand
// stands 4·(√2 − 1) mm off, and 4²·(1 − π/4) mm² of resin in section fill that.
func TestSharpHollow(t *testing.T) {
	m := sheetOf(40, 20, func(s, u float64) r3.Vec {
		x := 0.2 * (s - 0.5)
		return r3.Vec{X: min(x, 0), Y: 0.1 * u, Z: max(x, 0)}
	})
	w, err := newWork(Input{Surface: m, Plies: stackOf(45, 0)})
	if err != nil {
		t.Fatal(err)
	}
	all := w.hollows()
	if len(all) != 1 || all[0].Radius != 0 {
		t.Fatalf("%+v", all)
	}
	near(t, "length", float64(all[0].Length), 0.1, 1e-6)
	b := pressed(all, 0.004, 0, standsOff)
	near(t, "gap", b.gap, 0.004*(math.Sqrt2-1), 1e-9)
	near(t, "resin", b.resin, resinRho*0.1*0.004*0.004*(1-math.Pi/4), 1e-9)
	out := Result{}
	w.judgeHollow(&out, w.in.Plies[0], all)
	w.judgeTight(&out, all)
	if got := codes(out); got != "caution cloth-bridges, note press-hollows" {
		t.Errorf("findings: %s", got)
	}
	if s := out.Findings[0].What; !strings.Contains(s, "1.7 mm off") {
		t.Error(s)
	}
}

// Cloth slides in from the arm that holds less, which is the shorter one, and its
// free end beyond the rim helps to hold it: R = μ·(arm + trim allowance).
func TestShorterArmSlides(t *testing.T) {
	m := sheetOf(17, 10, func(s, u float64) r3.Vec {
		x := 0.17*s - 0.05
		return r3.Vec{X: max(x, 0), Y: 0.1 * u, Z: max(-x, 0)}
	})
	w, err := newWork(Input{Surface: m, Plies: stackOf(45, 0)})
	if err != nil {
		t.Fatal(err)
	}
	all := w.hollows()
	if len(all) != 1 {
		t.Fatalf("%d hollows", len(all))
	}
	near(t, "tight radius", float64(all[0].Tight), friction*(0.05+float64(usualAllowance)), 1e-9)
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
	m := sheetOf(29, 10, func(s, u float64) r3.Vec {
		p := stations[int(math.Round(29*s))]
		p.Y = 0.1 * u
		return p
	})
	w, err := newWork(Input{Surface: m, Plies: stackOf(45, 0)})
	if err != nil {
		t.Fatal(err)
	}
	all := w.hollows()
	if len(all) != 1 || math.Abs(all[0].Turn.Degrees()-90) > 1e-6 {
		t.Fatalf("%+v", all)
	}
	want := friction*(0.05+float64(usualAllowance))*math.Exp(friction*60*deg) + friction*0.04
	near(t, "tight radius", float64(all[0].Tight), want, 1e-9)
}

// Each ply makes a hollow tighter for the next: a fillet that just takes the first
// one is too tight for the eighth.
func TestHollowCloses(t *testing.T) {
	m := gutter(0.0045, 1.4, 0.05, 8, 0.1)
	plies := stackOf(45, 0, 0, 0, 0, 0, 0, 0, 0)
	for i := range plies {
		plies[i].Fabric.DryThick = material.Exactly(si.Length(0.3e-3))
	}
	for n, want := range map[int]string{1: "", 8: "caution cloth-bridges"} {
		w, err := newWork(Input{Surface: m, Plies: plies[:n]})
		if err != nil {
			t.Fatal(err)
		}
		out := Result{}
		w.judgeHollow(&out, plies[0], w.hollows())
		if got := codes(out); got != want {
			t.Errorf("%d plies: %q", n, got)
		}
	}
}

// A ridge is no hollow, and neither is a plate; the foot of a drafted box is one
// all round, as long as it is.
func TestWhatIsHollow(t *testing.T) {
	hollows := func(m *mesh.Mesh) []Hollow {
		w, err := newWork(Input{Surface: m, Plies: stackOf(45, 0)})
		if err != nil {
			t.Fatal(err)
		}
		return w.hollows()
	}
	if got := hollows(gutter(0.01, 1.2, 0.05, 8, 0.1).Flipped()); len(got) != 0 {
		t.Errorf("a ridge is taken for a hollow: %+v", got[0])
	}
	if got := hollows(plate()); len(got) != 0 {
		t.Errorf("a plate is hollow: %+v", got[0])
	}
	foot := sheetOf(48, 48, func(s, t float64) r3.Vec {
		x, y := 0.3*(2*s-1), 0.3*(2*t-1)
		return r3.Vec{X: x, Y: y, Z: -min(0.1, max(0, math.Abs(x)-0.1, math.Abs(y)-0.1))}
	})
	got := hollows(foot)
	if len(got) != 1 || got[0].Radius != 0 {
		t.Fatalf("%d hollows, %+v", len(got), got)
	}
	near(t, "turn", got[0].Turn.Degrees(), 45, 0.1)
	near(t, "length", float64(got[0].Length), 1.6, 0.1)
}
