package cabin

import (
	"laywright/internal/base/air"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// Demist is a screen that must stay clear of mist and frost.
type Demist struct {
	Screen   Wall         `yaml:"screen"`                           // layers: the pane's
	Humidity *si.Fraction `yaml:"humidity" above:"0" most:"1"`      // of the air outside; absent: [usualHumidity]
	Moisture *si.MassFlow `yaml:"moisture_each" least:"0" most:"1"` // that a person gives off; absent: [usualMoisture]
	Outlet   string       `yaml:"outlet"`                           // the branch of a wye that blows at it; absent: all the air can
	Share    *si.Fraction `yaml:"share" above:"0" most:"1"`         // of that air's heat which reaches the pane; absent: [usualShare]
}

// What is taken where demisting says nothing.
const (
	// usualHumidity is that of air with cloud or fresh snow about.
	usualHumidity si.Fraction = 1
	// usualMoisture is what a person at rest gives off, 45 W of latent heat at
	// 2.45 MJ/kg. Source: [ashrae-fundamentals], from memory.
	usualMoisture si.MassFlow = 1.84e-5
	// usualShare of the jet's heat above the pane's temperature reaches the pane;
	// the rest goes by into the cabin. Assumed; a slot along the foot does better.
	usualShare si.Fraction = 0.4
	// clearOf is how far above the dew point a pane is kept. Assumed.
	clearOf = 2.0
)

// DemistResult is what keeping the screen clear takes.
type DemistResult struct {
	Dew    si.Temperature `json:"dew_point_degC"`                 // of the cabin's air, or its frost point below freezing
	Bare   si.Temperature `json:"pane_degC"`                      // inner face without the jet
	Needed *si.MassFlow   `json:"flow_needed_kg_per_s,omitempty"` // 0: it stays clear by itself; absent: the air is too cold for any
	Blown  si.MassFlow    `json:"flow_blown_kg_per_s"`            // what the outlet brings
	Pane   si.Temperature `json:"pane_blown_degC"`                // inner face with it
	Clear  bool           `json:"clear"`                          // the pane with the jet is warm enough
	Wet    float64        `json:"humidity_of_cabin"`              // relative, at the target temperature
	Fresh  si.MassFlow    `json:"air_exchanged_kg_per_s"`         // from outside, that carries the moisture off
	Limit  si.Temperature `json:"pane_must_be_degC"`              // dew or frost point and 2 K
	Outlet string         `json:"outlet,omitempty"`               // which blows, as the job names it
	Blows  bool           `json:"-"`                              // there is such an outlet
}

// Blow is the heater's air as the screen meets it.
type Blow struct {
	Flow     si.MassFlow // of the outlet
	Named    bool        // it is the outlet that the section names
	Out      si.Temperature
	Fresh    si.MassFlow // that the heater brings from outside
	Pressure si.Pressure // absolute
}

// Clear says whether the screen stays clear, nil where no screen is described.
//
// What people give off is carried away by the air exchanged, so the cabin's air holds
//
//	w = w_o + n·ṁ_w/ṁ_exchanged
//
// of vapour to a kilogram; from it the dew point. The pane's inner face, cold on
// the outside, must be warmer than that. The jet brings a share s of its heat above
// the pane's temperature T to it,
//
//	s·ṁ·c_p·(T_out − T) = A·(T − T_o)/(Σ t/k + 1/h_o) − A·h_i·(T_c − T)
//
// Evaporation of what already sits on the pane is left out. Source: balance of
// heat and moisture, [ashrae-fundamentals] for what people give off.
func (s State) Clear(b Blow) (*DemistResult, error) {
	d := s.demist
	if d == nil {
		return nil, nil
	}
	const field = "duty.cabin.demist"
	area := float64(d.Screen.Area)
	if err := fault.Check(field+".screen.area", area, 1e-3, 20, " m^2", "the pane that must stay clear"); err != nil {
		return nil, err
	}
	r := &DemistResult{Blown: b.Flow, Fresh: b.Fresh + si.MassFlow(s.leak+s.freshBeside(float64(b.Fresh))), Outlet: d.Outlet, Blows: b.Named}
	if err := s.damp(*d, b.Pressure, r); err != nil {
		return nil, err
	}
	inner, outward, err := d.Screen.sides(field + ".screen")
	if err != nil {
		return nil, err
	}
	share := usualShare
	if d.Share != nil {
		share = *d.Share
	}
	jet := float64(share) * float64(air.SpecificHeat((b.Out+r.Limit)/2)) // W s/(kg K) that reaches the pane
	rest := func(flow float64) float64 {
		g := flow * jet
		return (g*float64(b.Out) + area*(outward*s.Outside+inner*s.Target)) / (g + area*(outward+inner))
	}
	r.Bare, r.Pane = si.Temperature(rest(0)), si.Temperature(rest(float64(b.Flow)))
	r.Clear = r.Pane >= r.Limit
	lacks := area * (outward*(float64(r.Limit)-s.Outside) - inner*(s.Target-float64(r.Limit)))
	switch needed := si.MassFlow(0); {
	case lacks <= 0:
		r.Needed = &needed
	case b.Out > r.Limit:
		needed = si.MassFlow(lacks / (jet * float64(b.Out-r.Limit)))
		r.Needed = &needed
	}
	return r, nil
}

// damp fills in the moisture of the cabin's air.
func (s State) damp(d Demist, p si.Pressure, r *DemistResult) error {
	outside, each := usualHumidity, usualMoisture
	if d.Humidity != nil {
		outside = *d.Humidity
	}
	if d.Moisture != nil {
		each = *d.Moisture
	}
	given := float64(each) * float64(s.people)
	if given > 0 && r.Fresh <= 0 {
		return &fault.Input{Field: "duty.cabin.demist", What: "has people in a cabin without air from outside", Do: "give infiltration, fresh_air_each, or air from outside to the heater"}
	}
	w := air.Moisture(air.Saturation(si.Temperature(s.Outside))*si.Pressure(outside), p)
	if given > 0 {
		w += given / float64(r.Fresh)
	}
	full := air.Saturation(si.Temperature(s.Target))
	e := min(air.Vapour(w, p), full) // more falls out on the walls
	r.Wet = float64(e / full)
	r.Dew = air.DewPoint(si.Temperature(s.Target), r.Wet)
	if r.Dew.Celsius() < 0 {
		r.Dew = air.FrostPoint(e)
	}
	r.Limit = r.Dew + clearOf
	return nil
}

// freshBeside is what air the people are given beside the heater's, kg/s.
func (s State) freshBeside(brought float64) float64 { return max(0, s.Fresh-brought) }
