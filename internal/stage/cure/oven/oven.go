// Package oven answers what a heated box does with a schedule: how fast its air
// can follow, how far it could go if the heater stuck on, what it loses, and how
// its thermostat swings.
//
// SI units, temperatures in kelvin. Air, racks and lining are one lump at one
// temperature, as with a fan; the part is followed by package cure, which says
// what heat it takes. The heater's own mass, the insulation's and heat radiated
// straight at the part are left out.
package oven

import (
	"math"

	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// Spec is `cure.oven` of a job file. What is 0 is taken as usual.
type Spec struct {
	Size     bind.Point               `yaml:"size"`                                       // inside
	Wall     si.Length                `yaml:"wall" least:"0" most:"0.5"`                  // of insulation; 0: bare sheet
	K        si.Conductivity          `yaml:"conductivity" least:"0.01" most:"5"`         // of the insulation
	Heater   si.Power                 `yaml:"heater" least:"10" most:"100000"`            // at the wall socket
	Band     si.TemperatureDifference `yaml:"band" least:"0.05" most:"40"`                // the thermostat's, from on to off
	Changes  float64                  `yaml:"air_changes" least:"0.01" most:"1000"`       // an hour, by leaks and vents
	Load     si.Mass                  `yaml:"load" least:"0" most:"5000"`                 // racks, lining and all else in it but the part and its mould
	LoadHeat si.SpecificHeat          `yaml:"load_specific_heat" least:"100" most:"5000"` // of that
	Spread   si.TemperatureDifference `yaml:"spread" least:"0" most:"60"`                 // from the coldest to the hottest place, measured at the hottest hold
	CutOut   si.Temperature           `yaml:"cut_out" least:"303.15" most:"623.15"`       // where the second, independent cut-out is set; 0: there is none
}

// Usual values of what a job leaves out.
const (
	usualK        = 0.035 // foam or mineral wool, W/(m K); handbook typical
	usualBand     = 4.0   // K; common practice, no source
	usualChanges  = 5.0   // an hour, of a box with closed vents; common practice, no source
	usualLoadHeat = 500.0 // steel, J/(kg K); handbook typical
	face          = 10.0  // convection and radiation at each side of a wall, W/(m² K) [churchill-chu1975]
	airHeat       = 1098  // ρ·cp of air at 50 °C and 1 atm, J/(m³ K); 1.09 kg/m³ [us-std-atm-1976] times 1007 [incropera2007]
)

// Box is an oven ready to be calculated with. Build it with [New].
type Box struct {
	UA     float64 // from the air to the shop, W/K
	C      float64 // of air and load, J/K
	Heater float64 // W
	Shop   float64 // K
	Band   float64 // K
	Spread float64 // K
	CutOut float64 // K; 0: none
}

// New returns the box in a shop of the temperature given.
//
//	UA = A/(1/h + t/k + 1/h) + n·V·ρcp
//	C = m·c + V·ρcp
//
// A is the area of the six walls and V the room inside, t and k the insulation's
// thickness and conductivity, h = 10 W/(m²K) on both sides, n the changes of air,
// m and c the load's. Thin walls: A is that of the inside.
func New(s Spec, shop si.Temperature) (Box, error) {
	x, y, z := s.Size.V.X, s.Size.V.Y, s.Size.V.Z
	for i, l := range []float64{x, y, z} {
		const least, most = 0.1, 20
		if err := fault.Check(fault.Numbered("cure.oven.size.xyz", i), 1e3*l, 1e3*least, 1e3*most, " mm", "the inside of a box, 4 in to 65 ft"); err != nil {
			return Box{}, err
		}
	}
	if s.Heater == 0 {
		return Box{}, &fault.Input{Field: "cure.oven", What: "has no heater", Do: `write heater: "1 kW"`}
	}
	or := func(x, usual float64) float64 {
		if x == 0 {
			return usual
		}
		return x
	}
	area, room := 2*(x*y+y*z+z*x), x*y*z
	u := 1 / (2/face + float64(s.Wall)/or(float64(s.K), usualK))
	return Box{UA: u*area + or(s.Changes, usualChanges)*room*airHeat/3600,
		C:      float64(s.Load)*or(float64(s.LoadHeat), usualLoadHeat) + room*airHeat,
		Heater: float64(s.Heater), Shop: float64(shop), Band: or(float64(s.Band), usualBand),
		Spread: float64(s.Spread), CutOut: float64(s.CutOut)}, nil
}

// Ceiling returns where the box ends with the heater always on, K.
//
//	T = T_shop + P/UA
func (b Box) Ceiling() float64 { return b.Shop + b.Heater/b.UA }

// HeatUp returns how long the empty box takes from the shop's temperature to rise
// by dT (K) with the heater always on, s; +Inf where it never gets there.
//
//	t = −(C/UA)·ln(1 − UA·dT/P)
func (b Box) HeatUp(dT float64) float64 {
	left := 1 - b.UA*dT/b.Heater
	if !(left > 0) {
		return math.Inf(1)
	}
	return -b.C / b.UA * math.Log(left)
}

// Duty returns the share of the heater that holds the empty box at t (K).
func (b Box) Duty(t float64) float64 { return b.UA * (t - b.Shop) / b.Heater }

// Cycle returns how long the thermostat's heater is on and off while it holds the
// empty box at t (K), s. It switches on half the band below and off half above.
//
//	on  = (C/UA)·ln((T_c − t + b/2)/(T_c − t − b/2))
//	off = (C/UA)·ln((t + b/2 − T_shop)/(t − b/2 − T_shop))
//
// T_c is the ceiling, b the band. ok is false nearer than half a band to either
// end. A sensor that hangs in air which runs ahead of the load cycles faster.
func (b Box) Cycle(t float64) (on, off float64, ok bool) {
	half, top := b.Band/2, b.Ceiling()
	if !(t-half > b.Shop && t+half < top) {
		return 0, 0, false
	}
	τ := b.C / b.UA
	return τ * math.Log((top-t+half)/(top-t-half)), τ * math.Log((t+half-b.Shop)/(t-half-b.Shop)), true
}

// Swing returns by how much a part of time constant tau (s) swings about its mean
// while the air swings by half the band every period (s), K.
//
//	ΔT = (b/2)/√(1 + (2π·τ/period)²)
//
// It takes the air's saw-tooth for a sine of its height, which is a fifth too much.
func (b Box) Swing(tau, period float64) float64 {
	return b.Band / 2 / math.Hypot(1, 2*math.Pi*tau/period)
}

// settle is how fast air that has fallen off its schedule comes back once the
// heater could, s: short against a part's own minutes, long against a solver's step.
const settle = 60.0

// Now is what a box is asked for at one instant.
type Now struct {
	Air   float64 // K
	Set   float64 // K
	Slope float64 // of the schedule, K/s
	Taken float64 // heat that the part takes, W
}

// Flow returns how fast the air warms (K/s), and what the heater gives and the
// walls and leaks lose (W).
//
//	C·dT/dt = P − UA·(T − T_shop) − Q    0 ≤ P ≤ heater
//
// The thermostat is averaged: P is what keeps the air to its schedule as far as
// the heater can, for it switches much faster than a cure goes on. The
// mean of a switching heater lies in the middle of its band. Where the schedule
// falls, or asks for no more than the shop and a band, the door is opened as far
// as it takes; else it is shut and the air coasts.
func (b Box) Flow(n Now) (rate, heater, lost float64) {
	lost = b.UA * (n.Air - b.Shop)
	out := lost + n.Taken
	rate = min(n.Slope+(n.Set-n.Air)/settle, (b.Heater-out)/b.C)
	if shut := n.Slope >= 0 && n.Set > b.Shop+b.Band; shut {
		rate = max(rate, -out/b.C)
	}
	return rate, max(0, b.C*rate+out), lost
}

// Lean returns how much warmer than the mean a place is whose share of half the
// spread is given, −1 the coldest and 1 the hottest, K: in proportion to how far
// the air is above the shop, all of it at top (K), where it was measured.
func (b Box) Lean(share, air, top float64) float64 {
	if !(top > b.Shop) {
		return 0
	}
	return share * b.Spread / 2 * max(0, air-b.Shop) / (top - b.Shop)
}
