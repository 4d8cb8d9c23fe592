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

// minimumSteps bounds a search for a minimum: golden sections alone shrink an
// interval to its hundred-millionth in 40.
const minimumSteps = 100

// Minimum returns x between a and b where f is least, to within tol, by parabolas
// through the best three points while they shrink the interval, by golden sections
// otherwise. f must fall and then rise; else a local minimum is found.
//
// tol below about 1e-8 of the interval is noise: f is flat there.
//
// Source: [brent1973], chapter 5.
func Minimum(f func(float64) float64, a, b, tol float64) float64 {
	golden := (3 - math.Sqrt(5)) / 2
	x := a + golden*(b-a)
	w, v := x, x
	fx := f(x)
	fw, fv := fx, fx
	step, last := 0.0, 0.0
	for range minimumSteps {
		middle := (a + b) / 2
		near := tol/4 + epsilon*math.Abs(x)
		if math.Abs(x-middle) <= 2*near-(b-a)/2 {
			break
		}
		if p, ok := vertex(x, w, v, fx, fw, fv); ok && math.Abs(p-x) < math.Abs(last)/2 && p > a && p < b {
			step, last = p-x, step
			if p-a < 2*near || b-p < 2*near {
				step = math.Copysign(near, middle-x)
			}
		} else {
			last = a - x
			if x < middle {
				last = b - x
			}
			step = golden * last
		}
		u := x + step
		if math.Abs(step) < near {
			u = x + math.Copysign(near, step)
		}
		fu := f(u)
		if fu <= fx {
			if u < x {
				b = x
			} else {
				a = x
			}
			v, fv, w, fw, x, fx = w, fw, x, fx, u, fu
			continue
		}
		if u < x {
			a = u
		} else {
			b = u
		}
		if fu <= fw || w == x {
			v, fv, w, fw = w, fw, u, fu
		} else if fu <= fv || v == x || v == w {
			v, fv = u, fu
		}
	}
	return x
}

// vertex is where the parabola through three points is flat.
func vertex(x, w, v, fx, fw, fv float64) (float64, bool) {
	r, q := (x-w)*(fx-fv), (x-v)*(fx-fw)
	below := 2 * (q - r)
	return x - ((x-v)*q-(x-w)*r)/below, below != 0
}
