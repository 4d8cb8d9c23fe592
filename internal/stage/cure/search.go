package cure

import (
	"context"
	"fmt"
	"math"
	"slices"

	"laywright/internal/base/resin"
	"laywright/internal/base/si"
)

// Steps and margins of the search.
const (
	holdStep    = 1800.0       // holds are whole half hours, s
	longestRoom = 10 * 86400.0 // room cure, s
	longestHot  = 24 * 3600.0  // post-cure hold, s
	settled     = 8 * 3600.0   // hold where the glass transition asked for is out of reach, s
	tempStep    = 5.0          // K between the holds that are tried
	keepAhead   = 3.0          // K that the glass transition stays ahead of a ramp
	freeAhead   = 5.0          // K likewise where the part stands without its mould
	coolRate    = 30.0         // K an hour (common practice, no source)
	spare       = 1.1          // room holds are so much longer than the law asks for
	reach       = 1.0          // K past the glass transition asked for
	worthIt     = 1.5          // K of glass transition for which a longer schedule is taken
	shy         = 8.0          // K below the full glass transition: what a usual post-cure reaches
)

// sunHeated is the service temperature taken where none is given and there is an
// oven: a light-coloured part in the sun. From memory, trade practice.
const sunHeated = 273.15 + 55

// search finds the shortest schedule that is safe by these rules:
//
//  1. at room temperature (never colder than the resin may be worked, where an
//     oven can help) until the part stands by itself, a tenth more for doubt;
//  2. a ramp at the resin's own limit, halved until the glass transition stays
//     keepAhead above the oven;
//  3. a hold until the glass transition allows the service temperature; holds
//     every tempStep up to the weakest limit in the stack are tried, the
//     shortest whole is taken, of two within an hour the cooler;
//  4. cooling at coolRate.
//
// Where mould or bag can't stand the hold that is needed, steps 2 to 4 are done
// with the part off its mould: it stands by itself by then, and the ramp is kept
// further behind the glass transition.
//
// Steps 2 to 4 are left out where the room cure is enough or there is no heat.
// The search lets the laminate follow the air; the winner is then run through
// the real stack, and its hold made longer where the lag of the stack asks it.
func search(ctx context.Context, in Input, exact bool) (planner, program, error) {
	p := planner{in: in, room: float64(in.Shop), target: wanted(in)}
	p.bound = math.Min(float64(in.Spec.Hottest), weakest(in.Mould, in.Layers, in.Bag)-limitHand)
	p.free = math.Min(float64(in.Spec.Hottest), weakest(nil, in.Layers, nil)-limitHand)
	if in.Spec.In != Room {
		p.room = math.Max(p.room, float64(in.MinShop))
	}
	best, err := p.best()
	if err != nil || exact || !best.hot || best.tg < p.target {
		return p, best, err
	}
	for range 6 {
		off := best.off(p)
		w, err := run(ctx, in, splitAt(pieces(best.curve(p), in.Before, in.Shop), off), exact, off)
		if err != nil {
			return p, best, err
		}
		if float64(in.Law.Glass.Transition(w.least(&w.now))) >= p.target || best.hold+holdStep > longestHot {
			break
		}
		best.hold += holdStep
	}
	return p, best, nil
}

// weakest returns the lowest limit of what is heated, K.
func weakest(mould, layers []Layer, bag []Cover) float64 {
	low := math.Inf(1)
	see := func(t si.Temperature) {
		if t > 0 {
			low = math.Min(low, float64(t))
		}
	}
	for _, l := range slices.Concat(mould, layers) {
		see(l.Limit)
	}
	for _, c := range bag {
		see(c.Limit)
	}
	return low
}

// wanted returns the glass transition the part needs; 0: none in particular.
func wanted(in Input) float64 {
	switch {
	case in.Service != nil:
		return float64(*in.Service) + serviceMargin + float64(in.WetDrop)
	case in.Spec.In != Room:
		return math.Min(sunHeated+serviceMargin+float64(in.WetDrop), float64(in.Law.Glass.Full)-shy)
	}
	return 0
}

type planner struct {
	in     Input
	room   float64 // temperature of the first hold, K
	bound  float64 // hottest hold that mould, part and bag stand, K
	free   float64 // hottest hold that the part alone stands, K
	target float64 // glass transition asked for, K
}

// program is a schedule of the searched-for shape. Times in s, rate in K/s.
type program struct {
	first float64 // room hold, after in.Before
	hot   bool
	bare  bool // the post-cure is done off the mould
	rate  float64
	temp  float64 // of the hot hold, K
	hold  float64
	tg    float64 // at the end of the hold
	total float64
}

func (g program) curve(p planner) Curve {
	c := Curve{X: []si.Time{0, si.Time(g.first)}, Y: []si.Temperature{kelvin(p.room), kelvin(p.room)}}
	if !g.hot {
		return c
	}
	up := (g.temp - p.room) / g.rate
	down := (g.temp - float64(p.in.Shop)) / (coolRate / 3600)
	for _, s := range []struct{ dt, t float64 }{{up, g.temp}, {g.hold, g.temp}, {down, float64(p.in.Shop)}} {
		c.X = append(c.X, c.X[len(c.X)-1]+si.Time(s.dt))
		c.Y = append(c.Y, kelvin(s.t))
	}
	return c
}

// off returns when the part is taken off its mould, from the first mixing.
func (g program) off(p planner) float64 {
	if !g.bare {
		return math.Inf(1)
	}
	return float64(p.in.Before) + g.first
}

func halfHours(t float64) float64 { return math.Ceil(t/holdStep-1e-9) * holdStep }

// best tries the holds.
//
// Where the resin never stands by itself at room temperature, the first hold is
// made warmer as far as there is heat.
func (p *planner) best() (program, error) {
	for {
		cold, degree, stands, err := p.first()
		switch {
		case err != nil:
			return program{}, err
		case !stands && p.room+tempStep <= p.bound:
			p.room += tempStep
			continue
		case !stands || cold.tg >= p.target:
			return cold, nil
		}
		best, err := p.hotter(cold, degree, p.bound)
		if err != nil || best.tg >= p.target || p.free <= p.bound {
			return best, err
		}
		cold.bare = true
		off, err := p.hotter(cold, degree, p.free)
		if p.better(off, best) {
			best = off
		}
		return best, err
	}
}

// first finds how long the first hold must be, and the degree of cure after it.
func (p *planner) first() (g program, degree float64, ok bool, err error) {
	c := p.in.Law.StartWithin(0, coarse)
	before := p.in.Before
	if err = c.Follow(0, before, p.in.Shop, p.in.Shop, nil); err != nil {
		return g, 0, false, err
	}
	stands := func(x resin.Glimpse) float64 {
		lead := float64(p.in.Law.Glass.Transition(x.Degree)-x.Temperature) - float64(p.in.Law.Firm)
		const perDegree = 100
		return math.Min(lead, (x.Degree-p.in.Law.Gel)*perDegree)
	}
	room := kelvin(p.room)
	at, ok, err := c.Until(stands, before, before+longestRoom, room, room)
	if err != nil {
		return g, 0, false, err
	}
	g.first = longestRoom
	if ok {
		g.first = math.Max(holdStep, halfHours(spare*float64(at)-float64(before)))
		if err = c.Follow(at, before+si.Time(g.first), room, room, nil); err != nil {
			return g, 0, false, err
		}
	}
	g.total, g.tg = g.first, float64(p.in.Law.Glass.Transition(c.Degree()))
	return g, c.Degree(), ok, nil
}

// hotter adds a post-cure of no more than ceiling to the room hold, which leaves
// the degree of cure a. Where there is no room for one, it returns cold.
func (p *planner) hotter(cold program, a, ceiling float64) (program, error) {
	best := cold
	best.bare = false
	first := kelvin(p.room).Celsius() + 2*tempStep
	for temp := 273.15 + math.Ceil(first/tempStep)*tempStep; ceiling > p.room+tempStep; temp += tempStep {
		last := temp >= ceiling
		g, firm, err := p.try(cold, a, math.Min(temp, ceiling))
		if err != nil {
			return best, err
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
	ahead := keepAhead
	if g.bare {
		ahead = freeAhead
	}
	g.hot, g.temp = true, temp
	g.rate = float64(p.in.Ramp) / 3600
	var c *resin.Course
	const halvings = 2
	for range halvings + 1 {
		c = p.in.Law.StartWithin(a, coarse)
		lead := math.Inf(1)
		err = c.Follow(0, si.Time((temp-p.room)/g.rate), kelvin(p.room), kelvin(temp), func(_, to resin.Glimpse, _ func(si.Time) float64) bool {
			lead = math.Min(lead, float64(p.in.Law.Glass.Transition(to.Degree)-to.Temperature))
			return true
		})
		if err != nil {
			return g, false, err
		}
		if firm = lead >= ahead; firm {
			break
		}
		g.rate /= 2
	}
	if !firm {
		return g, false, nil
	}
	enough := func(x resin.Glimpse) float64 {
		return float64(p.in.Law.Glass.Transition(x.Degree)) - p.target - reach
	}
	at, ok, err := c.Until(enough, 0, longestHot, kelvin(temp), kelvin(temp))
	if err != nil {
		return g, false, err
	}
	if ok {
		g.hold = math.Max(holdStep, halfHours(float64(at)))
	} else {
		// The course ran the longest hold in vain: go back to a reasonable one.
		g.hold, at = settled, 0
		c = p.in.Law.StartWithin(a, coarse)
		if err = c.Follow(0, si.Time((temp-p.room)/g.rate), kelvin(p.room), kelvin(temp), nil); err != nil {
			return g, false, err
		}
	}
	if err = c.Follow(at, si.Time(g.hold), kelvin(temp), kelvin(temp), nil); err != nil {
		return g, false, err
	}
	g.tg = float64(p.in.Law.Glass.Transition(c.Degree()))
	g.total = g.first + (temp-p.room)/g.rate + g.hold + (temp-float64(p.in.Shop))/(coolRate/3600)
	return g, true, nil
}

// why says how the schedule was chosen.
func (p *planner) why(g program) string {
	text := fmt.Sprintf("%.3g h at %.0f degC until it stands by itself", g.first/3600, celsius(p.room))
	switch {
	case !g.hot && p.target > 0 && g.tg < p.target:
		return text + fmt.Sprintf("; there is no heat here for a post-cure to the %.0f degC of glass transition wanted", celsius(p.target))
	case !g.hot:
		return text + "; no post-cure is needed"
	}
	ceiling := p.bound
	if g.bare {
		text += ", then off the mould, which with its bag stands no more than " + fmt.Sprintf("%.0f degC", celsius(p.bound))
		ceiling = p.free
	}
	text += fmt.Sprintf(", then %.3g K an hour to %.0f degC and %.3g h there", g.rate*3600, celsius(g.temp), g.hold/3600)
	if g.tg < p.target {
		return text + fmt.Sprintf("; no hold up to %.0f degC brings the glass transition to the %.0f degC wanted", celsius(ceiling), celsius(p.target))
	}
	return text + fmt.Sprintf(": the shortest of the holds up to %.0f degC that bring the glass transition to %.0f degC", celsius(ceiling), celsius(p.target))
}
