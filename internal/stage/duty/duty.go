package duty

import (
	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/si"
	"laywright/internal/stage/cabin"
	"laywright/internal/stage/exchanger"
)

// Input is the duty with the records it names.
type Input struct {
	Spec  Spec
	Fluid *material.Fluid // of Spec.FluidName, where it is not empty
	Fins  *material.Fins  // of Spec.FinsName, likewise
}

// Result is what the part must do.
type Result struct {
	Air          *AirState       `json:"air,omitempty"`
	Heater       *HeaterResult   `json:"heater,omitempty"`
	Cabin        *cabin.Result   `json:"cabin,omitempty"`
	Loads        *LoadsResult    `json:"loads,omitempty"`
	Alternatives []Alternative   `json:"alternatives,omitempty"`
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
	own := valveShut{}
	if s.Heater != nil {
		p, err := in.plant()
		if err != nil {
			return r, err
		}
		if err := r.heat(in, p); err != nil {
			return r, err
		}
		soak := hottest(*s.Heater)
		own = valveShut{pressure: p.supply.shutOff(), soak: &soak, bore: max(p.before.Widest(), p.after.Widest())}
		if r.Heater.Loss != nil {
			own.pressure = max(own.pressure, float64(*r.Heater.Loss)) // whatever drives a given flow offers at least this
		}
	}
	if s.Cabin != nil {
		if err := r.warm(s); err != nil {
			return r, err
		}
	}
	if s.Heater != nil {
		if err := r.days(in); err != nil {
			return r, err
		}
	}
	if s.Loads != nil || s.Heater != nil {
		var l Loads
		if s.Loads != nil {
			l = *s.Loads
		}
		loads, findings, err := loadsOf(l, own, r.Air)
		if err != nil {
			return r, err
		}
		r.Loads, r.Findings = &loads, append(r.Findings, findings...)
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
	n, reason := p.choose(all)
	if given := in.Spec.Heater.Passes; given.Given {
		if err := fault.Check("duty.heater.passes", float64(given.Value), 1, exchanger.MostPasses, "", "separators narrower than a sixth of the face choke the air"); err != nil {
			return err
		}
		if n = given.Value; n > len(all) {
			_, err := p.open(n)
			return firstError(err, &fault.Input{Field: "duty.heater.passes", What: "can't be worked out at this count", Do: "take fewer"})
		}
		reason = "as the job says"
	}
	chosen := all[n-1].open
	if in.Spec.Heater.Throttle {
		chosen = all[n-1].best
	}
	h, err := p.report(chosen, all, reason)
	if err != nil {
		return err
	}
	r.Heater = h
	r.Curve, err = p.curve(n, all[n-1].open)
	r.Findings = append(r.Findings, p.findings(in, chosen, all)...)
	return err
}

// warm judges the cabin, with the heater where there is one.
func (r *Result) warm(s Spec) error {
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
	if h := r.Heater; h != nil {
		result = c.Judge(float64(h.AirFlow), float64(h.AirOut), s.Heater.Air.From != FromCabin)
	}
	r.Cabin = &result
	r.Alternatives = alternatives(c, r.Heater, r.Air)
	r.Findings = append(r.Findings, cabinFindings(*s.Cabin, c, result, r.Heater, r.Air)...)
	return nil
}
