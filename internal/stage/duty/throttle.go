package duty

import (
	"go.yaml.in/yaml/v4"

	"laywright/internal/base/air"
	"laywright/internal/base/bind"
	"laywright/internal/base/num"
	"laywright/internal/base/si"
	"laywright/internal/stage/ducting"
)

// Throttle says how far the gate in the heater's duct stands open.
type Throttle struct {
	Search bool         // to where most useful heat comes
	Open   *si.Fraction // share of the bore that is free; nil: all of it
}

// Forms are yes or no to the search, the same in words, and a share.
func (Throttle) Forms() []any { return []any{false, "auto", "open", si.Fraction(0)} }

// Bind reads auto, open, or the share of the bore that is free.
func (t *Throttle) Bind(b *bind.Binder, path string, n *yaml.Node) {
	switch n.Value {
	case "auto", "true":
		t.Search = true
	case "open", "false":
	default:
		var open si.Fraction
		before := len(b.Problems)
		b.Into(&open, path, n)
		if len(b.Problems) == before && !(open >= leastGate && open <= 1) {
			b.Fail(path, n, "throttle is %s; it must be at least %g %% of the bore, and at most all of it", n.Value, 100*leastGate)
		}
		t.Open = &open
	}
}

// leastGate is the narrowest gate that is worked out; a shut one lets no air through.
const leastGate = 0.02

// gate is where the air is throttled.
type gate struct {
	area   float64 // m²; 0: there is no duct
	before bool
	k      float64 // on the head in its duct
}

// gateOf returns the section in which the gate stands: across the first duct behind
// the heater, or where there is none, across the first before it.
func gateOf(before, after ducting.Chain) (area float64, ahead bool) {
	if a := after.First(); a > 0 {
		return a, false
	}
	return before.First(), true
}

// head is the velocity head in the gate's duct, Pa.
func (g gate) head(flow float64, p si.Pressure, in, out si.Temperature) float64 {
	t := out
	if g.before {
		t = in
	}
	rho := float64(air.Density(p, t))
	v := flow / (rho * g.area)
	return rho * v * v / 2
}

// opening returns how far the gate must be open for the plant to run at w; nil
// where a flow is given or there is no duct.
func (p plant) opening(w working) *si.Fraction {
	if p.supply.flow > 0 || p.gate.area == 0 {
		return nil
	}
	extra := p.supply.at(float64(w.AirFlow)) - w.loss() + w.gate
	open := ducting.OpenFor(extra / p.gate.head(float64(w.AirFlow), p.heater.Pressure, p.heater.AirIn, w.AirOut))
	return &open
}

// holds tells whether the limits that the job states for outlet and liquid hold.
func (p plant) holds(w working) bool {
	return (p.most == nil || w.AirOut <= *p.most) && (p.least == nil || w.LiquidOut >= *p.least)
}

// limitTolerance is how closely the flow at a limit is sought, as a share of the
// open flow.
const limitTolerance = 1e-6

// window returns the flows up to the open one between which the stated limits
// hold: less air leaves hotter, more air leaves the liquid colder. ok is false
// where there are none.
func (p plant) window(n int, open working) (low, high float64, ok bool, err error) {
	low, high = leastFlow, float64(open.AirFlow)
	if p.most != nil && open.AirOut > *p.most {
		return low, high, false, nil
	}
	// at returns the flow where a temperature crosses its limit, on the side where it holds.
	at := func(side float64, of func(working) float64) (float64, error) {
		var failed error
		flow, err := num.Root(func(x float64) float64 {
			w, err := p.at(n, x)
			failed = firstError(failed, err)
			return of(w)
		}, float64(open.AirFlow)/100, float64(open.AirFlow), limitTolerance*float64(open.AirFlow))
		return flow * (1 + 2*side*limitTolerance), firstError(failed, err)
	}
	least, err := p.at(n, float64(open.AirFlow)/100)
	if err != nil {
		return low, high, false, err
	}
	if p.least != nil && open.LiquidOut < *p.least {
		if least.LiquidOut < *p.least {
			return low, high, false, nil
		}
		if high, err = at(-1, func(w working) float64 { return float64(w.LiquidOut - *p.least) }); err != nil {
			return low, high, false, err
		}
	}
	if p.most != nil && least.AirOut > *p.most {
		if low, err = at(1, func(w working) float64 { return float64(w.AirOut - *p.most) }); err != nil {
			return low, high, false, err
		}
	}
	return low, high, low <= high, nil
}

// throttleTolerance is how closely the best throttle is sought, as a share of
// the open flow: useful heat is flat there.
const throttleTolerance = 2e-3

// throttled returns the plant at the flow, at most the open one, that brings
// the most useful heat within the stated limits, and whether they hold. open is
// the plant unthrottled.
func (p plant) throttled(n int, open working) (working, bool, error) {
	if p.supply.flow > 0 {
		return open, p.holds(open), nil
	}
	low, high, ok := 0.0, float64(open.AirFlow), true
	if p.most != nil || p.least != nil {
		var err error
		if low, high, ok, err = p.window(n, open); err != nil {
			return open, false, err
		}
		if !ok {
			low, high = 0, float64(open.AirFlow)
		}
	}
	best, err := p.mostUseful(n, open, max(low, float64(open.AirFlow)/100), high)
	return best, ok && p.holds(best), err
}

// mostUseful returns the plant at the flow from low to high that brings most
// useful heat; all heat, which grows with the flow, where there is no cabin.
func (p plant) mostUseful(n int, open working, low, high float64) (working, error) {
	top, err := open, error(nil)
	if high < float64(open.AirFlow) {
		top, err = p.at(n, high)
	}
	if err != nil || p.cabin == nil {
		return top, err
	}
	less, err := p.at(n, high*(1-throttleTolerance))
	if err != nil || less.useful <= top.useful {
		return top, err // useful heat has one peak over the flow, and it lies beyond
	}
	var failed error
	flow := num.Minimum(func(x float64) float64 {
		w, err := p.at(n, x)
		failed = firstError(failed, err)
		return -w.useful
	}, low, high, throttleTolerance*high)
	if failed != nil {
		return working{}, failed
	}
	best, err := p.at(n, flow)
	if err != nil || best.useful <= top.useful {
		return top, err
	}
	return best, nil
}
