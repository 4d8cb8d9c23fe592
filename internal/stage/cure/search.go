package cure

import (
	"context"
	"math"
	"slices"

	"laywright/internal/base/resin"
	"laywright/internal/base/si"
)

// Steps and margins of the search.
const (
	holdStep    = 1800.0       // holds are whole half hours, s
	longestRoom = 10 * 86400.0 // room cure, s
	patience    = 72 * 3600.0  // first hold past which a warmer one is sought; the longest warm one, s
	longestHot  = 24 * 3600.0  // post-cure hold, s
	settled     = 8 * 3600.0   // hold where the glass transition asked for is out of reach, s
	tempStep    = 5.0          // K between the holds that are tried
	keepAhead   = 3.0          // K that the glass transition stays ahead of a ramp
	freeAhead   = 5.0          // K likewise where the part stands without its mould
	coolRate    = 30.0         // K an hour (common practice, no source)
	spare       = 1.1          // first holds are so much longer than the law asks for
	reach       = 1.0          // K past the glass transition asked for
	worthIt     = 1.5          // K of glass transition for which a longer schedule is taken
	shy         = 8.0          // K below the full glass transition: what a usual post-cure reaches
	worthWarmth = 0.8          // a warmer first hold must bring the schedule down to this share: wet resin runs and heats itself
)

// gentle bounds a warm first hold where a cooler one will do: a part takes on the
// shape that its mould has while the resin gels, and hot thin resin runs out of
// the cloth under vacuum (judgement).
const gentle = 273.15 + 60

// sunHeated is the service temperature taken where none is given and there is an
// oven: a light-coloured part in the sun. From memory, trade practice.
const sunHeated = 273.15 + 55

// search finds the shortest schedule that is safe by these rules:
//
//  1. at room temperature (never colder than the resin may be worked, where an
//     oven can help) until the part stands by itself, a tenth more for doubt;
//  2. a ramp at the resin's own limit, or the fastest in half kelvins an hour by
//     which the glass transition stays keepAhead above the oven;
//  3. a hold until the glass transition allows the service temperature; holds
//     every tempStep up to the weakest limit in the stack are tried, the
//     shortest whole is taken, of two within an hour the cooler;
//  4. cooling at coolRate.
//
// Where mould or bag can't stand the hold that is needed, steps 2 to 4 are done
// with the part off its mould: it stands by itself by then, and the ramp is kept
// further behind the glass transition.
//
// Where the first hold would outlast patience, or the glass transition asked for
// stays out of reach, warmer first holds are tried under the bag, the coolest
// first and hotter than gentle only where none else lets the part stand; each may
// be drawn out until it needs no step 2 and 3.
//
// Steps 2 to 4 are left out where the room cure is enough or there is no heat.
// The search lets the laminate follow the air; the winner is then run through
// the real stack, and its holds made longer where the lag of the stack asks it.
// A warm first hold in which the real laminate heats itself is made cooler, one
// in which it lags so far that no hold helps is made warmer.
func search(ctx context.Context, in Input, exact bool) (planner, program, error) {
	p := planner{in: in, room: float64(in.Shop), target: wanted(in)}
	hand := limitHand
	if b := in.box; b != nil { // what the hottest place and the thermostat add; the coldest must do
		hand += (b.Spread + b.Band) / 2
		if b.Spread > 0 {
			p.in.place = -1
		}
	}
	p.bound = math.Min(float64(in.Spec.Hottest), weakest(in.Mould, in.Layers, in.Bag)-hand)
	p.free = math.Min(float64(in.Spec.Hottest), weakest(nil, in.Layers, nil)-hand)
	if in.Spec.In == Room {
		p.bound, p.free = p.room, p.room
	} else {
		p.room = math.Max(p.room, float64(in.MinShop))
	}
	p.warmest = p.bound
	var short *program // the last warm first hold that fell short in the stack
	for {
		best, err := p.best()
		if err == nil && short != nil && !best.warm() {
			p.seen = nil
			return p, *short, nil
		}
		if err != nil || exact || !best.hot && !best.warm() {
			return p, best, err
		}
		promised := best.tg >= p.target
		best, w, err := p.fit(ctx, best)
		if in.box == nil {
			p.seen = w
		}
		switch {
		case err != nil || !best.warm():
			return p, best, err
		case exotherm(w).Code != "":
			p.warmest = best.wet - tempStep
		case !best.stands || promised && best.tg < p.target:
			p.coolest, short = nextStep(best.wet), &best
		default:
			return p, best, nil
		}
	}
}

// fit runs a schedule through the real stack and makes its holds longer until
// the laminate, which lags, keeps what the search promised. Of a warm schedule
// it returns what is really reached.
func (p *planner) fit(ctx context.Context, g program) (program, *watch, error) {
	const (
		rounds = 10
		drawn  = 1.35 // of a warm hold at a time: each round takes the stack through all of it
	)
	for n := 1; ; n++ {
		off := g.off(*p)
		w, err := run(ctx, p.in, splitAt(pieces(g.curve(*p), p.in.Before, p.in.Shop), off), false, off)
		if err != nil {
			return g, nil, err
		}
		tg := float64(p.in.Law.Glass.Transition(w.least(&w.now)))
		enough := g.tg < p.target || tg >= p.target
		stands := !g.stands || w.firm != nil && *w.firm <= float64(p.in.Before)+g.up+g.first
		switch {
		case n < rounds && g.warm() && (!stands || !enough && !g.hot) && g.first < patience:
			g.first = math.Min(patience, halfHours(drawn*g.first))
		case n < rounds && g.hot && !enough && g.hold+holdStep <= longestHot:
			more, err := p.lacking(w, g.temp)
			if err != nil {
				return g, nil, err
			}
			g.hold = math.Min(g.hold+more, longestHot)
		default:
			if g.warm() {
				g.tg, g.stands = tg, g.stands && stands
			}
			return g, w, nil
		}
	}
}

// lacking returns how much longer a hold at temp must be at the least for what the
// stack has come to: no place in it is hotter than that for long.
func (p *planner) lacking(w *watch, temp float64) (float64, error) {
	c := p.in.Law.StartWithin(w.least(&w.now), coarse)
	at, _, err := c.Until(func(x resin.Glimpse) float64 { return float64(p.in.Law.Glass.Transition(x.Degree)) - p.target },
		0, longestHot, kelvin(temp), kelvin(temp))
	return math.Max(holdStep, halfHours(float64(at))), err
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
		return float64(*in.Service) + ServiceMargin + float64(in.WetDrop)
	case in.Spec.In != Room:
		return math.Min(sunHeated+ServiceMargin+float64(in.WetDrop), float64(in.Law.Glass.Full)-shy)
	}
	return 0
}
