package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

// star is a ring of n corners about the origin, radii from lo to hi: never
// self-crossing, mostly not convex.
func star(rng *rand.Rand, n int, lo, hi float64) Polygon {
	p := make(Polygon, n)
	for i := range p {
		s, c := math.Sincos(2 * math.Pi * (float64(i) + 0.6*rng.Float64()) / float64(n))
		r := lo + (hi-lo)*rng.Float64()
		p[i] = r2.Vec{X: r * c, Y: r * s}
	}
	return p
}

func regular(n int, r float64) Polygon {
	p := make(Polygon, n)
	for i := range p {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		p[i] = r2.Vec{X: r * c, Y: r * s}
	}
	return p
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.12g, want %.12g within %.2g", what, got, want, tol)
	}
}

// Closed forms: a regular n-gon has area ½ n r² sin(2π/n) and perimeter
// 2 n r sin(π/n); a right triangle has its centroid a third in; an L of three
// unit squares has it at the mean of the squares' centres.
func TestMeasures(t *testing.T) {
	p := regular(7, 0.3)
	near(t, "area", p.Area(), 3.5*0.09*math.Sin(2*math.Pi/7), 1e-15)
	near(t, "reversed area", p.Reversed().Area(), -p.Area(), 1e-15)
	near(t, "perimeter", p.Perimeter(), 14*0.3*math.Sin(math.Pi/7), 1e-15)
	c := Polygon{{X: 1e6, Y: 0}, {X: 1e6 + 3, Y: 0}, {X: 1e6, Y: 3}}.Centroid()
	near(t, "triangle centroid x", c.X, 1e6+1, 1e-9)
	near(t, "triangle centroid y", c.Y, 1, 1e-9)
	l := Polygon{{}, {X: 2}, {X: 2, Y: 1}, {X: 1, Y: 1}, {X: 1, Y: 2}, {Y: 2}}
	near(t, "L centroid", l.Centroid().X, (0.5+1.5+0.5)/3, 1e-15)
	near(t, "distance outside", l.Distance(r2.Vec{X: 2, Y: 2}), 1, 1e-15)
	near(t, "distance inside", l.Distance(r2.Vec{X: 1.75, Y: 0.5}), 0.25, 1e-15)
	if b := l.Bounds(); b.Min != (r2.Vec{}) || b.Max != (r2.Vec{X: 2, Y: 2}) {
		t.Errorf("bounds %v", b)
	}
}

// Area, perimeter and containment stay under any turn and shift; a flip turns
// the sign of the area.
func TestMovesKeepMeasures(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 1))
		p := star(rng, 3+rng.IntN(20), 0.1, 1)
		a, d := rng.Float64()*10-5, r2.Vec{X: rng.Float64(), Y: -rng.Float64()}
		q := p.Turn(a).Shift(d)
		near(t, "area", q.Area(), p.Area(), 1e-13)
		near(t, "perimeter", q.Perimeter(), p.Perimeter(), 1e-12)
		near(t, "flipped area", p.Flip().Area(), -p.Area(), 1e-14)
		near(t, "scaled area", p.Scale(3).Area(), 9*p.Area(), 1e-12)
		v := r2.Vec{X: rng.Float64()*2 - 1, Y: rng.Float64()*2 - 1}
		w := r2.Add(Polygon{v}.Turn(a)[0], d)
		if p.Distance(v) > 1e-9 && p.Contains(v) != q.Contains(w) {
			t.Errorf("point in the ring before the move %v, after %v", p.Contains(v), q.Contains(w))
		}
		near(t, "distance", q.Distance(w), p.Distance(v), 1e-12)
	})
}

// Contains against the winding number, summed as angles.
func TestContainsIsWinding(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	for range 500 {
		p := star(rng, 9, 0.05, 1)
		v := r2.Vec{X: rng.Float64()*2 - 1, Y: rng.Float64()*2 - 1}
		var sum float64
		for i, a := range p {
			a, b := r2.Sub(a, v), r2.Sub(p.next(i), v)
			sum += math.Atan2(r2.Cross(a, b), r2.Dot(a, b))
		}
		if (math.Abs(sum) > 3) != p.Contains(v) {
			t.Fatalf("winding %.3f but Contains %v", sum, p.Contains(v))
		}
	}
}

func TestQuarterTurnsAreExact(t *testing.T) {
	p := Rect(0, 0, 0.3, 0.1)
	for k := -8; k <= 8; k++ {
		for _, v := range p.Turn(float64(k) * math.Pi / 2) {
			if x := math.Abs(v.X); x != 0 && x != 0.3 && x != 0.1 {
				t.Errorf("turn by %d quarters gives x = %.17g", k, v.X)
			}
		}
	}
}

// The hull holds every point, is convex, and hulling again changes nothing.
func TestHull(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for range 100 {
		p := star(rng, 40, 0.1, 1)
		h := Hull(p)
		for i, v := range h {
			w := h.next(i)
			if r2.Cross(r2.Sub(w, v), r2.Sub(h.next((i+1)%len(h)), w)) <= 0 {
				t.Fatal("hull is not convex")
			}
			for _, q := range p {
				if r2.Cross(r2.Sub(w, v), r2.Sub(q, v)) < -1e-15 {
					t.Fatal("a point lies outside its hull")
				}
			}
		}
		if again := Hull(h); len(again) != len(h) {
			t.Fatalf("hull of a hull has %d corners, not %d", len(again), len(h))
		}
	}
	square := append(Rect(0, 0, 1, 1), r2.Vec{X: 0.5}, r2.Vec{X: 0.5, Y: 0.5}, r2.Vec{})
	if h := Hull(square); len(h) != 4 || h.Area() != 1 {
		t.Errorf("hull of a square with extra points: %v", h)
	}
}

func TestClean(t *testing.T) {
	p := Polygon{{}, {}, {X: 1}, {X: 1, Y: 1e-9}, {X: 1, Y: 1}, {}}
	if q := p.Clean(1e-8); len(q) != 3 {
		t.Errorf("cleaned to %v", q)
	}
}

// Hairs go, inwards and outwards and at the first corner, and a square is left; a
// sharp tooth stays.
func TestShaven(t *testing.T) {
	square := Polygon{{}, {X: 1}, {X: 1, Y: 1}, {Y: 1}}
	in := Polygon{{}, {X: 0.5}, {X: 0.4, Y: 0.5}, {X: 0.45, Y: 0.25}, {X: 0.5, Y: 1e-9}, {X: 1}, {X: 1, Y: 1}, {Y: 1}}
	out := Polygon{{X: -1, Y: -1}, {}, {X: 1}, {X: 1, Y: 1}, {X: 2, Y: 2}, {X: 1, Y: 1}, {Y: 1}, {}}
	for _, p := range []Polygon{square, in, out} {
		if q := p.Shaven(1e-6); q.Valid() != nil || math.Abs(q.Area()-1) > 1e-6 || len(q) > 5 {
			t.Errorf("%v is shaven to %v", p, q)
		}
	}
	if tooth := (Polygon{{}, {X: 1}, {X: 0.5, Y: 0.01}}); len(tooth.Shaven(1e-6)) != 3 {
		t.Error("a tooth is gone")
	}
}
