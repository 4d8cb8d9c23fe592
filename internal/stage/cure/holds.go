package cure

import (
	"math"

	"laywright/internal/base/resin"
	"laywright/internal/base/si"
	"laywright/internal/stage/cure/ladder"
)

// planner tries schedules on resin that follows the air.
type planner struct {
	in      Input
	room    float64 // temperature of a first hold without heat, K
	bound   float64 // hottest hold that mould, part and bag stand, K
	coolest float64 // coolest warm first hold that is tried, K
	warmest float64 // hottest, K
	free    float64 // hottest hold that the part alone stands, K
	target  float64 // glass transition asked for, K

	cold       float64 // how long the first hold without heat is, s
	standsCold bool    // it is enough

	did  []program // what was tried and does
	seen *watch    // the last schedule's run through the real stack
}

func halfHours(t float64) float64 { return math.Ceil(t/holdStep-1e-9) * holdStep }

// nextStep is the next whole tempStep on the Celsius scale above t, K.
func nextStep(t float64) float64 {
	return 273.15 + tempStep*(math.Floor(celsius(t)/tempStep+1e-6)+1)
}

// ramp is the resin's own limit, K/s.
func (p *planner) ramp() float64 { return float64(p.in.Ramp) / 3600 }

// cooling is the time from t to the shop's temperature, s.
func (p *planner) cooling(t float64) float64 {
	return math.Abs(t-float64(p.in.Shop)) / (coolRate / 3600)
}

// best tries the first hold at room temperature, then, where that takes too long
// or leads to too little, warmer ones.
func (p *planner) best() (program, error) {
	best, err := p.from(p.room, longestRoom)
	if err != nil {
		return best, err
	}
	p.cold, p.standsCold = best.first, best.stands
	// A resin that can't be what is wanted is no reason to heat it wet.
	done := best.tg >= p.target || float64(p.in.Law.Glass.Full) < p.target+reach
	if p.in.Spec.In == Room || best.stands && best.first <= patience && done {
		return best, nil
	}
	for wet := p.room; wet+tempStep/2 < p.warmest; {
		wet = math.Min(math.Max(nextStep(wet), p.coolest), p.warmest)
		if wet < p.coolest || wet > gentle && best.stands && best.first <= patience {
			break
		}
		g, err := p.from(wet, patience)
		if err != nil {
			return best, err
		}
		if p.prefers(g, best) {
			best = g
		}
	}
	return best, nil
}

// prefers tells whether the warmer first hold of g is worth it: for a part that
// stands by itself, for the glass transition asked for, or for much less time.
// Where neither comes to stand, the warmer comes nearer.
func (p *planner) prefers(g, than program) bool {
	enough, was := g.tg >= p.target, than.tg >= p.target
	switch {
	case !g.stands || !than.stands:
		return g.stands || !than.stands
	case than.first > patience:
		return g.tg > than.tg-worthIt || enough
	case enough != was:
		return enough
	case !enough && g.tg > than.tg+worthIt:
		return true
	}
	return enough && g.total < worthWarmth*than.total
}

// from finds the best schedule whose first hold is at wet (K) and no longer than
// the limit (s).
func (p *planner) from(wet, limit float64) (program, error) {
	first, degree, err := p.first(wet, limit)
	if err != nil || !first.stands || first.tg >= p.target {
		return first, err
	}
	best, err := p.hotter(first, degree, p.bound)
	if err != nil {
		return best, err
	}
	if first.warm() {
		drawn, err := p.drawOut(first, degree)
		if err != nil {
			return best, err
		}
		if p.better(drawn, best) {
			best = drawn
		}
	}
	if best.tg >= p.target || p.free <= p.bound {
		return best, nil
	}
	first.bare = true
	off, err := p.hotter(first, degree, p.free)
	if err == nil && p.better(off, best) {
		best = off
	}
	return best, err
}

// first finds how long a first hold at wet must be, and the degree of cure after it.
func (p *planner) first(wet, limit float64) (g program, degree float64, err error) {
	g = program{wet: wet, up: (wet - p.room) / p.ramp(), first: limit}
	c := p.in.Law.StartWithin(0, coarse)
	if err = c.Follow(0, p.in.Before, p.in.Shop, p.in.Shop, nil); err != nil {
		return g, 0, err
	}
	start := p.in.Before + si.Time(g.up)
	if g.warm() {
		if err = c.Follow(p.in.Before, start, kelvin(p.room), kelvin(wet), nil); err != nil {
			return g, 0, err
		}
	}
	stands := func(x resin.Glimpse) float64 {
		lead := float64(p.in.Law.Glass.Transition(x.Degree)-x.Temperature) - float64(p.in.Law.Firm)
		const perDegree = 100
		return math.Min(lead, (x.Degree-p.in.Law.Gel)*perDegree)
	}
	at, ok, err := c.Until(stands, start, start+si.Time(limit), kelvin(wet), kelvin(wet))
	if err != nil {
		return g, 0, err
	}
	if g.stands = ok; ok {
		g.first = math.Max(holdStep, halfHours(spare*float64(at)-float64(start)))
		if g.warm() && g.first > limit {
			g.first, g.stands = limit, false
		}
		if err = c.Follow(at, start+si.Time(g.first), kelvin(wet), kelvin(wet), nil); err != nil {
			return g, 0, err
		}
	}
	g.degree = c.Degree()
	g.total, g.tg = g.up+g.first, float64(p.in.Law.Glass.Transition(g.degree))
	if g.warm() {
		g.total += p.cooling(wet)
	}
	return g, c.Degree(), nil
}

// drawOut makes a warm first hold, which leaves the degree of cure a, so long
// that it is a post-cure as well.
func (p *planner) drawOut(g program, a float64) (program, error) {
	c := p.in.Law.StartWithin(a, coarse)
	at, ok, err := c.Until(p.enough, 0, si.Time(patience-g.first), kelvin(g.wet), kelvin(g.wet))
	if err != nil || !ok {
		return g, err
	}
	more := halfHours(float64(at))
	if err = c.Follow(at, si.Time(more), kelvin(g.wet), kelvin(g.wet), nil); err != nil {
		return g, err
	}
	g.first, g.total = g.first+more, g.total+more
	g.tg = float64(p.in.Law.Glass.Transition(c.Degree()))
	return g, nil
}

// enough passes 0 where the glass transition is what the part needs.
func (p *planner) enough(x resin.Glimpse) float64 {
	return float64(p.in.Law.Glass.Transition(x.Degree)) - p.target - reach
}

// hotter adds a post-cure of no more than ceiling to the first hold, which leaves
// the degree of cure a. Where there is no room for one, it returns cold.
func (p *planner) hotter(cold program, a, ceiling float64) (program, error) {
	best := cold
	best.bare = false
	first := kelvin(cold.wet).Celsius() + 2*tempStep
	if cold.bare { // what the mould stands is done on it
		first = math.Max(first, celsius(p.bound)+tempStep/2)
	}
	for temp := 273.15 + math.Ceil(first/tempStep)*tempStep; ceiling > cold.wet+tempStep; temp += tempStep {
		last := temp >= ceiling
		g, firm, err := p.try(cold, a, math.Min(temp, ceiling))
		if err != nil {
			return best, err
		}
		if firm && g.tg >= p.target {
			p.did = append(p.did, g)
		}
		if firm && p.better(g, best) {
			best = g
		}
		if last {
			break
		}
	}
	return best, nil
}

// better prefers what reaches the target, then by an hour or more the shorter,
// then what was tried first, the cooler. Short of the target it prefers the
// higher glass transition.
func (p *planner) better(g, than program) bool {
	enough, was := g.tg >= p.target, than.tg >= p.target
	switch {
	case enough != was:
		return enough
	case !enough:
		return g.tg > than.tg+worthIt
	}
	return g.total < than.total-3600
}

// try runs one hot hold and finds how long it must be. firm is false where even
// the slowest ramp overtakes the glass transition.
func (p *planner) try(cold program, a, temp float64) (g program, firm bool, err error) {
	g = cold
	ahead := g.lead()
	g.hot, g.temp = true, temp
	var c *resin.Course
	if g.rate, c, firm, err = ladder.Fastest(&p.in.Law, a, kelvin(g.wet), kelvin(temp), ahead, p.ramp()); err != nil || !firm {
		return g, false, err
	}
	at, ok, err := c.Until(p.enough, 0, longestHot, kelvin(temp), kelvin(temp))
	if err != nil {
		return g, false, err
	}
	if ok {
		g.hold = math.Max(holdStep, halfHours(float64(at)))
	} else {
		// The course ran the longest hold in vain: go back to a reasonable one.
		g.hold, at = settled, 0
		if c, _, err = ladder.Ramp(&p.in.Law, a, kelvin(g.wet), kelvin(temp), g.rate); err != nil {
			return g, false, err
		}
	}
	if err = c.Follow(at, si.Time(g.hold), kelvin(temp), kelvin(temp), nil); err != nil {
		return g, false, err
	}
	g.tg = float64(p.in.Law.Glass.Transition(c.Degree()))
	g.total = g.up + g.first + (temp-g.wet)/g.rate + g.hold + p.cooling(temp)
	return g, true, nil
}
