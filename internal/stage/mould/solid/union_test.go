package solid

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// Round a block's sharp upright edge the ball turns: at the distance ρ from the edge
// and the height z, d = r − √((r − ρ)² + (r − z)²), right up to the edge.
func TestFillerRoundASharpEdge(t *testing.T) {
	const x, y, r = 0.05, 0.03, 0.0116
	j := &Joined{Parts: []Field{Block(up, vec(2*x, 2*y, 0.05), 0, Draft{}), ground}, Radius: r}
	for _, ρ := range []float64{2e-5, 1e-4, 5e-4, 2e-3, 8e-3} {
		for _, z := range []float64{1e-3, 7e-3, 9.2e-3, 11e-3} {
			for _, a := range []float64{5, 30, 45, 77} {
				want := r - math.Hypot(r-ρ, r-z)
				if d, _ := j.At(vec(x+ρ*math.Cos(rad(a)), y+ρ*math.Sin(rad(a)), z)); math.Abs(d-want) > 1e-7 {
					t.Errorf("ρ %g, z %g, %g deg: %.9g, want %.9g", ρ, z, a, d, want)
				}
			}
		}
	}
}

// In a slot narrower than the ball that is open on top the ball rests on both upper
// edges: d = r − √(r² − w²/4) − δ at the depth δ in its middle.
func TestFillerOverASlot(t *testing.T) {
	const w, r, h = 0.012, 0.01, 0.03
	side := func(x float64) Solid { return Block(Along(vec(x, 0, 0), vec(0, 0, 1)), vec(0.04, 0.2, h), 0, Draft{}) }
	j := &Joined{Parts: []Field{side(0.02 + w/2), side(-0.02 - w/2)}, Radius: r}
	for _, δ := range []float64{1e-4, 1e-3, 2e-3, 4e-3} {
		if d, n := j.At(vec(0, 0.01, h-δ)); math.Abs(d-(0.002-δ)) > 1e-7 || n.Z < 0.999 {
			t.Errorf("%g m deep: %.9g, want %.9g", δ, d, 0.002-δ)
		}
	}
}

// The inner corners of a lip with a bend of 3 mm are filled to a ball's 8 mm: an
// upright cylinder, and at its foot the eighth of a sphere.
func TestFillerInALip(t *testing.T) {
	const r = 0.008
	lip := &Wall{F: up, Outline: Rounded(0.025, 0.02, 0.009), Reach: 0.033, Tight: 0.009, Thickness: 0.012, Height: 0.03}
	j := &Joined{Parts: []Field{lip, ground}, Radius: r}
	o := vec(0.025-0.006-r, 0.02-0.006-r, r) // where the ball rests on both sides and the ground
	for _, a := range []float64{8, 30, 45, 81} {
		s, c := math.Sincos(rad(a))
		for _, b := range []float64{0, 25, 60} {
			down, out := math.Sincos(rad(b))
			if d, _ := j.At(r3.Add(o, r3.Scale(r, vec(out*c, out*s, -down)))); math.Abs(d) > 1e-7 {
				t.Errorf("at %g and %g deg the sphere is %g m off", a, b, d)
			}
		}
		if d, _ := j.At(r3.Add(o, vec(r*c, r*s, 0.01))); math.Abs(d) > 1e-7 {
			t.Errorf("at %g deg the cylinder is %g m off", a, d)
		}
	}
	// Outside, and with a ball that fits, the lip is as drawn.
	if d, _ := j.At(vec(0.032, 0, 0.02)); math.Abs(d-0.001) > 1e-12 {
		t.Errorf("outside: %g", d)
	}
	j.Radius = 0.003
	if d, _ := j.At(vec(0.0159+0.003*math.Sqrt2/2, 0.0109+0.003*math.Sqrt2/2, 0.02)); math.Abs(d-1e-4*math.Sqrt2) > 1e-6 {
		t.Errorf("the corner as drawn: %g", d)
	}
}
