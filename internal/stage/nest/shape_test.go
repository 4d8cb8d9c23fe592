package nest

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/base/si"
)

// star is a ring of n corners about the origin that never crosses itself.
func star(rng *rand.Rand, n int, lo, hi float64) geom.Polygon {
	p := make(geom.Polygon, n)
	for i := range p {
		s, c := math.Sincos(2 * math.Pi * (float64(i) + 0.6*rng.Float64()) / float64(n))
		r := lo + (hi-lo)*rng.Float64()
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

// The parts are convex and have together the area of the ring; a ring with r
// reflex corners needs at least r/2 + 1 parts, and the joined triangles are at
// most four times the least number. Source: [hertel1983]
func TestConvexParts(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		p := star(rng, 3+rng.IntN(30), 0.1, 1)
		parts := convexParts(p)
		var area float64
		for _, q := range parts {
			area += q.Area()
			ring := make([]int, len(q))
			for i := range q {
				ring[i] = i
			}
			if !isConvex(q, ring) {
				t.Fatal("a part is not convex")
			}
		}
		near(t, "area of the parts", area, p.Area(), 1e-14)
		reflex := 0
		for i := range p {
			if cross(p, (i+len(p)-1)%len(p), i, (i+1)%len(p)) < 0 {
				reflex++
			}
		}
		if n := len(parts); float64(n) < float64(reflex)/2+1 || n > 2*reflex+1 {
			t.Errorf("%d parts for %d reflex corners", n, reflex)
		}
	}
}

// Closed forms: the largest disc in a right triangle has r = (a + b − c)/2, in
// a square half the side. All discs lie in the ring and none in another.
func TestPoles(t *testing.T) {
	tri := poles(geom.Polygon{{}, {X: 0.4}, {Y: 0.3}})
	near(t, "inradius of 3-4-5", tri[0].r, 0.1, 1e-4)
	near(t, "disc of a square", poles(geom.Rect(0, 0, 0.2, 0.2))[0].r, 0.1, 1e-4)
	rng := rand.New(rand.NewPCG(3, 1))
	for range 20 {
		p := star(rng, 12, 0.2, 1)
		ds := poles(p)
		for i, d := range ds {
			if !p.Contains(d.c) || p.Distance(d.c) < d.r-1e-12 {
				t.Fatal("a disc stands out of its ring")
			}
			for _, o := range ds[:i] {
				if r2.Norm(r2.Sub(o.c, d.c)) < o.r+d.r-1e-12 {
					t.Fatal("two discs overlap")
				}
			}
		}
	}
	sliver := poles(geom.Polygon{{}, {X: 1, Y: 1e-6}, {X: 1, Y: 2e-6}})
	if len(sliver) == 0 || !(sliver[0].r > 0) {
		t.Errorf("a sliver has discs %v", sliver)
	}
}

// The outline that is nested holds the piece and half the gap around it.
func TestGrownKeepsTheGap(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 1))
	for range 20 {
		p := star(rng, 20, 0.1, 0.3)
		g, err := grown(p, 0.003)
		if err != nil {
			t.Fatal(err)
		}
		if d := apartness(p, g); d < 0.0015-1e-12 {
			t.Errorf("grown by half of 3 mm but only %g m away", d)
		}
		for _, v := range p {
			if !g.Contains(v) {
				t.Fatal("a corner lies outside the grown outline")
			}
		}
	}
}

func stripOf(t testing.TB, width float64, pieces ...Piece) *strip {
	t.Helper()
	r := Roll{Width: si.Length(width), Pieces: pieces}
	r, err := r.check()
	if err != nil {
		t.Fatal(err)
	}
	k, err := newKit(r)
	if err != nil {
		t.Fatal(err)
	}
	return lane{width: width, length: math.Inf(1)}.newStrip(k, kindsOf(r.sets()))
}

var halfTurns = []si.Angle{0, si.Angle(math.Pi)}

func stars(seed uint64, n, copies int) []Piece {
	rng := rand.New(rand.NewPCG(seed, 0))
	var out []Piece
	for i := range n {
		out = append(out, Piece{Name: string(rune('a' + i)), Count: copies, Turns: halfTurns,
			Outline: star(rng, 4+rng.IntN(9), 0.04, 0.2)})
	}
	return out
}

func (p *pose) ring(pieces []Piece, x, y float64) geom.Polygon {
	return laid(pieces[p.kind].Outline, p.turn, p.flipped).Shift(r2.Vec{X: x + p.origin.X, Y: y + p.origin.Y})
}

// The tables against polygon Booleans, which share nothing with them: a shift
// is free exactly where the outlines share no area. Outlines are nested with a
// little slack, so shifts within it of touching are left out.
func TestPairAgreesWithBooleans(t *testing.T) {
	pieces := stars(7, 4, 1)
	s := stripOf(t, 1, pieces...)
	rng := rand.New(rand.NewPCG(9, 9))
	free, hit := 0, 0
	for range 1500 {
		a, b := int32(rng.IntN(len(s.poses))), int32(rng.IntN(len(s.poses)))
		p, q := s.poses[a], s.poses[b]
		dx, dy := (2*rng.Float64()-1)*(p.hx+q.hx), (2*rng.Float64()-1)*(p.hy+q.hy)
		st := &state{strip: s}
		v := st.between(a, b, dx, dy)
		near(t, "the other way round", st.between(b, a, -dx, -dy), v, 1e-6*v)
		shared, err := geom.IntersectionArea(p.ring(pieces, 0, 0), q.ring(pieces, dx, dy))
		if err != nil {
			t.Fatal(err)
		}
		switch {
		case shared > 0 && v == 0:
			t.Fatalf("poses %d and %d at (%g, %g) share %g but count as free", a, b, dx, dy, shared)
		case shared == 0 && v > 0 && apartness(p.ring(pieces, 0, 0), q.ring(pieces, dx, dy)) > 2e-4:
			t.Fatalf("poses %d and %d at (%g, %g) are free but count as overlapping", a, b, dx, dy)
		case v == 0:
			free++
		default:
			hit++
		}
	}
	if free < 300 || hit < 300 {
		t.Errorf("only %d free and %d overlapping shifts were tried", free, hit)
	}
}

// Without tables the same shifts are free, to within touching, and overlaps
// grow alike.
func TestDirectAgreesWithTables(t *testing.T) {
	s := stripOf(t, 1, stars(8, 4, 1)...)
	rng := rand.New(rand.NewPCG(9, 10))
	for range 3000 {
		a, b := int32(rng.IntN(len(s.poses))), int32(rng.IntN(len(s.poses)))
		p, q := s.poses[a], s.poses[b]
		dx, dy := (2*rng.Float64()-1)*(p.hx+q.hx), (2*rng.Float64()-1)*(p.hy+q.hy)
		st := &state{strip: s}
		v, d := st.between(a, b, dx, dy), overlapAt(p, q, dx, dy)
		if (v == 0) != (d == 0) {
			t.Fatalf("poses %d and %d at (%g, %g): %g with a table, %g without", a, b, dx, dy, v, d)
		}
		near(t, "overlap without a table", d, v, 0.3*v) // the table is interpolated
	}
}

// The sum of two convex rings has area A + B + 2·V(A, B); for two rectangles it
// is the rectangle of the summed sides, for a square and its quarter-turned
// self the planes touch all corners.
func TestSumOfRectangles(t *testing.T) {
	u, v := newPart(geom.Rect(0, 0, 0.3, 0.1)), newPart(geom.Rect(-0.1, 0, 0.1, 0.4))
	var s sum
	s.set(&u, &v)
	for _, c := range []struct {
		x, y float64
		in   bool
	}{{0.1, -0.1, true}, {0.399, -0.1, true}, {0.401, -0.1, false}, {-0.099, 0.099, true}, {0, 0.101, false}, {0, -0.401, false}, {0, -0.399, true}} {
		if s.holds(c.x, c.y) != c.in {
			t.Errorf("shift (%g, %g) overlaps: %v, want %v", c.x, c.y, !c.in, c.in)
		}
		if u.meets(&v, c.x, c.y) != c.in {
			t.Errorf("at (%g, %g) the parts meet: %v, want %v", c.x, c.y, !c.in, c.in)
		}
	}
	lo, hi := s.blocked(0)
	near(t, "left end", lo, -0.1, 1e-9)
	near(t, "right end", hi, 0.4, 1e-9)
}

// The overlap measure falls as two equal squares are drawn apart.
func TestOverlapFallsOutward(t *testing.T) {
	s := stripOf(t, 1, Piece{Name: "a", Count: 2, Outline: geom.Rect(0, 0, 0.2, 0.2)})
	st := &state{strip: s}
	last := math.Inf(1)
	for _, dx := range []float64{0, 0.05, 0.1, 0.15, 0.19} {
		v := st.between(0, 0, dx, 0)
		if !(v > 0 && v < last) {
			t.Errorf("overlap at %g m is %g, before %g", dx, v, last)
		}
		last = v
	}
	if v := st.between(0, 0, 0.2, 0.03); v != 0 {
		t.Errorf("touching squares overlap by %g", v)
	}
}
