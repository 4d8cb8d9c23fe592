package num

import (
	"math"
	"sort"

	"laywright/internal/base/fault"
)

// Linear returns the value at x of the broken line through (xs, ys). Outside
// the ends the end value is held. xs must rise; where two are equal, the line
// jumps and the later value holds at the jump. An empty table gives NaN.
func Linear(xs, ys []float64, x float64) float64 {
	n := len(xs)
	switch {
	case n == 0 || x != x:
		return math.NaN()
	case x < xs[0]:
		return ys[0]
	case x >= xs[n-1]:
		return ys[n-1]
	}
	i := sort.Search(n, func(k int) bool { return xs[k] > x }) - 1
	return ys[i] + (ys[i+1]-ys[i])*(x-xs[i])/(xs[i+1]-xs[i])
}

// Monotone is a smooth curve through points that rises where they rise and
// falls where they fall: no overshoot. Cubic Hermite pieces with limited slopes.
//
// Source: [fritsch-carlson1980].
type Monotone struct{ x, y, slope []float64 }

// NewMonotone builds the curve. xs must rise strictly and hold two points or more.
func NewMonotone(xs, ys []float64) (Monotone, error) {
	n := len(xs)
	if n < 2 || len(ys) != n {
		return Monotone{}, &fault.Input{Field: "curve", What: "needs two points or more, as many values as places"}
	}
	secant := make([]float64, n-1)
	for i := range secant {
		if !(xs[i+1] > xs[i]) {
			return Monotone{}, &fault.Input{Field: fault.Numbered("curve", i+1), What: "does not lie beyond the point before it",
				Do: "write the points in rising order"}
		}
		secant[i] = (ys[i+1] - ys[i]) / (xs[i+1] - xs[i])
	}
	slope := make([]float64, n)
	slope[0], slope[n-1] = secant[0], secant[n-2]
	for i := 1; i < n-1; i++ {
		if secant[i-1]*secant[i] > 0 {
			slope[i] = (secant[i-1] + secant[i]) / 2
		}
	}
	for i, s := range secant {
		limitSlopes(s, &slope[i], &slope[i+1])
	}
	return Monotone{x: xs, y: ys, slope: slope}, nil
}

// limitSlopes pulls the end slopes of one piece into the circle of radius three
// secants, in which the cubic stays monotone.
func limitSlopes(secant float64, left, right *float64) {
	if secant == 0 {
		*left, *right = 0, 0
		return
	}
	a, b := *left/secant, *right/secant
	if r := math.Hypot(a, b); r > 3 {
		*left, *right = 3*a/r*secant, 3*b/r*secant
	}
}

// At returns the curve's value at x; outside the ends the end value is held.
func (m Monotone) At(x float64) float64 {
	n := len(m.x)
	switch {
	case x != x:
		return x
	case x <= m.x[0]:
		return m.y[0]
	case x >= m.x[n-1]:
		return m.y[n-1]
	}
	i := sort.Search(n, func(k int) bool { return m.x[k] > x }) - 1
	h := m.x[i+1] - m.x[i]
	s := (x - m.x[i]) / h
	u := 1 - s
	return m.y[i]*(1+2*s)*u*u + m.slope[i]*h*s*u*u + m.y[i+1]*s*s*(3-2*s) - m.slope[i+1]*h*s*s*u
}
