// Package ladder answers how fast a part may be warmed after it has come off its
// mould or its bag: by one even ramp, or in steps that an oven without a clock
// gives, its glass transition always a little ahead of the heat.
//
// SI units, temperatures in kelvin, ramps in kelvin a second. The part follows the
// air at once, as a thin laminate does; a thick one lags, which is the safe side for
// the lead and the short side for the holds.
package ladder

import (
	"math"

	"laywright/internal/base/resin"
	"laywright/internal/base/si"
)

// tolerance is the error of a step: a search needs no more.
const tolerance = 1e-6

// Ramp warms resin of degree of cure a evenly and returns it as it is at the top,
// with the least by which its glass transition was ahead on the way, K.
func Ramp(law *resin.Law, a float64, from, to si.Temperature, rate float64) (c *resin.Course, lead float64, err error) {
	c, lead = law.StartWithin(a, tolerance), math.Inf(1)
	err = c.Follow(0, si.Time(float64(to-from)/rate), from, to, func(_, x resin.Glimpse, _ func(si.Time) float64) bool {
		lead = math.Min(lead, float64(law.Glass.Transition(x.Degree)-x.Temperature))
		return true
	})
	return c, lead, err
}

// Grid and slowest of the ramps that [Fastest] looks at, K/s: what a person can set.
const (
	grid    = 0.5 / 3600
	slowest = 1.0 / 3600
)

// Fastest returns the steepest even ramp, in half kelvins an hour and at most
// limit, along which the glass transition stays lead (K) ahead, and the resin at
// its top. ok is false where a kelvin an hour is too fast.
func Fastest(law *resin.Law, a float64, from, to si.Temperature, lead, limit float64) (rate float64, c *resin.Course, ok bool, err error) {
	try := func(r float64) bool {
		course, ahead, e := Ramp(law, a, from, to, r)
		if err = e; e != nil || !(ahead >= lead) {
			return false
		}
		rate, c, ok = r, course, true
		return true
	}
	if try(limit) || err != nil || !try(min(slowest, limit)) {
		return rate, c, ok, err
	}
	low, high := int(math.Round(slowest/grid)), int(math.Ceil(limit/grid)) // high is too fast
	for high-low > 1 && err == nil {
		if middle := (low + high) / 2; try(grid * float64(middle)) {
			low = middle
		} else {
			high = middle
		}
	}
	return rate, c, ok, err
}

// Step is a hold of a ladder.
type Step struct {
	At  si.Temperature `json:"temperature_degC"`
	For si.Time        `json:"hold_s"`
	Tg  si.Temperature `json:"tg_degC"` // at its end
}

// Holds of a ladder.
const (
	rung    = 5.0         // K from step to step
	quarter = 900.0       // holds are whole quarters of an hour, s
	longest = 24 * 3600.0 // of one step, s
)

// Steps returns the shortest holds, at every fifth degree Celsius, from one temperature to
// another, so that each step is gone up only when the glass transition is lead (K)
// ahead of the next; the last one is held until it comes to tg; after the first, steps go up no
// faster than limit (K/s). Each step is reached at
// once, which is harder on the lead than any oven. ok is false where a step would
// take more than a day.
func Steps(law *resin.Law, a float64, from, to si.Temperature, lead, limit float64, tg si.Temperature) (out []Step, ok bool, err error) {
	c := law.StartWithin(a, tolerance)
	for at := from; ; {
		next := min(si.Celsius(rung*(math.Floor(at.Celsius()/rung+1e-6)+1)), to)
		need, least := next+si.Temperature(lead), 0.0
		if at > from { // there it stands already
			least = float64(next-at) / limit
		}
		if at >= to {
			need = tg
		}
		hold, ok, err := holdUntil(law, c, at, need, least)
		if err != nil || !ok {
			return out, false, err
		}
		if hold > 0 || at >= to {
			out = append(out, Step{At: at, For: hold, Tg: law.Glass.Transition(c.Degree())})
		}
		if at >= to {
			return out, true, nil
		}
		at = next
	}
}

// holdUntil goes on at one temperature, in whole quarters of an hour, until the
// glass transition is what is needed, and no less than a time given.
func holdUntil(law *resin.Law, c *resin.Course, at, need si.Temperature, least float64) (si.Time, bool, error) {
	reached, ok, err := c.Until(func(x resin.Glimpse) float64 {
		return float64(law.Glass.Transition(x.Degree) - need)
	}, 0, longest, at, at)
	if err != nil || !ok {
		return 0, false, err
	}
	whole := si.Time(quarter * math.Ceil(math.Max(float64(reached), least)/quarter-1e-9))
	return whole, true, c.Follow(reached, whole, at, at, nil)
}

// Total returns how long the holds are together.
func Total(steps []Step) (sum si.Time) {
	for _, s := range steps {
		sum += s.For
	}
	return sum
}
