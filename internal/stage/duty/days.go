package duty

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/cabin"
)

// Day is another condition the heater must do its work in, or the part must bear:
// the coldest morning, the climb, the soak after shut-down. What it leaves out is
// as in the heater.
type Day struct {
	Name      string                    `yaml:"name"`
	Kind      Kind                      `yaml:"kind"`
	Altitude  *si.Length                `yaml:"altitude" least:"-1000" most:"20000"`
	Outside   *si.Temperature           `yaml:"outside" least:"183.15" most:"333.15"`
	Offset    *si.TemperatureDifference `yaml:"offset" least:"-80" most:"60"`              // of the day from standard, instead of outside
	Speed     *si.Velocity              `yaml:"speed" least:"0" most:"250"`                // of the ram; 0: there is none
	Liquid    *si.Temperature           `yaml:"liquid_inlet" least:"213.15" most:"573.15"` // how hot the engine then is
	Available si.Power                  `yaml:"available" above:"0"`                       // heat that the engine then puts into the liquid
}

// Kind says what a day stands for.
type Kind string

// The kinds that every heater is asked for. In a soak no air moves.
const (
	Coldest Kind = "coldest"
	Hottest Kind = "hottest"
	Climb   Kind = "climb"
	Cruise  Kind = "cruise"
	Soak    Kind = "soak"
)

var kinds = []Kind{Coldest, Hottest, Climb, Cruise, Soak}

// DayResult is the heater on such a day, at the chosen number of passes.
type DayResult struct {
	Name    string         `json:"name"`
	Kind    Kind           `json:"kind,omitempty"`
	Outside si.Temperature `json:"outside_degC"`
	*DayAir
	Settles *si.Temperature     `json:"liquid_settles_degC,omitempty"` // inlet at which engine, box and case balance
	Margin  *si.Power           `json:"margin_W,omitempty"`            // of the cabin's need
	Idle    bool                `json:"needs_no_heat,omitempty"`       // the cabin keeps its temperature by itself
	Demist  *cabin.DemistResult `json:"demist,omitempty"`
	Wall    si.Temperature      `json:"wall_degC"` // of the box: its air with the valve open, the liquid in a soak
}

// DayAir is what the heater's air does; absent where none moves.
type DayAir struct {
	AirFlow   si.MassFlow    `json:"air_flow_kg_per_s"`
	AirIn     si.Temperature `json:"air_in_degC"`
	AirOut    si.Temperature `json:"air_out_degC"`
	LiquidOut si.Temperature `json:"liquid_out_degC"`
	Heat      si.Power       `json:"heat_W"`
	Useful    *si.Power      `json:"useful_heat_W,omitempty"`
}

// on returns the duty as it is on a day.
func (d Day) on(s Spec) Spec {
	h := *s.Heater
	if d.Altitude != nil {
		h.Air.Altitude, h.Air.Pressure = d.Altitude, nil
	}
	if d.Outside != nil || d.Offset != nil {
		h.Air.Outside, h.Air.Offset = d.Outside, d.Offset
		if h.Air.From != FromCabin {
			h.Air.Inlet = nil
		}
	}
	if d.Speed != nil && h.Air.Ram != nil {
		ram := *h.Air.Ram
		ram.Speed = *d.Speed
		h.Air.Ram = &ram
		if *d.Speed == 0 {
			h.Air.Ram = nil
		}
	}
	if d.Liquid != nil {
		h.Liquid.Inlet = *d.Liquid
	}
	if d.Available != 0 {
		h.Liquid.Available, h.Liquid.Shaft = d.Available, 0
	}
	s.Heater = &h
	if s.Cabin != nil && (d.Outside != nil || d.Offset != nil || d.Altitude != nil) {
		c := *s.Cabin
		c.Outside = nil // that of the day's air
		s.Cabin = &c
	}
	return s
}

// still tells whether no air moves on a day: in a soak, and where ram alone would
// drive it and there is none.
func (d Day) still(s Spec) bool {
	a := s.Heater.Air
	return d.Kind == Soak || a.Flow == 0 && a.Available == 0 && a.Ram == nil && a.Blower == nil
}

// days runs the heater, at the passes chosen, on every other day.
func (r *Result) days(in Input) error {
	for i, d := range in.Spec.Heater.Days {
		field := fault.Numbered("duty.heater.days", i)
		if d.Kind != "" && !slices.Contains(kinds, d.Kind) {
			return &fault.Input{Field: field + ".kind", What: "is " + string(d.Kind), Do: "write coldest, hottest, climb, cruise or soak, or leave it out"}
		}
		if err := r.day(in, d); err != nil {
			return within(field, err)
		}
	}
	return nil
}

// within says on which day something is wrong, in the words of the field.
func within(field string, err error) error {
	var limit *fault.Range
	var input *fault.Input
	switch {
	case errors.As(err, &limit):
		x := *limit
		x.Why += "; on the day " + field
		return &x
	case errors.As(err, &input):
		x := *input
		x.What += " on the day " + field
		return &x
	}
	return fmt.Errorf("%s: %w", field, err)
}

// day runs the heater on one day.
func (r *Result) day(in Input, d Day) error {
	day := Input{Spec: d.on(in.Spec), Fluid: in.Fluid, Fins: in.Fins}
	h := *day.Spec.Heater
	result := DayResult{Name: d.Name, Kind: d.Kind, Wall: h.Liquid.Inlet}
	if d.still(day.Spec) {
		outside, err := outsideOf(h.Air, in.Spec.Air)
		result.Outside = outside.Temperature
		r.Days = append(r.Days, result)
		return err
	}
	p, err := day.plant()
	if err != nil {
		return err
	}
	o, err := p.openAndBest(r.Heater.Passes)
	if err != nil {
		return err
	}
	w := o.run
	result.Outside, result.Wall = p.outside.Temperature, w.AirOut
	result.DayAir = &DayAir{AirFlow: w.AirFlow, AirIn: p.heater.AirIn, AirOut: w.AirOut, LiquidOut: w.LiquidOut, Heat: w.Heat, Useful: p.usefulOf(w)}
	if result.Settles, err = p.settles(h.Liquid, w); err != nil {
		return err
	}
	if err := result.inCabin(day.Spec, p, w); err != nil {
		return err
	}
	r.Days = append(r.Days, result)
	r.Findings = append(r.Findings, day.dayFindings(d, p, w, o, result)...)
	return nil
}

// inCabin judges the cabin on the day.
func (r *DayResult) inCabin(s Spec, p plant, w working) error {
	if s.Cabin == nil {
		return nil
	}
	c, err := cabin.Of(*s.Cabin, p.outside.Temperature)
	if err != nil {
		return err
	}
	fresh := s.Heater.Air.From != FromCabin
	if r.Idle = c.Need() <= 0; !r.Idle {
		r.Margin = c.Judge(float64(w.AirFlow), float64(w.AirOut), fresh).Margin
	}
	r.Demist, err = c.Clear(blowOf(*s.Cabin, w.Performance.AirFlow, w.AirOut, w.outlets, fresh, p.heater.Pressure))
	return err
}

// dayFindings says what goes wrong on a day, the day named in front.
func (in Input) dayFindings(d Day, p plant, w working, o option, r DayResult) []fault.Finding {
	out := p.liquidFindings(in, w, o)
	out = append(out, p.engineFindings(in.Spec.Heater.Liquid, w, r.Settles)...)
	out = append(out, p.outletFindings(w)...)
	if in.Spec.Cabin != nil {
		out = append(out, demistFindings(r.Demist)...)
	}
	if r.Margin != nil && *r.Margin < 0 {
		out = append(out, finding(fault.Caution, "cabin-short-of-heat", "The heater does not hold the cabin's temperature.",
			"more heat goes out through skin and leaks than comes in", "seal the cabin, line it, or take a larger core").Against(float64(*r.Margin), 0, "W"))
	}
	for i := range out {
		out[i].What = d.Name + ": " + out[i].What
	}
	return out
}

// untoldDays asks for the cases that a heater must be looked at in.
func untoldDays(h Heater) []fault.Finding {
	var lacks []string
	for _, k := range kinds {
		if !slices.ContainsFunc(h.Days, func(d Day) bool { return d.Kind == k }) {
			lacks = append(lacks, string(k))
		}
	}
	if len(lacks) == 0 {
		return nil
	}
	return []fault.Finding{finding(fault.Note, "days-not-told", "How it fares on other days is not asked.",
		"a heater that is right in one case may freeze the cabin, cool the engine's oil too far, or cook its own wall in another; there is no day of kind "+strings.Join(lacks, ", "),
		"list them under duty.heater.days, each with its kind, outside, altitude, speed and liquid_inlet")}
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
