package geom

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func total(rs []Region) (sum float64) {
	for _, r := range rs {
		sum += r.Area()
	}
	return sum
}

// Identities: |A ∪ B| = |A| + |B| − |A ∩ B|, |A \ B| = |A| − |A ∩ B|, and a
// point is in the union exactly where it is in either.
func TestBooleanIdentities(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1))
	for range 150 {
		a := star(rng, 5+rng.IntN(15), 0.1, 1)
		b := star(rng, 5+rng.IntN(15), 0.1, 1).Shift(r2.Vec{X: rng.Float64() - 0.5, Y: rng.Float64() - 0.5})
		ra, rb := []Region{a.Region()}, []Region{b.Region()}
		u, err1 := Union(ra[0], rb[0])
		i, err2 := Intersect(ra, rb)
		d, err3 := Difference(ra, rb)
		if err1 != nil || err2 != nil || err3 != nil {
			t.Fatal(err1, err2, err3)
		}
		near(t, "union", total(u), a.Area()+b.Area()-total(i), 1e-13)
		near(t, "difference", total(d), a.Area()-total(i), 1e-13)
		for range 20 {
			v := r2.Vec{X: 3*rng.Float64() - 1.5, Y: 3*rng.Float64() - 1.5}
			in := false
			for _, r := range u {
				in = in || r.Contains(v)
			}
			if in != (a.Contains(v) || b.Contains(v)) {
				t.Fatalf("%v: in the union %v", v, in)
			}
		}
	}
}

// Pieces that touch along an edge share no area and join without a seam; a
// frame keeps its hole, anticlockwise outside and clockwise inside.
func TestTouchingAndHoles(t *testing.T) {
	a, b := Rect(0, 0, 1, 1), Rect(1, 0, 2, 1)
	if s, err := IntersectionArea(a, b); s != 0 || err != nil {
		t.Errorf("touching squares share %g, %v", s, err)
	}
	u, err := Union(a.Region(), b.Region())
	if err != nil || len(u) != 1 || u[0].Area() != 2 {
		t.Errorf("joined %v, %v", u, err)
	}
	f, err := Difference([]Region{Rect(0, 0, 3, 3).Region()}, []Region{Rect(1, 1, 2, 2).Region()})
	if err != nil || len(f) != 1 || len(f[0].Holes) != 1 {
		t.Fatalf("frame %v, %v", f, err)
	}
	near(t, "frame", f[0].Area(), 8, 1e-14)
	if f[0].Outer.Area() < 0 || f[0].Holes[0].Area() > 0 {
		t.Error("rings run the wrong way")
	}
	if f[0].Contains(r2.Vec{X: 1.5, Y: 1.5}) || !f[0].Contains(r2.Vec{X: 0.5, Y: 0.5}) {
		t.Error("the hole counts as inside")
	}
	near(t, "distance from the hole", f[0].Distance(r2.Vec{X: 1.5, Y: 1.75}), 0.25, 1e-15)
	none, err := Intersect(nil, f)
	if err != nil || len(none) != 0 {
		t.Errorf("nothing met the frame in %v, %v", none, err)
	}
}

func TestValidNamesTheFault(t *testing.T) {
	for name, p := range map[string]Polygon{
		"too few":  {{}, {X: 1}},
		"crossing": {{}, {X: 1, Y: 1}, {X: 1}, {Y: 1}},
		"NaN":      {{}, {X: math.NaN()}, {Y: 1}},
		"infinite": {{}, {X: math.Inf(1)}, {Y: 1}},
		"flat":     {{}, {X: 1}, {X: 2}},
		"nothing":  nil,
	} {
		if p.Valid() == nil {
			t.Errorf("%s: taken as a simple polygon", name)
		}
		if _, err := Offset(p, 0.01); err == nil {
			t.Errorf("%s: offset gave no error", name)
		}
	}
	if _, err := Offset(Rect(0, 0, 1, 1), math.NaN()); err == nil || !strings.Contains(err.Error(), "NaN") {
		t.Errorf("offset by NaN: %v", err)
	}
	if err := star(rand.New(rand.NewPCG(1, 1)), 30, 0.1, 1).Valid(); err != nil {
		t.Error(err)
	}
}
