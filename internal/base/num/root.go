package num

import (
	"math"

	"laywright/internal/base/fault"
)

// rootSteps bounds a root search. Bisection alone halves an interval to the
// spacing of float64 in some 60 steps; Brent's method needs at most the square.
const rootSteps = 200

// Root returns x between a and b where f changes sign, to within tol.
//
// Brent's method: inverse quadratic or secant steps while they shrink the
// bracket, bisection otherwise, so a continuous f always converges. f(a) and
// f(b) must differ in sign; where they do not, the error says so.
//
// Source: [brent1973].
func Root(f func(float64) float64, a, b, tol float64) (float64, error) {
	fa, fb := f(a), f(b)
	if fa == 0 {
		return a, nil
	}
	if fb == 0 {
		return b, nil
	}
	if !(fa*fb < 0) {
		return 0, &fault.NoSolution{What: "a root in the bracket", Residual: math.Min(math.Abs(fa), math.Abs(fb)),
			Do: "the function must have opposite signs at the two ends"}
	}
	c, fc := a, fa
	step, last := b-a, b-a
	for range rootSteps {
		if fb*fc > 0 {
			c, fc = a, fa
			step, last = b-a, b-a
		}
		if math.Abs(fc) < math.Abs(fb) {
			a, b, c = b, c, b
			fa, fb, fc = fb, fc, fb
		}
		near := 2*epsilon*math.Abs(b) + tol/2
		half := (c - b) / 2
		if math.Abs(half) <= near || fb == 0 {
			return b, nil
		}
		step, last = brentStep(a, b, c, fa, fb, fc, step, last, near)
		a, fa = b, fb
		if math.Abs(step) > near {
			b += step
		} else {
			b += math.Copysign(near, half)
		}
		fb = f(b)
	}
	return 0, &fault.NoSolution{What: "a root in the bracket", Steps: rootSteps, Residual: math.Abs(c - b), Limit: tol,
		Do: "the function may not be continuous"}
}

// epsilon is the spacing of float64 at 1.
const epsilon = 0x1p-52

// brentStep proposes the next step and says how long the one before was.
func brentStep(a, b, c, fa, fb, fc, step, last, near float64) (float64, float64) {
	half := (c - b) / 2
	if math.Abs(last) < near || math.Abs(fa) <= math.Abs(fb) {
		return half, half
	}
	s := fb / fa
	var p, q float64
	if a == c {
		p, q = 2*half*s, 1-s
	} else {
		u, r := fa/fc, fb/fc
		p = s * (2*half*u*(u-r) - (b-a)*(r-1))
		q = (u - 1) * (r - 1) * (s - 1)
	}
	if p > 0 {
		q = -q
	}
	p = math.Abs(p)
	if 2*p < math.Min(3*half*q-math.Abs(near*q), math.Abs(last*q)) {
		return p / q, step
	}
	return half, half
}

// Minimum returns x between a and b where f is least, to within tol, by golden
// sections. f must fall and then rise; else a local minimum is found.
//
// tol below about 1e-8 of the interval is noise: f is flat there.
func Minimum(f func(float64) float64, a, b, tol float64) float64 {
	golden := (math.Sqrt(5) - 1) / 2
	x, y := b-golden*(b-a), a+golden*(b-a)
	fx, fy := f(x), f(y)
	for b-a > tol {
		if fx <= fy {
			b, y, fy = y, x, fx
			x = b - golden*(b-a)
			fx = f(x)
		} else {
			a, x, fx = x, y, fy
			y = a + golden*(b-a)
			fy = f(y)
		}
	}
	return (a + b) / 2
}
