package cabin

import (
	"math"

	"laywright/internal/base/air"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// What is taken where the cabin says nothing.
const (
	// usualU is the conductance of an unlined light cabin, half of it acrylic of
	// 5 mm (6.3) and half bare glass skin (7.3). Derived from wall films and thickness.
	usualU si.HeatTransfer = 6.5
	// stillAir and slipstream are the films inside and outside at some 80 m/s,
	// the latter from a turbulent flat plate, 0.037·Re^0.8·Pr^⅓. Source: [incropera2007].
	stillAir   si.HeatTransfer = 8
	slipstream si.HeatTransfer = 150
	// usualFresh is the air a person is given, 0.55 lb/min. Source: [cfr14-23-831].
	usualFresh si.MassFlow = 0.00416
	// usualCapacity is that of a small cabin's air, trim and seats; 60 to 120 kJ/K
	// is met. From memory, no source.
	usualCapacity si.HeatCapacity = 90e3
)

// Result is how the cabin fares.
type Result struct {
	Need        si.Power        `json:"need_W"`             // to hold the target, fresh air warmed; 0 where the cabin is warm by itself
	Margin      *si.Power       `json:"margin_W,omitempty"` // what the heater brings beyond it
	Warmup      *si.Time        `json:"warmup_s,omitempty"` // from cold-soaked to the target, the liquid hot
	Conductance si.Conductance  `json:"conductance_W_per_K"`
	Fresh       si.MassFlow     `json:"fresh_air_kg_per_s"`
	Supply      *si.Temperature `json:"supply_degC,omitempty"`  // outlet temperature that would just do at the heater's flow
	Settles     *si.Temperature `json:"settles_degC,omitempty"` // where the cabin ends with the heater wide on
	Demist      *DemistResult   `json:"demist,omitempty"`
}

// State is a cabin with its numbers filled in.
type State struct {
	Target, Outside float64 // K
	Fresh           float64 // kg/s, for the people
	ua, leak        float64 // W/K, kg/s
	gains, capacity float64 // W, J/K
	people          int
	demist          *Demist
}

// Of fills in what a cabin's section leaves out. outside is the temperature there
// where the section has none.
func Of(c Spec, outside si.Temperature) (State, error) {
	if c.Outside != nil {
		outside = *c.Outside
	}
	s := State{Target: float64(c.Target), Outside: float64(outside), leak: float64(c.Infiltration), gains: float64(c.Gains), people: c.People, demist: c.Demist}
	var err error
	if s.ua, err = c.conductance(); err != nil {
		return s, err
	}
	each, capacity := usualFresh, usualCapacity
	if c.Fresh != nil {
		each = *c.Fresh
	}
	if c.Capacity != nil {
		capacity = *c.Capacity
	}
	s.Fresh, s.capacity = float64(each)*float64(c.People), float64(capacity)
	for _, err := range []error{
		fault.Check("duty.cabin.target", c.Target.Celsius(), -20, 40, " degC", "-4 to 104 degF: a cabin for people"),
		fault.Check("duty.cabin.outside", outside.Celsius(), -90, 60, " degC", "-130 to 140 degF: air outside"),
		fault.Check("duty.cabin.people", float64(c.People), 0, 100, "", "people on board"),
		fault.Check("duty.cabin.infiltration", s.leak, 0, 5, " kg/s", "air that leaks through the cabin"),
		fault.Check("duty.cabin.fresh_air_each", float64(each), 0, 0.1, " kg/s", "fresh air for a person"),
		fault.Check("duty.cabin.gains", s.gains, 0, 1e5, " W", "sun, people, instruments"),
		fault.Check("duty.cabin.heat_capacity", s.capacity/1000, 1, 1e5, " kJ/K", "air, trim and seats"),
		fault.Check("duty.cabin", s.ua, 1e-3, 1e5, " W/K", "conductance of the skin: give skin, walls or conductance"),
	} {
		if err != nil {
			return s, err
		}
	}
	return s, nil
}

// conductance adds up the skin's parts, W/K.
func (c Spec) conductance() (float64, error) {
	u := usualU
	if c.UValue != nil {
		u = *c.UValue
	}
	for _, err := range []error{
		fault.Check("duty.cabin.skin", float64(c.Skin), 0, 1000, " m^2", "the cabin's skin"),
		fault.Check("duty.cabin.u_value", float64(u), 0.05, 200, " W/(m^2*K)", "heat through a skin"),
		fault.Check("duty.cabin.conductance", float64(c.Conductance), 0, 1e5, " W/K", "heat through a skin"),
	} {
		if err != nil {
			return 0, err
		}
	}
	sum := float64(c.Conductance) + float64(u)*float64(c.Skin)
	for i, w := range c.Walls {
		field := fault.Numbered("duty.cabin.walls", i)
		v, err := w.UValue(field)
		if err == nil {
			err = fault.Check(field+".area", float64(w.Area), 1e-6, 1000, " m^2", "part of the cabin's skin")
		}
		if err != nil {
			return 0, err
		}
		sum += v * float64(w.Area)
	}
	return sum, nil
}

// UValue returns 1/(1/h_in + Σ t/k + 1/h_out), W/(m² K). field is the wall's path.
func (w Wall) UValue(field string) (float64, error) {
	inner, outward, err := w.sides(field)
	return 1 / (1/inner + 1/outward), err
}

// sides returns the film inside and the conductance from the inner face to the
// air outside, W/(m² K).
func (w Wall) sides(field string) (inner, outward float64, err error) {
	in, out := stillAir, slipstream
	if w.Inner != nil {
		in = *w.Inner
	}
	if w.Outer != nil {
		out = *w.Outer
	}
	if !(in > 0 && out > 0) {
		return 0, 0, &fault.Input{Field: field, What: "has a film of no conductance", Do: "give inner_film and outer_film above 0"}
	}
	r := 1 / float64(out)
	for i, l := range w.Layers {
		if !(l.Thickness >= 0 && l.Conductivity > 0) {
			return 0, 0, &fault.Input{Field: fault.Numbered(field+".layers", i), What: "can't be a layer", Do: "give thickness and a conductivity above 0"}
		}
		r += float64(l.Thickness) / float64(l.Conductivity)
	}
	return float64(in), 1 / r, nil
}

// Useful returns ṁ·c_p·(T_out − T_cabin), W: what warms a cabin, the heat that the
// air needs to reach the cabin's temperature taken off.
func Useful(flow float64, out, cabin si.Temperature) float64 {
	return flow * float64(air.SpecificHeat((out+cabin)/2)) * float64(out-cabin)
}

// cp is that of the air the cabin exchanges.
func (s State) cp() float64 {
	return float64(air.SpecificHeat(si.Temperature(s.Target+s.Outside) / 2))
}

// Need returns the heat that holds the target.
//
//	Q = UA·(T_c − T_o) + (ṁ_fresh + ṁ_leak)·c_p·(T_c − T_o) − gains
//
// It can be negative: then the cabin wants cooling.
func (s State) Need() float64 {
	return (s.ua+(s.Fresh+s.leak)*s.cp())*(s.Target-s.Outside) - s.gains
}

// Judge says how the cabin fares with the heater's flow (kg/s) at temperature
// out. Outside air that the heater brings counts as fresh air.
//
//	margin = ṁ·c_p·(T_out − T_c) − UA·(T_c − T_o) − (ṁ_leak + what fresh air lacks)·c_p·(T_c − T_o) + gains
func (s State) Judge(flow, out float64, fresh bool) Result {
	r := s.Result()
	brought := 0.0
	if fresh {
		brought = math.Min(flow, s.Fresh)
	}
	useful := Useful(flow, si.Temperature(out), si.Temperature(s.Target))
	margin := si.Power(useful + brought*s.cp()*(s.Target-s.Outside) - s.Need())
	r.Margin = &margin
	loss := s.ua + (s.leak+s.Fresh-brought)*s.cp()
	cp := float64(air.SpecificHeat(si.Temperature(out+s.Target) / 2))
	supply := si.Temperature(s.Target + (loss*(s.Target-s.Outside)-s.gains)/(flow*cp))
	r.Supply = &supply
	// Lumped cabin: C·dT/dt = ṁ·c_p·(T_out − T) + gains − loss·(T − T_o).
	all := flow*cp + loss
	settles := (flow*cp*out + loss*s.Outside + s.gains) / all
	at := si.Temperature(settles)
	r.Settles = &at
	if s.Outside >= s.Target {
		zero := si.Time(0)
		r.Warmup = &zero
	} else if settles > s.Target {
		t := si.Time(s.capacity / all * math.Log((settles-s.Outside)/(settles-s.Target)))
		r.Warmup = &t
	}
	return r
}

// Result is the cabin without a heater.
func (s State) Result() Result {
	return Result{Need: si.Power(math.Max(0, s.Need())), Conductance: si.Conductance(s.ua), Fresh: si.MassFlow(s.Fresh)}
}
