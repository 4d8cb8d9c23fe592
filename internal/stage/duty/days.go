package duty

import (
	"fmt"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/cabin"
)

// Day is another condition the heater must do its work in: the coldest morning,
// the climb, the descent at low power. What it leaves out is as in the heater.
type Day struct {
	Name     string          `yaml:"name"`
	Altitude *si.Length      `yaml:"altitude" least:"-1000" most:"20000"`
	Outside  *si.Temperature `yaml:"outside" least:"183.15" most:"333.15"`
	Speed    si.Velocity     `yaml:"speed" above:"0" most:"250"`                // of the ram
	Liquid   *si.Temperature `yaml:"liquid_inlet" least:"213.15" most:"573.15"` // how hot the engine then is
}

// DayResult is the heater on such a day, at the chosen number of passes.
type DayResult struct {
	Name      string         `json:"name"`
	AirFlow   si.MassFlow    `json:"air_flow_kg_per_s"`
	AirIn     si.Temperature `json:"air_in_degC"`
	AirOut    si.Temperature `json:"air_out_degC"`
	LiquidOut si.Temperature `json:"liquid_out_degC"`
	Heat      si.Power       `json:"heat_W"`
	Useful    *si.Power      `json:"useful_heat_W,omitempty"`
	Margin    *si.Power      `json:"margin_W,omitempty"`
}

// on returns the duty as it is on a day.
func (d Day) on(s Spec) Spec {
	h := *s.Heater
	if d.Altitude != nil {
		h.Air.Altitude, h.Air.Pressure = d.Altitude, nil
	}
	if d.Outside != nil {
		h.Air.Outside = d.Outside
		if h.Air.From != FromCabin {
			h.Air.Inlet = nil
		}
	}
	if d.Speed != 0 && h.Air.Ram != nil {
		ram := *h.Air.Ram
		ram.Speed = d.Speed
		h.Air.Ram = &ram
	}
	if d.Liquid != nil {
		h.Liquid.Inlet = *d.Liquid
	}
	s.Heater = &h
	if s.Cabin != nil && d.Outside != nil {
		c := *s.Cabin
		c.Outside = d.Outside
		s.Cabin = &c
	}
	return s
}

// days runs the heater, at the passes chosen, on every other day.
func (r *Result) days(in Input) error {
	for i, d := range in.Spec.Heater.Days {
		field := fault.Numbered("duty.heater.days", i)
		day := Input{Spec: d.on(in.Spec), Fluid: in.Fluid, Fins: in.Fins}
		p, err := day.plant()
		if err != nil {
			return fmt.Errorf("%s: %w", field, err)
		}
		w, err := p.open(r.Heater.Passes)
		if err == nil && day.Spec.Heater.Throttle {
			w, err = p.throttled(r.Heater.Passes, w)
		}
		if err != nil {
			return fmt.Errorf("%s: %w", field, err)
		}
		result := DayResult{Name: d.Name, AirFlow: w.AirFlow, AirIn: p.heater.AirIn, AirOut: w.AirOut, LiquidOut: w.LiquidOut, Heat: w.Heat, Useful: p.usefulOf(w)}
		if c := day.Spec.Cabin; c != nil {
			s, err := cabin.Of(*c, p.outside.Temperature)
			if err != nil {
				return err
			}
			result.Margin = s.Judge(float64(w.AirFlow), float64(w.AirOut), day.Spec.Heater.Air.From != FromCabin).Margin
		}
		r.Days = append(r.Days, result)
		r.Findings = append(r.Findings, day.dayFindings(d, p, w, result)...)
	}
	return nil
}

// dayFindings says what goes wrong on a day, the day named in front.
func (in Input) dayFindings(d Day, p plant, w working, r DayResult) []fault.Finding {
	out := p.liquidFindings(in, w)
	if r.Margin != nil && *r.Margin < 0 {
		out = append(out, finding(fault.Caution, "cabin-short-of-heat", "The heater does not hold the cabin's temperature.",
			"more heat goes out through skin and leaks than comes in", "seal the cabin, line it, or take a larger core").Against(float64(*r.Margin), 0, "W"))
	}
	for i := range out {
		out[i].What = d.Name + ": " + out[i].What
	}
	return out
}

// hottest returns the highest inlet of the liquid on any day: what the box soaks to.
func hottest(h Heater) si.Temperature {
	t := h.Liquid.Inlet
	for _, d := range h.Days {
		if d.Liquid != nil {
			t = max(t, *d.Liquid)
		}
	}
	return t
}
