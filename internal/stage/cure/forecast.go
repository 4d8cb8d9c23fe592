package cure

import (
	"math"

	"laywright/internal/base/resin"
	"laywright/internal/base/si"
)

// forecast says how it goes on from the log's end: through the rest of the
// schedule where there is one, else held on at the last temperature.
func (l *logged) forecast(r *Result, end *watch) (*Forecast, error) {
	f := &Forecast{}
	now := r.State.At
	from := func(t *si.Time) *si.Time {
		if t == nil || *t <= now {
			return nil
		}
		d := *t - now
		return &d
	}
	if r.Total > now {
		f.Gel, f.Demould = from(r.Gel), from(r.Demould)
		if r.Demould == nil {
			return f, l.goOn(f, 0, end.least(&end.now), end.now.temp[end.middle()], false)
		}
		return f, l.pastSchedule(f, float64(now))
	}
	coldest := r.State.Coldest
	f.Hold = &coldest
	degree, wait := r.State.Degree, 0.0
	stands := true
	for i, c := range l.courses {
		a, t := c.now.least(&c.now.now), c.now.now.temp[c.now.middle()]
		gel, _, ok, err := l.holdUntil(a, t, func(g resin.Glimpse) float64 { return g.Degree - l.in.Law.Gel })
		if err != nil {
			return nil, err
		}
		if ok && gel > 0 && r.Gel == nil && (f.Gel == nil || si.Time(gel) < *f.Gel) {
			f.Gel = seconds(&gel)
		}
		firm, reached, ok, err := l.holdUntil(a, t, l.firmness)
		if err != nil {
			return nil, err
		}
		stands = stands && ok
		wait = math.Max(wait, firm)
		if i == 0 || reached < degree {
			degree = reached
		}
	}
	if stands && wait > 0 {
		f.Demould = seconds(&wait)
	}
	if !stands || wait > patience {
		return f, l.goOn(f, 0, r.State.Degree, float64(coldest), false)
	}
	return f, l.goOn(f, si.Time(wait), degree, float64(coldest), true)
}

// pastSchedule goes on from the end of the schedule's last hold at its hottest.
func (l *logged) pastSchedule(f *Forecast, now float64) error {
	c := l.slowest()
	at, t := now, 0.0
	for _, p := range c.ps {
		if p.t1 > now && p.b >= t {
			at, t = p.t1, p.b
		}
	}
	a, err := l.cured(until(l.after(c.line), at))
	if err != nil {
		return err
	}
	return l.goOn(f, si.Time(at-now), a, t, true)
}

// holdUntil holds resin of degree a at t (K) until g rises to 0, for no more than
// longestRoom, and returns how long that took and the degree then.
func (l *logged) holdUntil(a, t float64, g func(resin.Glimpse) float64) (at, degree float64, ok bool, err error) {
	c := l.in.Law.StartWithin(a, coarse)
	when, ok, err := c.Until(g, 0, longestRoom, kelvin(t), kelvin(t))
	return float64(when), c.Degree(), ok, err
}

// firmness rises through 0 where resin would stand without the mould.
func (l *logged) firmness(g resin.Glimpse) float64 {
	lead := float64(l.in.Law.Glass.Transition(g.Degree)-g.Temperature) - float64(l.in.Law.Firm)
	const perDegree = 100
	return math.Min(lead, (g.Degree-l.in.Law.Gel)*perDegree)
}

// goOn finds the hold that brings resin of degree a at t (K), which stands or
// does not after the wait, to the glass transition that is wanted; nil where it
// has it, or where there is no heat.
func (l *logged) goOn(f *Forecast, wait si.Time, a, t float64, stands bool) error {
	p := planner{in: l.in, room: t, target: wanted(l.in)}
	p.bound = math.Min(float64(l.in.Spec.Hottest), weakest(l.in.Mould, l.in.Layers, l.in.Bag)-limitHand)
	tg := float64(l.in.Law.Glass.Transition(a))
	if stands && tg >= p.target || l.in.Spec.In == Room {
		return nil
	}
	if !stands {
		return l.warmer(f, p, a, t)
	}
	start := program{wet: t, stands: true, tg: tg}
	best := start
	at, degree, ok, err := l.holdUntil(a, t, p.enough)
	if err != nil {
		return err
	}
	if ok && at <= longestHot && t <= p.bound {
		best = program{wet: t, stands: true, hot: true, temp: t, rate: p.ramp(), hold: halfHours(at), total: halfHours(at)}
		best.tg = float64(l.in.Law.Glass.Transition(degree))
	}
	// A part that just stands may go soft on the way up: then it waits longer.
	for _, more := range [...]float64{0, 6 * 3600, 12 * 3600, 24 * 3600, 48 * 3600} {
		later, err := l.in.Law.After(a, []resin.Hold{{For: si.Time(more), At: kelvin(t)}})
		if err != nil {
			return err
		}
		hot, err := p.hotter(start, later, p.bound)
		if err != nil {
			return err
		}
		hot.total += more
		if hot.hot && p.better(hot, best) {
			best, best.first = hot, more
		}
		if best.tg >= p.target {
			break
		}
	}
	if best.hot {
		f.GoOn = &GoOn{Wait: wait + si.Time(best.first), Temperature: kelvin(best.temp), Ramp: si.TemperatureDifference(best.rate * 3600), Hold: si.Time(best.hold), Tg: kelvin(best.tg)}
	}
	return nil
}

// warmer finds the coolest warmer hold in which wet resin comes to stand within
// patience.
func (l *logged) warmer(f *Forecast, p planner, a, t float64) error {
	for wet := nextStep(t); wet <= p.bound; wet += tempStep {
		c := l.in.Law.StartWithin(a, coarse)
		up := si.Time((wet - t) / p.ramp())
		if err := c.Follow(0, up, kelvin(t), kelvin(wet), nil); err != nil {
			return err
		}
		at, ok, err := c.Until(l.firmness, up, up+patience, kelvin(wet), kelvin(wet))
		if err != nil {
			return err
		}
		if ok {
			hold := si.Time(math.Max(holdStep, halfHours(float64(at-up))))
			if err := c.Follow(at, up+hold, kelvin(wet), kelvin(wet), nil); err != nil {
				return err
			}
			f.GoOn = &GoOn{Temperature: kelvin(wet), Ramp: si.TemperatureDifference(p.ramp() * 3600), Hold: hold, Tg: l.in.Law.Glass.Transition(c.Degree())}
			return nil
		}
	}
	return nil
}
