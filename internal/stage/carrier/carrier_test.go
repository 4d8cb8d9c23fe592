package carrier

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"laywright/internal/base/geom"
	"laywright/internal/base/si"
)

// Two pots of 100 g, five pieces of 30 g, a core that takes 20 g after the second and peel
// ply that takes 30 g at the end, worked out by hand: pot 1 wets the first two pieces, the
// core and 20 g of the third, whose last 10 g come from pot 2.
func TestPotsByHand(t *testing.T) {
	rect := geom.Rect(-0.1, -0.1, 0.4, 0.3)
	piece := func(n int) Take {
		return Take{Piece: fmt.Sprint(n), Ply: n, Resin: 0.030, Rectangle: rect}
	}
	r, err := Group(Input{Film: "f", Width: 1.2, Pots: []si.Mass{0.1, 0.1},
		Takes: []Take{piece(1), piece(2), {Resin: 0.020}, piece(3), piece(4), piece(5), {Resin: 0.030}}})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Batches) != 2 || len(r.Batches[0].Pieces) != 3 || len(r.Batches[1].Pieces) != 2 {
		t.Fatalf("batches %+v", r.Batches)
	}
	third := r.Batches[0].Pieces[2]
	if third.Piece != "3" || third.Order != 3 || len(third.Share) != 1 || third.Share[0].Pot != 2 || math.Abs(float64(third.Share[0].Mass)-0.010) > 1e-12 {
		t.Errorf("the third piece %+v, want 10 g from pot 2", third)
	}
	// 500 × 400 mm: across a film of 1200 mm three stand side by side, 500 mm deep.
	if math.Abs(float64(r.Batches[0].Length)-0.5) > 1e-12 || math.Abs(float64(r.Batches[1].Length)-0.4) > 1e-12 || math.Abs(float64(r.Length)-1.8) > 1e-12 {
		t.Errorf("films %v and %v m, together %v; want 0.5, 0.4 and 1.8", r.Batches[0].Length, r.Batches[1].Length, r.Length)
	}
}

// Whatever the pieces and pots: each piece lies on one film, in the order of the work, its
// rectangle inside the film and on no other, and each pot gives what it holds.
func TestGroupProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := Input{Film: "f", Width: si.Length(rapid.Float64Range(0.3, 1.5).Draw(t, "width"))}
		sum := 0.0
		for i := range rapid.IntRange(1, 14).Draw(t, "pieces") {
			x, y := rapid.Float64Range(0.02, 1).Draw(t, "x"), rapid.Float64Range(0.02, 1).Draw(t, "y")
			off := rapid.Float64Range(-1, 1).Draw(t, "off")
			take := Take{Piece: fmt.Sprint("P", i), Ply: i, Resin: si.Mass(rapid.Float64Range(0, 0.1).Draw(t, "resin")), Rectangle: geom.Rect(off, -off, off+x, y-off)}
			if rapid.IntRange(0, 5).Draw(t, "core") == 0 {
				take.Rectangle = nil
			}
			in.Takes, sum = append(in.Takes, take), sum+float64(take.Resin)
		}
		for range rapid.IntRange(0, 5).Draw(t, "pots") {
			in.Pots = append(in.Pots, 0.05)
		}
		r, err := Group(in)
		if err != nil {
			t.Fatal(err)
		}
		checkGroup(t, in, r)
	})
}

func checkGroup(t *rapid.T, in Input, r Result) {
	rects := map[string]geom.Polygon{}
	var want []string
	for _, x := range in.Takes {
		if rects[x.Piece] = x.Rectangle; len(x.Rectangle) > 0 {
			want = append(want, x.Piece)
		}
	}
	order, long, pot := 0, si.Length(0), 0
	for _, b := range r.Batches {
		if b.Pot <= pot {
			t.Fatalf("pot %d comes after pot %d", b.Pot, pot)
		}
		pot, long = b.Pot, long+2*b.Length
		var boxes []r2.Box
		reach := 0.0
		for _, p := range b.Pieces {
			if order++; p.Order != order || p.Piece != want[order-1] {
				t.Fatalf("%s is number %d, want %s as %d", p.Piece, p.Order, want[order-1], order)
			}
			box := rects[p.Piece].Turn(float64(p.Turn)).Shift(r2.Vec{X: float64(p.X), Y: float64(p.Y)}).Bounds()
			if box.Min.X < -1e-9 || box.Min.Y < -1e-9 || box.Max.X > float64(b.Length)+1e-9 || !p.Wide && box.Max.Y > float64(in.Width)+1e-9 {
				t.Fatalf("%s lies at %v on a film of %v × %v", p.Piece, box, b.Length, in.Width)
			}
			for _, o := range boxes {
				if min(box.Max.X, o.Max.X)-max(box.Min.X, o.Min.X) > 1e-9 && min(box.Max.Y, o.Max.Y)-max(box.Min.Y, o.Min.Y) > 1e-9 {
					t.Fatalf("%s lies on another", p.Piece)
				}
			}
			boxes, reach = append(boxes, box), max(reach, box.Max.X)
			if size := box.Size(); p.Wide != (min(size.X, size.Y) > float64(in.Width)+1e-9) {
				t.Fatalf("%s, %v, wider than the film: %v", p.Piece, size, p.Wide)
			}
		}
		if math.Abs(reach-float64(b.Length)) > 1e-9 {
			t.Fatalf("a film of %v for %v m", b.Length, reach)
		}
	}
	if order != len(want) || math.Abs(float64(long-r.Length)) > 1e-9 {
		t.Fatalf("%d of %d pieces, %v m of film for %v", order, len(want), r.Length, long)
	}
}

// No rows that keep the order are shorter: against all ways to break up to seven pieces
// into rows and to turn them.
func TestRowsAreShortest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.Float64Range(0.3, 1.2).Draw(t, "width")
		var of []r2.Vec
		for range rapid.IntRange(1, 7).Draw(t, "pieces") {
			of = append(of, r2.Vec{X: rapid.Float64Range(0.02, 0.3).Draw(t, "x"), Y: rapid.Float64Range(0.02, 0.6).Draw(t, "y")})
		}
		got := 0.0
		for _, r := range rows(of, width) {
			got += r.deep
		}
		if want := shortestOf(of, width); math.Abs(got-want) > 1e-9 {
			t.Fatalf("rows are %v deep together, want %v", got, want)
		}
	})
}

// shortestOf tries every first row with every way to turn its pieces.
func shortestOf(of []r2.Vec, width float64) float64 {
	if len(of) == 0 {
		return 0
	}
	best := math.Inf(1)
	for n := 1; n <= len(of); n++ {
		for turns := range 1 << n {
			across, deep := 0.0, 0.0
			for i, s := range of[:n] {
				if turns>>i&1 == 1 {
					s.X, s.Y = s.Y, s.X
				}
				across, deep = across+s.Y, max(deep, s.X)
			}
			if across <= width {
				best = min(best, deep+shortestOf(of[n:], width))
			}
		}
	}
	return best
}

func TestRefuses(t *testing.T) {
	for _, in := range []Input{{}, {Width: si.Length(math.NaN())}, {Width: 1, Takes: []Take{{Piece: "a", Rectangle: geom.Rect(0, 0, 0, 1)}}},
		{Width: 1, Takes: []Take{{Piece: "a", Rectangle: geom.Rect(0, 0, math.Inf(1), 1)}}}} {
		if _, err := Group(in); err == nil {
			t.Errorf("%+v was laid out", in)
		}
	}
}
