package num

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestRootOfClosedForms(t *testing.T) {
	// The cosine's fixed point is 0.739085133215160641655312… (OEIS A003957).
	x, err := Root(func(x float64) float64 { return math.Cos(x) - x }, 0, 1, 1e-14)
	if err != nil || math.Abs(x-0.7390851332151607) > 1e-13 {
		t.Errorf("fixed point of the cosine: %.16g, %v", x, err)
	}
	// A triple root is flat: bisection has to carry it.
	x, err = Root(func(x float64) float64 { return math.Pow(x-1, 3) }, 0, 3, 1e-10)
	if err != nil || math.Abs(x-1) > 1e-5 {
		t.Errorf("triple root: %.12g, %v", x, err)
	}
	if _, err = Root(func(x float64) float64 { return 1 + x*x }, -1, 1, 1e-9); err == nil {
		t.Error("no sign change, no error")
	}
	if _, err = Root(func(x float64) float64 { return math.NaN() }, -1, 1, 1e-9); err == nil {
		t.Error("NaN gave a root")
	}
}

// Minima known in closed form: of a parabola, of x − ln x (at 1), of a corner that
// no parabola fits, and at an end. A smooth one takes far fewer looks than the 38
// golden sections to the same width.
func TestMinimum(t *testing.T) {
	for name, c := range map[string]struct {
		f          func(float64) float64
		a, b, want float64
		most       int
	}{
		"parabola": {func(x float64) float64 { return (x - 0.3) * (x - 0.3) }, -1, 2, 0.3, 8},
		"log":      {func(x float64) float64 { return x - math.Log(x) }, 0.1, 9, 1, 20},
		"corner":   {func(x float64) float64 { return math.Abs(x - math.Sqrt2) }, -3, 4, math.Sqrt2, 60},
		"end":      {func(x float64) float64 { return x }, 2, 3, 2, 60},
		"far end":  {func(x float64) float64 { return -x * x }, 2, 3, 3, 60},
	} {
		looks := 0
		x := Minimum(func(x float64) float64 { looks++; return c.f(x) }, c.a, c.b, 1e-7)
		if math.Abs(x-c.want) > 1e-7 {
			t.Errorf("%s: minimum at %.9g, want %.9g", name, x, c.want)
		}
		if looks > c.most {
			t.Errorf("%s: %d looks", name, looks)
		}
	}
}

// A·x computed from a random band must be solved back to x, with row exchanges
// forced by small diagonals.
func TestBandedSolvesBack(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	for _, c := range []struct{ n, lower, upper int }{{1, 0, 0}, {5, 4, 4}, {40, 1, 1}, {60, 3, 2}, {60, 2, 5}, {30, 0, 2}, {3, 9, 9}} {
		m := NewBanded(c.n, c.lower, c.upper)
		x, b := make([]float64, c.n), make([]float64, c.n)
		for i := range x {
			x[i] = rng.NormFloat64()
		}
		for i := range c.n {
			for j := max(0, i-c.lower); j <= min(c.n-1, i+c.upper); j++ {
				v := rng.NormFloat64()
				if i == j && c.lower > 0 {
					v *= 1e-3
				}
				m.Set(i, j, v)
				b[i] += v * x[j]
			}
		}
		if err := m.Factor(); err != nil {
			t.Fatalf("%v: %v", c, err)
		}
		m.Solve(b)
		for i := range x {
			if math.Abs(b[i]-x[i]) > 1e-8 {
				t.Errorf("%v: x[%d] = %g, want %g", c, i, b[i], x[i])
				break
			}
		}
	}
	if NewBanded(3, 1, 1).Factor() == nil {
		t.Error("a zero matrix was factored")
	}
}

func TestLinearHoldsEndsAndJumps(t *testing.T) {
	xs, ys := []float64{0, 1, 1, 3}, []float64{2, 4, 10, 20}
	for _, c := range [][2]float64{{-1, 2}, {0, 2}, {0.5, 3}, {1, 10}, {2, 15}, {3, 20}, {9, 20}} {
		if got := Linear(xs, ys, c[0]); got != c[1] {
			t.Errorf("at %g: %g, want %g", c[0], got, c[1])
		}
	}
	if !math.IsNaN(Linear(nil, nil, 1)) {
		t.Error("an empty table gave a number")
	}
}
