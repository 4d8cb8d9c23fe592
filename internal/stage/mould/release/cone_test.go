package release

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// Walls of a box with draft 10° and 0° on two opposite sides and 3° on the others:
// tilted by t towards the upright side, that one has the draft t and the 3° sides
// asin(sin 3°·cos t), so that the least is greatest where tan t = sin 3°.
func TestWidestOfUnevenBox(t *testing.T) {
	wall := func(azimuth, draft float64) r3.Vec {
		return r3.Vec{X: math.Cos(draft) * math.Cos(azimuth), Y: math.Cos(draft) * math.Sin(azimuth), Z: math.Sin(draft)}
	}
	e, sine, ok := widest([]r3.Vec{up, wall(0, rad(10)), wall(math.Pi, 0), wall(math.Pi/2, rad(3)), wall(-math.Pi/2, rad(3))})
	want := math.Atan(math.Sin(rad(3)))
	if !ok {
		t.Fatal("no direction found")
	}
	near(t, "least draft", math.Asin(sine), want, 1e-9)
	near(t, "tilt", math.Atan2(-e.X, e.Z), want, 1e-9)
	near(t, "sideways", e.Y, 0, 1e-9)
}

// Normals all round a cylinder have no direction in which all lean forward.
func TestWidestOfNone(t *testing.T) {
	if e, _, ok := widest(around(up, 12)); ok {
		t.Errorf("found %v", e)
	}
}

// The answer is the best: no direction nearby does better (the problem is convex
// on the sphere where an answer exists, so that a local best is the best), and the
// normals that bind it hold it from all sides, which the duality demands.
func TestWidestIsBest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var normals []r3.Vec
		for range rapid.IntRange(1, 40).Draw(t, "count") {
			φ, z := rapid.Float64Range(0, 2*math.Pi).Draw(t, "turn"), rapid.Float64Range(0.05, 1).Draw(t, "rise")
			s, c := math.Sincos(φ)
			normals = append(normals, r3.Vec{X: c * math.Sqrt(1-z*z), Y: s * math.Sqrt(1-z*z), Z: z})
		}
		e, sine, ok := widest(normals)
		if !ok {
			t.Fatal("every normal rises, so that up is one answer")
		}
		least := func(e r3.Vec) float64 { return r3.Dot(normals[farthest(normals, e)], e) }
		if math.Abs(least(e)-sine) > 1e-12 || math.Abs(r3.Norm(e)-1) > 1e-12 {
			t.Fatalf("e %v gives %g, not %g", e, least(e), sine)
		}
		for _, step := range []float64{1e-1, 1e-2, 1e-3} {
			for _, u := range around(e, 24) {
				if other := least(r3.Unit(r3.Add(e, r3.Scale(step, u)))); other > sine+1e-9 {
					t.Fatalf("a step of %g gives %g, more than %g", step, other, sine)
				}
			}
		}
	})
}
