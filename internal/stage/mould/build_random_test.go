package mould

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould/carve"
)

// randomMould is a block with up to two solids on it or beside it.
func randomMould(rng *rand.Rand) string {
	in := func(low, high float64) float64 { return math.Round(low + (high-low)*rng.Float64()) }
	x, y, z := in(120, 260), in(90, 200), in(30, 90)
	out := fmt.Sprintf("    - block: {size: {unit: mm, xyz: [%g, %g, %g]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: \"%g mm\", draft: \"%g deg\"}\n", x, y, z, in(2, 9), in(0, 14))
	for range rng.IntN(3) {
		at := fmt.Sprintf("{unit: mm, xyz: [%g, %g, %g]}", in(-x/5, x/5), in(-y/6, y/6), z-8)
		d := in(30, 0.5*y)
		switch rng.IntN(4) {
		case 0:
			out += fmt.Sprintf("    - cylinder: {diameter: \"%g mm\", height: \"%g mm\", at: %s, edge: \"3 mm\", draft: \"%g deg\"}\n", d, in(15, 50), at, in(0, 5))
		case 1:
			out += fmt.Sprintf("    - cone: {diameter: \"%g mm\", top: \"%g mm\", height: \"%g mm\", at: %s}\n", d, math.Round(d*0.6), in(20, 50), at)
		case 2:
			out += fmt.Sprintf("    - dome: {diameter: \"%g mm\", height: \"%g mm\", at: %s}\n", d, min(math.Round(d*0.35)+8, math.Floor(d/2)), at)
		default:
			out += fmt.Sprintf("    - block: {size: {unit: mm, xyz: [%g, %g, %g]}, at: %s, edge: \"3 mm\", draft: \"4 deg\"}\n", d, d*0.8, in(20, 45), at)
		}
	}
	return fmt.Sprintf("mould:\n  fillet: \"%g mm\"\n  flange: \"30 mm\"\n  triangle: \"10 mm\"\n  solids:\n%s", in(3, 8), out)
}

// Of random moulds the slices stacked again give the volume within 0.5 %, no drawn
// outline stands off its surface by more than the stated chord, which in one of ten at
// the most is more than the usual, and the saw line of each board holds every
// outline in it.
func TestRandomMouldsAreBuilt(t *testing.T) {
	t.Parallel()
	moulds := 3
	if *long {
		moulds = 60
	}
	rng := rand.New(rand.NewPCG(4, 4))
	filled, loose, told, worst, far := 0, 0, 0.0, 0.0, 0.0
	for range moulds {
		text := randomMould(rng)
		in := read(t, text)
		in.Mould.Build = &BuildSpec{Board: si.Length([]float64{12e-3, 18e-3, 30e-3, 50e-3}[rng.IntN(4)])}
		r := work(t, in)
		s := r.Build.Stack
		if told = max(told, float64(r.Build.Chord)); r.Build.Chord > carve.ChordTo {
			loose++
		}
		off := math.Abs(float64(s.Restacked)/volume(r) - 1)
		if worst = max(worst, off); off > 5e-3 {
			t.Errorf("slices give %.4g of %.4g m³\n%s", float64(s.Restacked), volume(r), text)
		}
		if has(r, "boards-with-filler") {
			filled++
		}
		far = max(far, outlinesOff(t, in.Mould, r, text))
		for _, board := range s.Boards {
			sawLineHolds(t, board, text)
		}
	}
	t.Logf("%d moulds, %d with their filler; volumes within %.3f %%, outlines within %.3f mm; %d told to be off, by %.3f mm at most", moulds, filled, 100*worst, 1e3*far, loose, 1e3*told)
	if 10*loose > moulds {
		t.Errorf("outlines of %d of %d moulds stand off more than %.3f mm", loose, moulds, 1e3*carve.ChordTo)
	}
}

// Two solids that nearly touch leave a groove whose walls meet at a small angle; its
// bottom is drawn as true as the walls.
func TestGrooveIsDrawnToItsBottom(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		board  si.Length
		solids string
	}{
		{18e-3, `
    - block: {size: {unit: mm, xyz: [204, 173, 71]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: "8 mm", draft: "10 deg"}
    - cone: {diameter: "37 mm", top: "22 mm", height: "31 mm", at: {unit: mm, xyz: [24, 0, 63]}}
    - cone: {diameter: "76 mm", top: "46 mm", height: "48 mm", at: {unit: mm, xyz: [-21, 14, 63]}}`},
		{50e-3, `
    - block: {size: {unit: mm, xyz: [243, 197, 36]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: "4 mm", draft: "8 deg"}
    - dome: {diameter: "73 mm", height: "34 mm", at: {unit: mm, xyz: [46, -5, 28]}}
    - dome: {diameter: "93 mm", height: "41 mm", at: {unit: mm, xyz: [-29, -2, 28]}}`},
	} {
		text := "mould:\n  fillet: \"4 mm\"\n  flange: \"30 mm\"\n  triangle: \"10 mm\"\n  solids:" + c.solids
		in := read(t, text)
		in.Mould.Build = &BuildSpec{Board: c.board}
		outlinesOff(t, in.Mould, work(t, in), text)
	}
}

// outlinesOff is the most that a corner or the middle of a side of a drawn outline
// stands off the true shape, in the plane of the slice.
func outlinesOff(t *testing.T, spec *Spec, r Result, text string) (far float64) {
	t.Helper()
	b, err := newMoved(spec, move{scale: 1})
	if err != nil {
		t.Fatal(err)
	}
	shape, u, where := carve.Field(b.bare().Sharp), r.Build, ""
	if has(r, "boards-with-filler") {
		shape = b.joined.At
	}
	for _, board := range u.Stack.Boards {
		if board.Number == 0 {
			continue
		}
		for _, l := range board.Levels {
			for _, region := range l.Cut {
				for i, p := range region.Outer {
					q := region.Outer[(i+1)%len(region.Outer)]
					for _, at := range []r2.Vec{p, r2.Scale(0.5, r2.Add(p, q))} {
						d, n := shape(r3.Vec{X: at.X, Y: at.Y, Z: l.Z})
						if g := math.Hypot(n.X, n.Y); g > 0.1 && math.Abs(d)/g > far {
							far, where = math.Abs(d)/g, fmt.Sprintf("board %d at (%.2f, %.2f, %.2f) mm, side of %.2f mm, corner %v", board.Number, 1e3*at.X, 1e3*at.Y, 1e3*l.Z, 1e3*r2.Norm(r2.Sub(p, q)), at == p)
						}
					}
				}
			}
		}
	}
	if stated := float64(u.Chord); far > stated {
		t.Errorf("an outline stands %.3f mm off, more than %.3f mm: %s\n%s", 1e3*far, 1e3*stated, where, text)
	}
	return far
}

func sawLineHolds(t *testing.T, b carve.Board, text string) {
	t.Helper()
	for _, l := range b.Levels {
		for _, region := range l.Cut {
			for _, p := range region.Outer {
				held := false
				for _, piece := range b.Pieces {
					held = held || piece.Outline.Contains(p)
				}
				if !held && b.Number > 0 {
					t.Fatalf("board %d: (%.2f, %.2f) mm at %.2f mm lies outside the saw line\n%s", b.Number, 1e3*p.X, 1e3*p.Y, 1e3*l.Z, text)
				}
			}
		}
	}
}
