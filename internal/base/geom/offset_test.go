package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// Steiner's formula for a convex ring: A(d) = A + P d + π d². The joins stand
// at most arcError off the arc. Source: [steiner1840]
func TestOffsetSteiner(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 9))
	for range 20 {
		p := Hull(star(rng, 12, 0.2, 0.5))
		d := 0.001 + 0.05*rng.Float64()
		got, err := Offset(p, d)
		if err != nil || len(got) != 1 {
			t.Fatal(len(got), err)
		}
		want := p.Area() + p.Perimeter()*d + math.Pi*d*d
		over := got[0].Area() - want
		if over < -1e-12 || over > 2*math.Pi*d*arcError {
			t.Errorf("area is %.3g over Steiner's, joins allow %.3g", over, 2*math.Pi*d*arcError)
		}
	}
}

// A rectangle shrunk by d is the rectangle less 2d a side; shrunk past half
// its width it is gone.
func TestOffsetInward(t *testing.T) {
	p := Rect(0, 0, 0.4, 0.1)
	got, err := Offset(p.Reversed(), -0.02)
	if err != nil || len(got) != 1 {
		t.Fatal(got, err)
	}
	near(t, "area", got[0].Area(), 0.36*0.06, 1e-15)
	if got, err = Offset(p, -0.0501); err != nil || len(got) != 0 {
		t.Errorf("past the middle %v, %v", got, err)
	}
	dumbbell := Polygon{{}, {X: 1}, {X: 1, Y: 0.4}, {X: 2, Y: 0.4}, {X: 2}, {X: 3}, {X: 3, Y: 1}, {X: 2, Y: 1}, {X: 2, Y: 0.6}, {X: 1, Y: 0.6}, {X: 1, Y: 1}, {Y: 1}}
	if got, err = Offset(dumbbell, -0.15); err != nil || len(got) != 2 {
		t.Errorf("a neck of 0.2 shrunk by 0.15 leaves %d parts, %v", len(got), err)
	}
}

// The definition, point by point: a point is in the offset exactly where it is
// in the ring or nearer than d to it (for −d: in it and farther than d).
func TestOffsetByDistance(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	for k := range 40 {
		p, d := star(rng, 6+rng.IntN(24), 0.15, 0.5), 0.002+0.06*rng.Float64()
		if k%2 == 1 {
			d = -d
		}
		parts, err := OffsetRegion(p.Region(), d)
		if err != nil {
			t.Fatal(err)
		}
		for range 200 {
			v := r2.Vec{X: 1.2*rng.Float64() - 0.6, Y: 1.2*rng.Float64() - 0.6}
			s := p.Distance(v) // signed: negative inside
			if p.Contains(v) {
				s = -s
			}
			if math.Abs(s-d) < 2*arcError {
				continue
			}
			in := false
			for _, r := range parts {
				in = in || r.Contains(v)
			}
			if in != (s < d) {
				t.Fatalf("offset %g: point at %g counted inside: %v", d, s, in)
			}
		}
	}
}

// No corner of a join comes nearer to the ring than the offset, none is
// farther than the join error.
func TestOffsetNeverShort(t *testing.T) {
	p := star(rand.New(rand.NewPCG(8, 8)), 25, 0.2, 0.5)
	for _, d := range []float64{1e-4, 1.5e-3, 0.03} {
		got, err := Offset(p, d)
		if err != nil {
			t.Fatal(err)
		}
		for i, v := range got[0] {
			w := got[0].next(i)
			for k := range 5 {
				x := r2.Add(v, r2.Scale(float64(k)/5, r2.Sub(w, v)))
				if s := p.Distance(x); s < d-1e-12 || s > d+arcError+1e-12 {
					t.Fatalf("offset %g has a point at %g", d, s)
				}
			}
		}
	}
}

// A ring with a narrow mouth closes on itself when grown: the pocket is a hole
// of the region and is filled in the plain form.
func TestOffsetClosesPocket(t *testing.T) {
	c := Polygon{{}, {X: 1}, {X: 1, Y: 0.45}, {X: 0.8, Y: 0.45}, {X: 0.8, Y: 0.2}, {X: 0.2, Y: 0.2}, {X: 0.2, Y: 0.8}, {X: 0.8, Y: 0.8}, {X: 0.8, Y: 0.55}, {X: 1, Y: 0.55}, {X: 1, Y: 1}, {Y: 1}}
	rs, err := OffsetRegion(c.Region(), 0.06)
	if err != nil || len(rs) != 1 || len(rs[0].Holes) != 1 {
		t.Fatalf("%d parts, %v", len(rs), err)
	}
	back, err := OffsetRegion(rs[0], -0.06)
	if err != nil {
		t.Fatal(err)
	}
	if total(back) < c.Area() {
		t.Errorf("closing lost area: %g of %g", total(back), c.Area())
	}
}

func BenchmarkOffset600(b *testing.B) {
	p := star(rand.New(rand.NewPCG(8, 8)), 600, 0.49, 0.5)
	for b.Loop() {
		if _, err := Offset(p, 0.005); err != nil {
			b.Fatal(err)
		}
	}
}

// A border that turns by next to nothing at its corners grows like a straight one:
// what lies between two of its bands may be too thin to have an area at all.
func TestOffsetOfNearlyStraightBorder(t *testing.T) {
	for _, turn := range []float64{1e-9, 1e-12, 1e-14, 1e-15, 1e-16} {
		p := Polygon{{X: 3, Y: 5}, {X: 3.5, Y: 5}, {X: 4, Y: 5 + 0.5*turn}, {X: 4, Y: 6}, {X: 3, Y: 6}}
		for _, d := range []float64{0.05, -0.05} {
			out, err := Offset(p, d)
			if err != nil || len(out) != 1 {
				t.Errorf("turn %g, by %g: %d parts, %v", turn, d, len(out), err)
				continue
			}
			want := 0.9 * 0.9
			if d > 0 {
				want = 1 + 4*d + math.Pi*d*d
			}
			if got := out[0].Area(); math.Abs(got-want) > 1e-5 {
				t.Errorf("turn %g, by %g: area %g, want %g", turn, d, got, want)
			}
		}
	}
}
