package resin

import (
	"errors"
	"math"

	"laywright/internal/base/num"
	"laywright/internal/base/si"
)

// courseTolerance is the error a step may make in the degree of cure. Over a
// whole schedule some 1e-8 remains.
const courseTolerance = 1e-7

// Course follows resin through a temperature history that it takes on exactly.
type Course struct {
	law    *Law
	solver *num.Solver
	state  [1]float64
	t0, t1 float64 // ends of the current piece, s
	a, b   float64 // temperatures there, K
}

// Start returns a course at degree of cure a.
func (l *Law) Start(a float64) *Course { return l.StartWithin(a, courseTolerance) }

// StartWithin is [Law.Start] with another error a step: 1e-5 leaves some 1e-6 in
// the degree of cure and takes a third of the steps, enough for a search.
func (l *Law) StartWithin(a, tolerance float64) *Course {
	c := &Course{law: l}
	c.state[0] = a
	c.solver = num.NewSolver(num.Problem{N: 1, Scale: []float64{1}, F: func(t float64, y, dy []float64) {
		dy[0] = l.rate(c.temperature(t), y[0])
	}}, tolerance)
	return c
}

// Degree returns the degree of cure reached.
func (c *Course) Degree() float64 { return min(max(c.state[0], 0), 1) }

func (c *Course) temperature(t float64) float64 {
	if t >= c.t1 {
		return c.b
	}
	return c.a + (c.b-c.a)*(t-c.t0)/(c.t1-c.t0)
}

// Glimpse is the state at one instant of a course.
type Glimpse struct {
	Time        si.Time
	Temperature si.Temperature
	Degree      float64
}

// Follow goes on from t0 to t1 while the temperature runs straight from a to b.
// After each step see gets the state at its start and at its end, and a function
// for the degree of cure in between; it may be nil. Where it returns false the
// course stops there.
func (c *Course) Follow(t0, t1 si.Time, a, b si.Temperature, see func(from, to Glimpse, at func(si.Time) float64) bool) error {
	c.t0, c.t1, c.a, c.b = float64(t0), float64(t1), float64(a), float64(b)
	if see == nil {
		return c.solver.Run(c.t0, c.t1, c.state[:], nil)
	}
	return c.solver.Run(c.t0, c.t1, c.state[:], func(s *num.Step) bool {
		at := func(t si.Time) float64 {
			var y [1]float64
			s.At(float64(t), y[:])
			return y[0]
		}
		glimpse := func(t, a float64) Glimpse {
			return Glimpse{si.Time(t), si.Temperature(c.temperature(t)), a}
		}
		return see(glimpse(s.T0, s.Start()[0]), glimpse(s.T1(), s.End()[0]), at)
	})
}

// Until goes on like Follow, but only until g rises to 0, and leaves the course
// there. g should rise once. ok is false where it does not within the piece.
func (c *Course) Until(g func(Glimpse) float64, t0, t1 si.Time, a, b si.Temperature) (at si.Time, ok bool, err error) {
	c.t0, c.t1, c.a, c.b = float64(t0), float64(t1), float64(a), float64(b)
	if g(Glimpse{t0, a, c.state[0]}) >= 0 {
		return t0, true, nil
	}
	var degree float64
	var failed error
	err = c.Follow(t0, t1, a, b, func(from, to Glimpse, inside func(si.Time) float64) bool {
		if !(g(to) >= 0) {
			return true
		}
		between := func(t float64) float64 {
			return g(Glimpse{si.Time(t), si.Temperature(c.temperature(t)), inside(si.Time(t))})
		}
		var t float64
		t, failed = num.Root(between, float64(from.Time), float64(to.Time), 1e-9*float64(to.Time))
		at, ok, degree = si.Time(t), failed == nil, inside(si.Time(t))
		return false
	})
	if ok {
		c.state[0] = degree
	}
	return at, ok, errors.Join(err, failed)
}

// TimeTo returns how long the resin takes from degree of cure 0 to a at the
// constant temperature t. ok is false where it takes longer than limit, as it
// does for ever where diffusion stops it.
func (l *Law) TimeTo(a float64, t si.Temperature, limit si.Time) (at si.Time, ok bool, err error) {
	return l.Start(0).Until(func(g Glimpse) float64 { return g.Degree - a }, 0, limit, t, t)
}

// GelTime returns when a thin film gels at the constant temperature t. ok is
// false where it has not gelled within 60 days.
func (l *Law) GelTime(t si.Temperature) (at si.Time, ok bool, err error) {
	const sixtyDays = 60 * 86400
	return l.TimeTo(l.Gel, t, sixtyDays)
}

// After returns the degree of cure after holds one after another, each reached
// at once, from degree a.
func (l *Law) After(a float64, holds []Hold) (float64, error) {
	c := l.Start(a)
	for _, h := range holds {
		if err := c.Follow(0, h.For, h.At, h.At, nil); err != nil {
			return math.NaN(), err
		}
	}
	return c.Degree(), nil
}

// Hold is a time at a temperature.
type Hold struct {
	For si.Time
	At  si.Temperature
}
