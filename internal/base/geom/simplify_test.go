package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// A circle of radius r drawn with n chords and simplified to tol keeps at
// least π / acos(1 − tol/r) corners, the number that a sagitta of tol allows,
// and every dropped corner lies within tol of what is left.
func TestSimplifyCircle(t *testing.T) {
	const r, tol = 0.5, 1e-4
	p := regular(2000, r)
	q := Simplify(p, tol)
	need := math.Pi / math.Acos(1-tol/r)
	if n := float64(len(q)); n < need || n > 2*need {
		t.Errorf("%d corners, want %.0f to %.0f", len(q), need, 2*need)
	}
	for _, v := range p {
		if d := q.Distance(v); d > tol {
			t.Fatalf("a dropped corner is %g off", d)
		}
	}
}

// The outward form loses no area of the ring, grows by at most tol, stays
// simple, and drops corners.
func TestSimplifyOutwardHoldsTheRing(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 2))
	for k := range 60 {
		p, tol := star(rng, 12+rng.IntN(60), 0.3, 0.4), 0.002+0.05*rng.Float64()
		if k%2 == 0 {
			p = regular(100, 0.4)
		}
		q := SimplifyOutward(p, tol)
		if err := q.Valid(); err != nil {
			t.Fatalf("not simple: %v", err)
		}
		lost, err := Difference([]Region{p.Region()}, []Region{q.Region()})
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range lost {
			if l.Area() > 1e-14 {
				t.Fatalf("area %g of the ring was lost", l.Area())
			}
		}
		for _, v := range q {
			if !p.Contains(v) && p.Distance(v) > tol+1e-12 {
				t.Fatalf("reaches %g out, allowed %g", p.Distance(v), tol)
			}
		}
		if k%2 == 0 && len(q) > 60 {
			t.Errorf("a circle of 100 chords kept %d corners at %.3g", len(q), tol)
		}
	}
}

// A slot wider than tol stays open to its depth.
func TestSimplifyOutwardKeepsDeepSlots(t *testing.T) {
	p := Polygon{{}, {X: 1}, {X: 1, Y: 1}, {X: 0.55, Y: 1}, {X: 0.55, Y: 0.2}, {X: 0.45, Y: 0.2}, {X: 0.45, Y: 1}, {Y: 1}}
	if q := SimplifyOutward(p, 0.05); q.Contains(r2.Vec{X: 0.5, Y: 0.5}) {
		t.Error("a slot 0.8 deep was closed at 0.05")
	}
}

// A round bite is not filled up by one small chord after another: no point of
// the border comes farther out than tol.
func TestSimplifyOutwardCountsReachTogether(t *testing.T) {
	const r, tol = 0.3, 0.004
	p := Polygon{{X: 0.5}, {X: 0.5, Y: 0.6}, {X: -0.5, Y: 0.6}, {X: -0.5}}
	for k := range 199 { // from left to right along a half circle
		s, c := math.Sincos(math.Pi * float64(k+1) / 200)
		p = append(p, r2.Vec{X: -r * c, Y: r * s})
	}
	q := SimplifyOutward(p, tol)
	if len(q) > 40 {
		t.Errorf("kept %d corners", len(q))
	}
	for i, v := range q {
		for f := 0.0; f < 1; f += 0.05 {
			x := r2.Add(v, r2.Scale(f, r2.Sub(q.next(i), v)))
			if !p.Contains(x) && p.Distance(x) > tol+1e-12 {
				t.Fatalf("reaches %g out", p.Distance(x))
			}
		}
	}
}

// A shallow notch that another part of the ring pokes into stays open.
func TestSimplifyOutwardMindsOtherCorners(t *testing.T) {
	p := Polygon{{}, {X: 1.3}, {X: 1.3, Y: 1.5}, {X: 0.45, Y: 1.5}, {X: 0.5, Y: 0.98}, {X: 0.7, Y: 1.1}, {X: 1.1, Y: 1.1},
		{X: 1.1, Y: 1}, {X: 0.6, Y: 1}, {X: 0.5, Y: 0.96}, {X: 0.4, Y: 1}, {Y: 1}}
	if err := p.Valid(); err != nil {
		t.Fatal(err)
	}
	if err := SimplifyOutward(p, 0.05).Valid(); err != nil {
		t.Errorf("crosses itself: %v", err)
	}
}
