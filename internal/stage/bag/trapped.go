package bag

import (
	"laywright/internal/base/material"
	"laywright/internal/base/si"
)

// grown returns how many times its size a bubble has that was shut in at pressure p0
// and temperature t0 and now is at p and t.
//
//	V/V₀ = p₀/p · T/T₀
//
// An ideal gas, with nothing dissolved. Source: [boyle1662].
func grown(p0, p si.Pressure, t0, t si.Temperature) float64 {
	return float64(p0/p) * float64(t/t0)
}

// feltFibre is the density of polyester, which felts are of. Handbook typical.
const feltFibre si.Density = 1380

// holds returns the resin that a square metre of felt takes up until it is full: the
// record's, else the room between its fibres at the thickness that it has under
// vacuum,
//
//	g = ρr·(h − m/ρf)
//
// m is the felt's areal mass. 0 where neither is known.
//
// Source: identity (mass balance).
func holds(felt material.Consumable, resin si.Density) si.ArealMass {
	if felt.Uptake.Known || !felt.Thickness.Known || !felt.ArealMass.Known {
		return felt.Uptake.Or(0)
	}
	room := felt.Thickness.Value - si.Length(float64(felt.ArealMass.Value)/float64(feltFibre))
	return max(0, si.ArealMass(float64(resin)*float64(room)))
}
