package seed

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// Angles a quarter turn apart give the same net and count once.
func TestAnglesCountOnce(t *testing.T) {
	k, err := newSeeker(partOn(t, plate(), ahead), asked(ahead, 0, 90, -45, 45, 135, 30, 180))
	if err != nil || len(k.angles) != 3 {
		t.Errorf("angles %v, %v", k.angles, err)
	}
}

// Places are spread: none nearer to another than half of the even distance, and
// none at the rim.
func TestSpread(t *testing.T) {
	p := partOn(t, plate(), ahead)
	places := spread(p, 12, skewOf(p))
	even := math.Sqrt(p.Area / 12)
	for i, a := range places {
		x := p.Top.Mesh.At(a)
		if math.Abs(x.X) > 0.15-even/5 || math.Abs(x.Y) > 0.1-even/5 {
			t.Errorf("a place at the rim: %v", x)
		}
		for _, b := range places[:i] {
			if d := r3.Norm(r3.Sub(x, p.Top.Mesh.At(b))); d < even/2 {
				t.Errorf("two places %.0f mm apart", 1000*d)
			}
		}
	}
	if len(places) != 12 {
		t.Errorf("%d places", len(places))
	}
}

// A burden is worth moving for when it shears less, locks less, or is much lighter
// all over; where cuts are made and the middle locks, only when it saves them.
func TestWorth(t *testing.T) {
	b := func(most, mean, locked float64) burden { return burden{most * deg, mean * deg, locked} }
	for _, c := range []struct {
		a, than burden
		want    bool
		cut     bool
	}{
		{b(20, 10, 0), b(30, 10, 0), true, true},
		{b(29, 10, 0), b(30, 10, 0), false, false},
		{b(60, 20, 0.1), b(85, 20, 0.1), true, false},
		{b(85, 20, 0.1), b(60, 20, 0.2), false, false},
		{b(60, 20, 0.1), b(60, 20, 0.2), true, false},
		{b(30, 20, 0), b(60, 20, 0.2), true, true},
		{b(30, 8, 0), b(30, 16, 0), true, true},
		{b(35, 4, 0), b(30, 16, 0), false, false},
	} {
		for _, cuts := range []bool{false, true} {
			want := c.want
			if cuts {
				want = c.cut
			}
			if got := (&seeker{locking: 45 * deg, cuts: cuts}).worth(c.a, c.than); got != want {
				t.Errorf("%+v for %+v, cuts %v: %v", c.a, c.than, cuts, got)
			}
		}
	}
}
