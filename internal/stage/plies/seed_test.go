package plies

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/base/si"
	"laywright/internal/stage/seed"
)

// A seed that was moved off the middle is told of, with what it gained.
func TestSeedMoves(t *testing.T) {
	bump := shapes.Starred(40, 40, func(s, t float64) r3.Vec {
		x, y := 0.6*(s-0.5), 0.5*(t-0.5)
		return r3.Vec{X: x, Y: y, Z: 0.08 * math.Exp(-(math.Pow(x-0.1, 2)+math.Pow(y-0.06, 2))/(0.09*0.09))}
	})
	w, err := newWork(Input{Surface: bump, Plies: stackOf(45, 0, 45, 30)})
	if err != nil {
		t.Fatal(err)
	}
	out := Result{}
	if err := w.place(&out); err != nil {
		t.Fatal(err)
	}
	if out.SeedFrom != "least shear" || math.Hypot(out.Seed[0]-0.1, out.Seed[1]-0.06) > 0.02 || out.Search.SeedShear >= out.Search.MiddleShear {
		t.Errorf("seed %v (%s), %+v", out.Seed, out.SeedFrom, out.Search)
	}
	if !strings.Contains(codes(out), "note seed-moved") {
		t.Errorf("findings: %s", codes(out))
	}
}

// Where the shape itself is even the middle stands: a plate, a cylinder, a box.
func TestSeedStaysInTheMiddle(t *testing.T) {
	tunnel := shapes.Starred(40, 30, func(s, u float64) r3.Vec {
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

func TestWarpMayHelp(t *testing.T) {
	out := Result{}
	out.noteSearch(&seed.Search{SeedShear: si.Degrees(40), TurnShear: si.Degrees(30), Turn: si.Degrees(3)}, "middle")
	if got := codes(out); got != "note warp-turn-helps" || !strings.Contains(out.Findings[0].What, "+3°") {
		t.Errorf("%s: %v", got, out.Findings)
	}
}
