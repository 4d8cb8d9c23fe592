package duty

import (
	"math"

	"laywright/internal/base/air"
	"laywright/internal/base/si"
	"laywright/internal/stage/cabin"
)

// Alternative is another way to the same heat, for an honest comparison. What
// can't be known from the job is absent.
type Alternative struct {
	Name   string    `json:"name"`
	Heat   *si.Power `json:"heat_W,omitempty"`        // into the cabin
	Shaft  *si.Power `json:"shaft_power_W,omitempty"` // taken from the engine
	Mass   si.Mass   `json:"mass_kg"`                 // rough, assumed
	Moving int       `json:"moving_parts"`
	Fails  string    `json:"fails"` // what happens when it fails
}

// Efficiencies and masses of the alternatives; assumed unless a source is named.
const (
	propulsion = 0.75 // of the thrust that ram drag costs
	blowing    = 0.30 // of a small blower with its motor and generator
	generation = 0.55 // of a light aircraft's alternator with its belt
	boxMass    = 2.5  // core, box, hoses, liquid, kg
	muffMass   = 1.8
	bleedMass  = 3.0
	wireMass   = 5.0e-3 // elements, wiring and a larger alternator, kg/W
)

// A small turbine that bleed might come from: pressure ratio, turbine inlet
// temperature, efficiencies. Assumed as typical.
const (
	bleedRatio = 6.0
	turbineIn  = 1250.0 // K
	compressor = 0.80
	turbine    = 0.87
	burnerKept = 0.95 // of the pressure
	gasCp      = 1149.0
	coldCp     = 1005.0
)

// bleed is what one kilogram a second of compressor air costs and carries.
type bleed struct {
	outlet float64 // K
	work   float64 // of the compressor, J/kg
	lost   float64 // of the turbine at the same inlet temperature, J/kg
	fuel   float64 // kg of fuel for a kg of bleed
}

// bleedAt works out bleed at a pressure ratio from air at t1 (K).
//
//	w_c = c_p·T₁·(r^(2/7) − 1)/η_c    T₂ = T₁ + w_c/c_p
//	w_t = c_pg·T₄·η_t·(1 − (0.95·r)^−¼)    fuel = 3.015·10⁻⁵·T₄
//
// At constant turbine inlet temperature the engine loses w_t for each kilogram.
// Source: ideal-gas cycle; fuel [air1168-8], from memory.
func bleedAt(ratio, t1 float64) bleed {
	work := coldCp * t1 * (math.Pow(ratio, 2.0/7) - 1) / compressor
	return bleed{
		outlet: t1 + work/coldCp, work: work,
		lost: gasCp * turbineIn * turbine * (1 - math.Pow(burnerKept*ratio, -0.25)),
		fuel: 3.015e-5 * turbineIn,
	}
}

// alternatives compares ways to bring the cabin's need. It is empty where the
// cabin needs no heat.
func alternatives(c cabin.State, h *HeaterResult, outside *AirState) []Alternative {
	need := si.Power(c.Need())
	if need <= 0 {
		return nil
	}
	shaft := func(p float64) *si.Power { x := si.Power(p); return &x }
	var out []Alternative
	if h != nil && outside != nil {
		box := Alternative{"this box", h.Useful, nil, boxMass, 1, "a leaking core puts hot liquid or its mist into the cabin"}
		efficiency := blowing
		if outside.Speed > 0 {
			efficiency = propulsion
		}
		if h.Loss != nil {
			box.Shaft = shaft(float64(h.AirFlow) * float64(*h.Loss) / float64(air.Density(outside.Pressure, h.AirIn)) / efficiency)
		}
		out = append(out, box)
	}
	out = append(out,
		Alternative{"muff on the exhaust", nil, nil, muffMass, 1, "a crack puts carbon monoxide into the cabin, unseen and unsmelt"},
		Alternative{"electric", &need, shaft(float64(need) / generation), si.Mass(1 + wireMass*float64(need)), 0, "heat ends with the alternator; wiring carries the load"},
	)
	if outside != nil {
		b := bleedAt(bleedRatio, float64(outside.Temperature))
		if b.outlet > c.Target {
			flow := float64(need) / (coldCp * (b.outlet - c.Target))
			out = append(out, Alternative{"bleed from a turbine, where there is one", &need, shaft(flow * b.lost), bleedMass, 2,
				"hot air above 200 degC if the mixing fails; oil from a compressor seal"})
		}
	}
	return out
}
