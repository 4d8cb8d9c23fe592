package outline

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// A rectangle with round corners lacks what the corners' squares are more than their
// quarter circles. (Exact area.)
func TestRoundedRing(t *testing.T) {
	o := Outline{Corner: 0.01}
	o.P = []r2.Vec{{}, {Y: 0.05}, {X: 0.08, Y: 0.05}, {X: 0.08}} // clockwise
	ring, err := o.Ring("x")
	if err != nil {
		t.Fatal(err)
	}
	want := 0.08*0.05 - (4-math.Pi)*0.01*0.01
	if got := ring.Area(); math.Abs(got-want) > 1e-4*want {
		t.Errorf("area %g, want %g", got, want)
	}
}

func TestRingRefused(t *testing.T) {
	for _, c := range []struct {
		o    Outline
		want string
	}{
		{Outline{}, "x: the outline is no closed line"},
		{Outline{Corner: 0.03}, "x.corner: "},
		{Outline{Corner: -0.01}, "x.corner: "},
	} {
		if c.o.Corner != 0 {
			c.o.P = []r2.Vec{{}, {X: 0.08}, {X: 0.08, Y: 0.05}, {Y: 0.05}}
		}
		if _, err := c.o.Ring("x"); err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%v, want %s", err, c.want)
		}
	}
}
