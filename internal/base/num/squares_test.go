package num

import (
	"math"
	"testing"
)

// A line through readings of known spread has a closed form: for y = a + b·(x − x̄)
// with n readings of spread s, a has s²/n and b has s²/Σ(x − x̄)² (any textbook of
// statistics). One step finds it.
func TestLeastSquaresOfALine(t *testing.T) {
	xs, ys := []float64{-2, -1, 0, 1, 2}, []float64{1.1, 1.9, 3.2, 3.8, 5.0}
	const s = 0.5
	p, c, err := LeastSquares(func(p []float64) (r []float64, err error) {
		for i, x := range xs {
			r = append(r, (p[0]+p[1]*x-ys[i])/s)
		}
		return r, nil
	}, []float64{0, 0})
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		what      string
		got, want float64
	}{{"a", p[0], 3.0}, {"b", p[1], 0.97}, {"var a", c[0][0], s * s / 5}, {"var b", c[1][1], s * s / 10}, {"cov", c[0][1], 0}} {
		if math.Abs(x.got-x.want) > 1e-9 {
			t.Errorf("%s: %.12g, want %.12g", x.what, x.got, x.want)
		}
	}
}

// The valley of Rosenbrock's function, a common trial: its least is at (1, 1).
func TestLeastSquaresFollowsAValley(t *testing.T) {
	p, _, err := LeastSquares(func(p []float64) ([]float64, error) {
		return []float64{10 * (p[1] - p[0]*p[0]), 1 - p[0]}, nil
	}, []float64{-1.2, 1})
	if err != nil || math.Hypot(p[0]-1, p[1]-1) > 1e-4 {
		t.Errorf("%v, %v", p, err)
	}
}

// The axes' outer products add up to the covariance.
func TestAxesCarryTheCovariance(t *testing.T) {
	c := [][]float64{{4, 2, -1}, {2, 3, 0.5}, {-1, 0.5, 2}}
	axes := Axes(c)
	for i := range c {
		for j := range c {
			sum := 0.0
			for _, a := range axes {
				sum += a[i] * a[j]
			}
			if math.Abs(sum-c[i][j]) > 1e-12 {
				t.Errorf("entry %d %d: %g, want %g", i, j, sum, c[i][j])
			}
		}
	}
}

func TestLargest(t *testing.T) {
	below := func(limit float64) func(float64) (bool, error) {
		return func(x float64) (bool, error) { return x <= limit, nil }
	}
	for limit, want := range map[float64]float64{0.5: 0, 3: 3, 20: 10} {
		if got, _ := Largest(1, 10, 0.001, below(limit)); math.Abs(got-want) > 0.001*want {
			t.Errorf("limit %g: %g, want %g", limit, got, want)
		}
	}
}
