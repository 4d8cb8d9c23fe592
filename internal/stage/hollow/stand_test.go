package hollow

import (
	"math"
	"testing"
)

// The arc that touches both arms, measured by its points: the way across the
// corner, the area under it and the length of cloth, each worked out from the
// figure and not from the formulas.
func TestStandIsPlaneGeometry(t *testing.T) {
	for _, c := range []struct{ R, r, θ, arm float64 }{
		{0.02, 0.005, 90 * deg, 0.1}, {0.012, 0, 60 * deg, 0.1}, {0.03, 0.01, 120 * deg, 0.004}, {0.5, 0, 90 * deg, 0.02}, {0.012, 0.01, 2, 0},
	} {
		got := stand(c.R, c.r, c.θ, c.arm)
		sin, cos := math.Sincos(c.θ / 2)
		long := c.r*sin/cos + c.arm // the arms meet at (0, 0) and rise to either side at θ/2
		surface := func(x float64) float64 {
			if c.r > 0 && math.Abs(x) < c.r*sin {
				return c.r/cos - math.Sqrt(c.r*c.r-x*x)
			}
			return math.Abs(x) * sin / cos
		}
		touch := min(c.R*sin, long*cos)
		middle := touch*sin/cos + math.Sqrt(c.R*c.R-touch*touch)
		cloth := func(x float64) float64 { return middle - math.Sqrt(max(0, c.R*c.R-x*x)) }
		const n = 200000
		area, lengthS, lengthC := 0.0, 0.0, 0.0
		for i := range n {
			a, b := touch*(2*float64(i)/n-1), touch*(2*float64(i+1)/n-1)
			area += (b - a) * (cloth((a+b)/2) - surface((a+b)/2))
			lengthS += math.Hypot(b-a, surface(b)-surface(a))
			lengthC += math.Hypot(b-a, cloth(b)-cloth(a))
		}
		near(t, "gap", got.gap, cloth(0)-surface(0), 1e-9)
		near(t, "void", got.void, area, 1e-9)
		near(t, "feed", got.feed, lengthS-lengthC, 2e-7)
	}
	if got := stand(0.01, 0.02, 1, 1); got.gap != 0 || got.radius != 0.02 {
		t.Errorf("cloth that bends tighter than the hollow: %+v", got)
	}
}

// On a flat arm the radius is μ·L; past a ridge of radius a that turns by φ it is
// (μ·L + a)·e^{μφ} − a, the closed form of the balance of forces, which the sum over
// small turns comes near to by the first order of their size.
func TestHold(t *testing.T) {
	near(t, "flat arm", arm{ways: []float64{0.05}, turns: []float64{0}}.hold(0.02), friction*0.07, 1e-12)
	const a, φ, L = 0.03, 1.2, 0.08
	want := friction*0.01 + (friction*L+a)*math.Exp(friction*φ) - a
	miss := func(n int) float64 {
		ridge := arm{}
		for i := range n {
			ridge.ways, ridge.turns = append(ridge.ways, a*φ/float64(n)), append(ridge.turns, φ/float64(n))
			if i == 0 {
				ridge.ways[0] += 0.01
			}
		}
		ridge.ways, ridge.turns = append(ridge.ways, L), append(ridge.turns, 0)
		return ridge.hold(0) - want
	}
	if a, b := miss(20), miss(40); math.Abs(a) > 4e-3*want || math.Abs(a/b-2) > 0.1 {
		t.Errorf("off by %g and %g of %g", a, b, want)
	}
}
