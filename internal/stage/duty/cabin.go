package duty

import (
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/exchanger"
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

// CabinResult is how the cabin fares.
type CabinResult struct {
	Need        si.Power        `json:"need_W"`             // to hold the target, fresh air warmed; 0 where the cabin is warm by itself
	Margin      *si.Power       `json:"margin_W,omitempty"` // what the heater brings beyond it
	Warmup      *si.Time        `json:"warmup_s,omitempty"` // from cold-soaked to the target, the liquid hot
	Conductance si.Conductance  `json:"conductance_W_per_K"`
	Fresh       si.MassFlow     `json:"fresh_air_kg_per_s"`
	Supply      *si.Temperature `json:"supply_degC,omitempty"`  // outlet temperature that would just do at the heater's flow
	Settles     *si.Temperature `json:"settles_degC,omitempty"` // where the cabin ends with the heater wide on
}

// cabinState is a cabin with its numbers filled in.
type cabinState struct {
	target, outside float64 // K
	ua, fresh, leak float64 // W/K, kg/s, kg/s
	gains, capacity float64 // W, J/K
}

func cabinOf(c Cabin, outside si.Temperature) (cabinState, error) {
	if c.Outside != nil {
		outside = *c.Outside
	}
	s := cabinState{target: float64(c.Target), outside: float64(outside), leak: float64(c.Infiltration), gains: float64(c.Gains)}
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
	s.fresh, s.capacity = float64(each)*float64(c.People), float64(capacity)
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
func (c Cabin) conductance() (float64, error) {
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
		v, err := w.uValue(field)
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

// uValue returns 1/(1/h_in + Σ t/k + 1/h_out), W/(m² K).
func (w Wall) uValue(field string) (float64, error) {
	inner, outer := stillAir, slipstream
	if w.Inner != nil {
		inner = *w.Inner
	}
	if w.Outer != nil {
		outer = *w.Outer
	}
	if !(inner > 0 && outer > 0) {
		return 0, &fault.Input{Field: field, What: "has a film of no conductance", Do: "give inner_film and outer_film above 0"}
	}
	r := 1/float64(inner) + 1/float64(outer)
	for i, l := range w.Layers {
		if !(l.Thickness >= 0 && l.Conductivity > 0) {
			return 0, &fault.Input{Field: fault.Numbered(field+".layers", i), What: "can't be a layer", Do: "give thickness and a conductivity above 0"}
		}
		r += float64(l.Thickness) / float64(l.Conductivity)
	}
	return 1 / r, nil
}

// cp is that of the air the cabin exchanges.
func (s cabinState) cp() float64 {
	return float64(exchanger.AirSpecificHeat(si.Temperature(s.target+s.outside) / 2))
}

// need returns the heat that holds the target.
//
//	Q = UA·(T_c − T_o) + (ṁ_fresh + ṁ_leak)·c_p·(T_c − T_o) − gains
//
// It can be negative: then the cabin wants cooling.
func (s cabinState) need() float64 {
	return (s.ua+(s.fresh+s.leak)*s.cp())*(s.target-s.outside) - s.gains
}

// judge says how the cabin fares with the heater's flow (kg/s) at temperature
// out. Outside air that the heater brings counts as fresh air.
//
//	margin = ṁ·c_p·(T_out − T_c) − UA·(T_c − T_o) − (ṁ_leak + what fresh air lacks)·c_p·(T_c − T_o) + gains
func (s cabinState) judge(flow, out float64, fresh bool) CabinResult {
	r := s.result()
	brought := 0.0
	if fresh {
		brought = math.Min(flow, s.fresh)
	}
	useful := usefulHeat(flow, si.Temperature(out), si.Temperature(s.target))
	margin := si.Power(useful + brought*s.cp()*(s.target-s.outside) - s.need())
	r.Margin = &margin
	loss := s.ua + (s.leak+s.fresh-brought)*s.cp()
	cp := float64(exchanger.AirSpecificHeat(si.Temperature(out+s.target) / 2))
	supply := si.Temperature(s.target + (loss*(s.target-s.outside)-s.gains)/(flow*cp))
	r.Supply = &supply
	// Lumped cabin: C·dT/dt = ṁ·c_p·(T_out − T) + gains − loss·(T − T_o).
	all := flow*cp + loss
	settles := (flow*cp*out + loss*s.outside + s.gains) / all
	at := si.Temperature(settles)
	r.Settles = &at
	if s.outside >= s.target {
		zero := si.Time(0)
		r.Warmup = &zero
	} else if settles > s.target {
		t := si.Time(s.capacity / all * math.Log((settles-s.outside)/(settles-s.target)))
		r.Warmup = &t
	}
	return r
}

func (s cabinState) result() CabinResult {
	return CabinResult{Need: si.Power(math.Max(0, s.need())), Conductance: si.Conductance(s.ua), Fresh: si.MassFlow(s.fresh)}
}
