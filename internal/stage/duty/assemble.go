package duty

import (
	"math"

	"laywright/internal/base/air"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/ducting"
	"laywright/internal/stage/exchanger"
)

// Doubt of UA by what the core is known from, either way. Fins by correlation
// scatter by 15 %, the liquid's film more; a rating's conditions are never quite
// one's own. Assumed, with [chang-wang1997] for the scatter.
const (
	geometryDoubt = 0.20
	ratingDoubt   = 0.15
	pointDoubt    = 0.10 // one test point, rescaled
	fittedDoubt   = 0.05 // several
)

// plant puts the heater together with all around it.
func (in Input) plant() (plant, error) {
	h := *in.Spec.Heater
	p := plant{lossKnown: true}
	if err := h.checkWords(); err != nil {
		return p, err
	}
	var err error
	if p.outside, err = outsideOf(h.Air, in.Spec.Air); err != nil {
		return p, err
	}
	p.heater.Pressure, p.heater.AirIn, err = heatedAir(h.Air, in.Spec.Cabin, p.outside)
	if err != nil {
		return p, err
	}
	if p.supply, err = supplyOf(h.Air, p.outside, air.Density(p.heater.Pressure, p.heater.AirIn)); err != nil {
		return p, err
	}
	p.scooped = h.Air.Ram != nil
	if err := p.lay(h.Ducts, h.Wye, h.Box.Port); err != nil {
		return p, err
	}
	p.search = h.Throttle.Search
	if open := h.Throttle.Open; open != nil {
		if p.gate.area == 0 {
			return p, &fault.Input{Field: "duty.heater.throttle", What: "has no duct to stand in", Do: "give duty.heater.ducts"}
		}
		p.gate.k = ducting.Plate(float64(*open))
	}
	p.most, p.least = h.Air.Limit, h.Liquid.Least
	if p.box, err = boxOf(h); err != nil {
		return p, err
	}
	fluid, err := in.fluid()
	if err != nil {
		return p, err
	}
	l := h.Liquid
	if p.heater.Liquid, err = exchanger.NewLiquid(l.Inlet, l.Rate, l.Flow, fluid, "duty.heater.liquid"); err != nil {
		return p, err
	}
	p.heater.Flow, p.heater.Arrangement, p.heater.Leak = h.Core.Flow, h.Arrangement, usualLeak
	if p.heater.Flow == "" {
		p.heater.Flow = exchanger.Cross
	}
	if p.heater.Arrangement == "" {
		p.heater.Arrangement = exchanger.AcrossCounter
	}
	if h.Box.Leak != nil {
		p.heater.Leak = *h.Box.Leak
	}
	if c := in.Spec.Cabin; c != nil {
		p.cabin = &c.Target
	}
	return p, p.addCore(in, h, fluid)
}

// fluid makes the liquid's property table, nil where only a heat capacity rate is given.
func (in Input) fluid() (*exchanger.Fluid, error) {
	l := in.Spec.Heater.Liquid
	switch {
	case l.Fluid == "" && l.Rate == 0:
		return nil, &fault.Input{Field: "duty.heater.liquid", What: "does not say what flows", Do: "give fluid and flow, or heat_capacity_rate"}
	case l.Fluid == "":
		return nil, nil
	case l.Rate != 0:
		return nil, &fault.Input{Field: "duty.heater.liquid.heat_capacity_rate", What: "stands beside a fluid", Do: "keep fluid and flow, or the rate"}
	case in.Fluid == nil:
		return nil, &fault.Input{Field: "duty.heater.liquid.fluid", What: "has no record: " + l.Fluid, Do: "laywright library lists the names"}
	}
	return exchanger.NewFluid(l.Fluid, "duty.heater.liquid.fluid", *in.Fluid)
}

// addCore makes the core from whichever of the three is known.
func (p *plant) addCore(in Input, h Heater, fluid *exchanger.Fluid) error {
	const field = "duty.heater.core"
	given := 0
	for _, g := range []bool{h.Core.Geometry != nil, h.Core.Measured != nil, h.Core.Rated != nil} {
		if g {
			given++
		}
	}
	if given != 1 {
		return &fault.Input{Field: field, What: "must be known in one way", Do: "give exactly one of geometry, measured and rated"}
	}
	switch {
	case h.Core.Geometry != nil:
		if in.Fins == nil {
			return &fault.Input{Field: field + ".geometry.fins", What: "has no record: " + h.Core.Geometry.Fins, Do: "laywright library lists the names"}
		}
		s, err := exchanger.NewSurface(*h.Core.Geometry, *in.Fins, fluid, field+".geometry")
		if err != nil {
			return err
		}
		limits := s.Limits()
		p.heater.Core, p.limits, p.beyond, p.spread = s, &limits, s.Outside(), geometryDoubt
	case h.Core.Measured != nil:
		t, err := exchanger.NewTested(h.Core.Measured, p.heater.Flow, fluid, field+".measured")
		if err != nil {
			return err
		}
		p.heater.Core, p.tested, p.spread, p.lossKnown = t, t, pointDoubt, t.HasLoss()
		if t.Fitted {
			p.spread = fittedDoubt
		}
		p.flows = [2]float64{math.Inf(1), 0}
		for _, point := range h.Core.Measured {
			p.flows[0], p.flows[1] = min(p.flows[0], float64(point.AirFlow)), max(p.flows[1], float64(point.AirFlow))
		}
	default:
		r := *h.Core.Rated
		if r.At == 0 {
			r.At = h.Air.Flow
		}
		core, err := exchanger.NewRated(r, field+".rated")
		if err != nil {
			return err
		}
		p.heater.Core, p.spread, p.lossKnown = core, ratingDoubt, r.AirLoss > 0
		p.flows = [2]float64{float64(r.At), float64(r.At)}
	}
	return nil
}

func (h Heater) checkWords() error {
	switch h.Arrangement {
	case "", exchanger.AcrossCounter, exchanger.AcrossParallel, exchanger.Along:
	default:
		return &fault.Input{Field: "duty.heater.arrangement", What: "is " + string(h.Arrangement),
			Do: "write across-counter (last air pass at the liquid's inlet), across-parallel (at its outlet) or along"}
	}
	switch h.Core.Flow {
	case "", exchanger.Cross, exchanger.CrossLiquidMixed, exchanger.CrossAirMixed, exchanger.CrossBothMixed,
		exchanger.Counter, exchanger.Parallel, exchanger.ShellAndTube:
	default:
		return &fault.Input{Field: "duty.heater.core.flow", What: "is " + string(h.Core.Flow),
			Do: "write cross, cross-liquid-mixed, cross-air-mixed, cross-both-mixed, counter, parallel or shell-and-tube"}
	}
	return nil
}

// scaled is a core whose conductance is off by a factor.
type scaled struct {
	exchanger.Core
	by float64
}

// Film returns the core's film with its conductance scaled.
func (s scaled) Film(c exchanger.Conditions) (exchanger.Film, error) {
	f, err := s.Core.Film(c)
	f.UA *= si.Conductance(s.by)
	return f, err
}
