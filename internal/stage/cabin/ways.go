package cabin

import (
	"fmt"
	"math"

	"laywright/internal/base/air"
	"laywright/internal/base/si"
)

// Way is a way to the cabin's heat, for an honest comparison. What can't be known
// from the job is absent.
type Way struct {
	Name   string       `json:"name"`
	Heat   *si.Power    `json:"heat_W,omitempty"`        // into the cabin, above its temperature
	Shaft  *si.Power    `json:"shaft_power_W,omitempty"` // taken from the engine
	Fuel   *si.MassFlow `json:"fuel_kg_per_s,omitempty"` // burnt for it
	Mass   si.Mass      `json:"mass_kg"`                 // rough, assumed
	Moving int          `json:"moving_parts"`
	Fails  string       `json:"fails"`           // what happens when it fails
	Needs  string       `json:"needs,omitempty"` // what must be there or be built
}

// Efficiencies and masses of the ways; assumed unless a source is named.
const (
	generation = 0.55 // of a light aircraft's alternator with its belt
	boxMass    = 2.5  // core, box, hoses, liquid, kg
	muffMass   = 1.8
	bleedMass  = 3.0
	wireMass   = 5.0e-3 // elements, wiring and a larger alternator, kg/W
	// pistonFuel is what a small piston engine burns, 0.29 kg/kWh; common practice, no source.
	pistonFuel = 0.29 / 3.6e6 // kg/J
	// muffFilm is the conductance from exhaust gas to air through a pipe with
	// studs, W/(m² K), and exhaustGas the gas's temperature there, K. Assumed.
	muffFilm   = 30.0
	exhaustGas = 900.0
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

// Bleed is what one kilogram a second of compressor air costs and carries.
type Bleed struct {
	Outlet float64 // K
	Work   float64 // of the compressor, J/kg
	Lost   float64 // of the turbine at the same inlet temperature, J/kg
	Fuel   float64 // kg of fuel for a kg of bleed
}

// BleedAt works out bleed at a pressure ratio from air at t1 (K).
//
//	w_c = c_p·T₁·(r^(2/7) − 1)/η_c    T₂ = T₁ + w_c/c_p
//	w_t = c_pg·T₄·η_t·(1 − (0.95·r)^−¼)    fuel = 3.015·10⁻⁵·T₄
//
// At constant turbine inlet temperature the engine loses w_t for each kilogram.
// Source: ideal-gas cycle; fuel [air1168-8], from memory.
func BleedAt(ratio, t1 float64) Bleed {
	work := coldCp * t1 * (math.Pow(ratio, 2.0/7) - 1) / compressor
	return Bleed{
		Outlet: t1 + work/coldCp, Work: work,
		Lost: gasCp * turbineIn * turbine * (1 - math.Pow(burnerKept*ratio, -0.25)),
		Fuel: 3.015e-5 * turbineIn,
	}
}

// MostMonoxide is the greatest share of carbon monoxide that cabin air may hold,
// 1 in 20 000. Source: [cfr14-23-831].
const MostMonoxide = 50e-6

// Monoxide returns the share of carbon monoxide that a leak of it brings cabin
// air to, in the end: leak over the air exchanged, both as volumes.
func Monoxide(leak, exchanged si.VolumeFlow) float64 { return float64(leak) / float64(exchanged) }

// Box is the heater that the ways are held against; its zero value: none.
type Box struct {
	Name  string // "coolant box"
	Heat  *si.Power
	Shaft *si.Power
	Air   si.VolumeFlow
	Other Rival
}

// Rival is the same box with the other liquid in its core. Heat is absent where it
// can't be known; Says tells what it was worked out with, or why not.
type Rival struct {
	Heat *si.Power
	Says string
}

// way is the rival as a way: the air is the same, and so is what it costs.
func (r Rival) way(b Box, name, fails, needs string) Way {
	w := Way{Name: name, Heat: r.Heat, Mass: boxMass, Moving: 1, Fails: fails, Needs: needs}
	if r.Heat != nil {
		w.Shaft, w.Fuel = b.Shaft, burnt(b.Shaft)
	}
	if r.Says != "" {
		w.Needs += "; " + r.Says
	}
	return w
}

// Ways compares ways to bring the cabin's need with the box. It is empty where
// the cabin needs no heat.
func (s State) Ways(b Box) []Way {
	need := si.Power(s.Need())
	if need <= 0 {
		return nil
	}
	var out []Way
	if b.Name != "" {
		out = append(out, Way{b.Name, b.Heat, b.Shaft, burnt(b.Shaft), boxMass, 1,
			"a leaking core puts hot liquid or its mist into the cabin", "what this job describes"})
	}
	if b.Name == CoolantBox {
		out = append(out, b.Other.way(b, OilBox, "a leaking core puts hot oil mist into the cabin and drains the engine",
			"a core in the oil line; the engine gives its oil about 11 % of its power, less when it runs slowly"))
	} else {
		out = append(out, b.Other.way(b, CoolantBox, "a leaking core puts coolant mist into the cabin and lets the engine boil",
			"a liquid-cooled engine"))
	}
	out = append(out, s.muff(need, b.Air), s.electric(need))
	return append(out, s.bleed(need)...)
}

// The boxes by what flows in them.
const (
	CoolantBox = "coolant box"
	OilBox     = "oil box"
)

func burnt(shaft *si.Power) *si.MassFlow {
	if shaft == nil {
		return nil
	}
	m := si.MassFlow(float64(*shaft) * pistonFuel)
	return &m
}

// muff heats air on the exhaust pipe. Its area follows from the need, the gas's
// temperature and the mean of the air's.
func (s State) muff(need si.Power, exchanged si.VolumeFlow) Way {
	area := float64(need) / (muffFilm * (exhaustGas - (s.Target+s.Outside)/2))
	w := Way{Name: "muff on the exhaust", Heat: &need, Mass: muffMass, Moving: 1,
		Fails: "a crack puts carbon monoxide into the cabin, unseen and unsmelt",
		Needs: fmt.Sprintf("some %.2g m² of pipe with studs, and a look inside every year", area)}
	if exchanged > 0 {
		w.Fails += fmt.Sprintf(": a leak of %.2g cm³/s of it brings this cabin's air to the limit of 50 in a million", 1e6*MostMonoxide/Monoxide(1, exchanged))
	}
	return w
}

func (s State) electric(need si.Power) Way {
	shaft := need / generation
	return Way{"electric", &need, &shaft, burnt(&shaft), si.Mass(1 + wireMass*float64(need)), 0, "heat ends with the alternator",
		fmt.Sprintf("%.0f A at 14 V beyond what flies now", float64(need)/14)}
}

// bleed takes hot air from a turbine's compressor; nil where it would come out no
// warmer than the cabin.
func (s State) bleed(need si.Power) []Way {
	b := BleedAt(bleedRatio, s.Outside)
	if !(b.Outlet > s.Target) {
		return nil
	}
	flow := float64(need) / (coldCp * (b.Outlet - s.Target))
	shaft, fuel := si.Power(flow*b.Lost), si.MassFlow(flow*b.Fuel)
	return []Way{{"bleed from a turbine", &need, &shaft, &fuel, bleedMass, 2,
		fmt.Sprintf("air of %.0f degC if the mixing fails; oil from a compressor's seal", b.Outlet-273.15), "a turbine whose maker allows it"}}
}

// Fresh air's volume at the cabin's temperature, for [Monoxide].
func (s State) Exchanged(brought float64, p si.Pressure) si.VolumeFlow {
	return si.VolumeFlow((brought + s.leak + s.freshBeside(brought)) / float64(air.Density(p, si.Temperature(s.Target))))
}
