package num

import (
	"math"
	"sort"
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
