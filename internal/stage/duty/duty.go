package duty

import (
	"laywright/internal/base/air"
	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/si"
	"laywright/internal/stage/cabin"
	"laywright/internal/stage/ducting"
	"laywright/internal/stage/exchanger"
	"laywright/internal/stage/loads"
)

// Input is the duty with the records it names.
type Input struct {
	Spec  Spec
	Fluid *material.Fluid // of Spec.FluidName, where it is not empty
	Fins  *material.Fins  // of Spec.FinsName, likewise
	Rival *material.Fluid // of Spec.RivalName; nil: the other liquid is not worked out
}

// Result is what the part must do.
type Result struct {
	Air          *AirState       `json:"air,omitempty"`
	Heater       *HeaterResult   `json:"heater,omitempty"`
	Cabin        *cabin.Result   `json:"cabin,omitempty"`
	Loads        *loads.Result   `json:"loads,omitempty"`
	Alternatives []cabin.Way     `json:"alternatives,omitempty"`
	Days         []DayResult     `json:"days,omitempty"`
	Curve        *Curve          `json:"operating_curve,omitempty"`
	Findings     []fault.Finding `json:"-"`
}

// Compute works the duty out.
func Compute(in Input) (Result, error) {
	s := in.Spec
	var r Result
	if s.Air != nil {
		air, err := stateOf(*s.Air, "duty.air")
		if err != nil {
			return r, err
		}
		r.Air = &air
	}
	own, rival := loads.Own{}, cabin.Rival{}
	if s.Heater != nil {
		p, err := in.plant()
		if err != nil {
			return r, err
		}
		if err := r.heat(in, p); err != nil {
			return r, err
		}
		rival = in.rival(p, *r.Heater)
		soak := hottest(*s.Heater)
		if t := r.Heater.Settles; t != nil { // hotter than the job says where nothing else cools the liquid
			soak = max(soak, *t)
		}
		own = loads.Own{Pressure: p.supply.shutOff(), Suction: p.supply.suction(), Soak: &soak, Bore: max(p.before.Widest(), p.after.Widest())}
		if r.Heater.Loss != nil {
			own.Pressure = max(own.Pressure, float64(*r.Heater.Loss)) // whatever drives a given flow offers at least this
		}
	}
	if s.Cabin != nil {
		if err := r.warm(s, rival); err != nil {
			return r, err
		}
	}
	if s.Heater != nil {
		if err := r.days(in); err != nil {
			return r, err
		}
	}
	if s.Loads != nil || s.Heater != nil {
		var l loads.Spec
		if s.Loads != nil {
			l = *s.Loads
		}
		if r.Air != nil {
			own.Outside = &loads.Air{Pressure: r.Air.Pressure, Temperature: r.Air.Temperature}
		}
		carried, findings, err := loads.Of(l, own)
		if err != nil {
			return r, err
		}
		r.Loads, r.Findings = &carried, append(r.Findings, findings...)
	}
	return r, nil
}

// heat runs the heater through every number of passes and takes one.
func (r *Result) heat(in Input, p plant) error {
	if r.Air == nil {
		r.Air = &p.outside
	}
	all, err := p.options()
	if err != nil {
		return err
	}
	o, reason := p.choose(all)
	if given := in.Spec.Heater.Passes; given.Given {
		if o, reason, err = p.asGiven(given.Value, all, o, reason); err != nil {
			return err
		}
	}
	chosen := o.run
	h, err := p.report(chosen, all, reason)
	if err != nil {
		return err
	}
	r.Heater = h
	if h.Settles, err = p.settles(in.Spec.Heater.Liquid, chosen); err != nil {
		return err
	}
	if h.DuctTable, err = p.sizes(*in.Spec.Heater, o.passes()); err != nil {
		return err
	}
	r.Findings = append(r.Findings, sizeFindings(*in.Spec.Heater, h.DuctTable, p.measure(o), p.counted())...)
	r.Curve, err = p.curve(o.passes(), o.open)
	r.Findings = append(r.Findings, p.findings(in, chosen, o)...)
	r.Findings = append(r.Findings, p.engineFindings(in.Spec.Heater.Liquid, chosen, h.Settles)...)
	r.Findings = append(r.Findings, untoldDays(*in.Spec.Heater)...)
	return err
}

// asGiven takes the number of passes that the job gives; best and reason are the
// search's.
func (p plant) asGiven(n int, all []option, best option, reason string) (option, string, error) {
	if err := fault.Check("duty.heater.passes", float64(n), 1, exchanger.MostPasses, "", "separators narrower than a sixth of the face choke the air"); err != nil {
		return best, "", err
	}
	if n > len(all) {
		_, err := p.open(n)
		return best, "", firstError(err, &fault.Input{Field: "duty.heater.passes", What: "can't be worked out at this count", Do: "take fewer"})
	}
	if n == best.passes() {
		return best, "as the job says, and as the search finds: " + reason, nil
	}
	return all[n-1], "as the job says; the search would take " + count(best.passes()) + ": " + reason, nil
}

// warm judges the cabin, with the heater where there is one; rival is the heater
// with the other liquid.
func (r *Result) warm(s Spec, rival cabin.Rival) error {
	outside, known := si.Temperature(0), s.Cabin.Outside != nil
	if r.Air != nil {
		outside, known = r.Air.Temperature, true
	}
	if !known {
		return &fault.Input{Field: "duty.cabin.outside", What: "is missing", Do: "give the temperature outside, or duty.air"}
	}
	c, err := cabin.Of(*s.Cabin, outside)
	if err != nil {
		return err
	}
	result := c.Result()
	fresh := s.Heater == nil || s.Heater.Air.From != FromCabin
	if h := r.Heater; h != nil {
		result = c.Judge(float64(h.AirFlow), float64(h.AirOut), fresh)
		if result.Demist, err = c.Clear(blowOf(*s.Cabin, h.AirFlow, h.AirOut, h.Outlets, fresh, r.Air.Pressure)); err != nil {
			return err
		}
	}
	if r.Heater == nil && s.Cabin.Demist != nil {
		r.Findings = append(r.Findings, finding(fault.Note, "demist-without-heater", "Nothing is told about air that keeps the screen clear.",
			"the job has a screen and no heater that blows at it", "give duty.heater, or leave duty.cabin.demist out"))
	}
	r.Cabin = &result
	box := r.box(s, c, fresh)
	box.Other = rival
	r.Alternatives = c.Ways(box)
	r.Findings = append(r.Findings, cabinFindings(*s.Cabin, c, result, r.Heater, r.Air)...)
	r.Findings = append(r.Findings, demistFindings(result.Demist)...)
	return nil
}

// blowOf is the heater's air as the screen meets it.
func blowOf(c cabin.Spec, flow si.MassFlow, out si.Temperature, outlets []ducting.Outlet, fresh bool, p si.Pressure) cabin.Blow {
	b := cabin.Blow{Flow: flow, Out: out, Pressure: p}
	if fresh {
		b.Fresh = flow
	}
	for _, o := range outlets {
		if c.Demist != nil && o.Name == c.Demist.Outlet {
			b.Flow, b.Named = o.Flow, true
		}
	}
	return b
}

// Efficiencies with which the engine pushes air through the box; assumed.
const (
	propulsion = 0.75 // of the thrust that ram drag costs
	blowing    = 0.30 // of a small blower with its motor and generator
)

// box is the heater as the other ways to heat a cabin are held against it.
func (r *Result) box(s Spec, c cabin.State, fresh bool) (b cabin.Box) {
	h := r.Heater
	if h == nil || r.Air == nil {
		return b
	}
	b.Name, b.Heat = cabin.CoolantBox, h.Useful
	if s.Heater.oily() {
		b.Name = cabin.OilBox
	}
	brought := 0.0
	if fresh {
		brought = float64(h.AirFlow)
	}
	b.Air = c.Exchanged(brought, r.Air.Pressure)
	efficiency := blowing
	if s.Heater.Air.Ram != nil {
		efficiency = propulsion
	}
	if h.Loss != nil {
		x := si.Power(float64(h.AirFlow) * float64(*h.Loss) / float64(air.Density(r.Air.Pressure, h.AirIn)) / efficiency)
		b.Shaft = &x
	}
	return b
}
