package coats

import (
	"math"

	"laywright/internal/base/air"
	"laywright/internal/base/si"
)

// Air is what a coat dries in.
type Air struct {
	Temperature si.Temperature
	Humidity    float64 // relative, 0 to 1
}

// usual is the air that base values hold in.
var usual = Air{293.15, 0.5}

// Law is what a coat waits for.
type Law string

// The laws of drying.
const (
	Water    Law = "water"    // that leaves into the air
	Solvent  Law = "solvent"  // likewise, but the air holds none of it
	Reaction Law = "reaction" // of two parts with each other
)

const (
	gasConstant = 8.314462618 // J/(mol K)
	// Heat of vaporisation of a paint solvent: toluene 38.0 kJ/mol, white spirit's
	// parts 38 to 45. Source: [nist-webbook].
	solventHeat = 38.0e3 // J/mol
	// A reaction that goes twice as fast for ten degrees more, from 300 to 310 K.
	// Common practice, no source.
	reactionHeat = 53.6e3 // J/mol
	// Above this humidity a water-borne film does not dry in any useful time; the
	// factor stops growing there.
	dampest = 0.95
)

// Factor returns how many times as long a coat takes as at 20 °C and 50 %.
//
//	water     Δe(20 °C, 50 %)/Δe(T, RH)          Δe: vapour pressure deficit
//	solvent   exp(H/R·(1/T − 1/293 K))           its vapour pressure
//	reaction  exp(E/R·(1/T − 1/293 K))           its rate
//
// A thin film on a thick mould keeps the mould's temperature, so that the deficit
// is taken at the air's and no wet bulb enters; the mould is taken to stand at the
// temperature of the shop. Draught, which can halve the times, is left out.
//
// Source: [dalton1802] for water, [clausius1850] for solvents, common practice for
// reactions.
func (l Law) Factor(a Air) float64 {
	heat := reactionHeat
	switch l {
	case Water:
		return float64(air.Deficit(usual.Temperature, usual.Humidity) / air.Deficit(a.Temperature, min(a.Humidity, dampest)))
	case Solvent:
		heat = solventHeat
	}
	return math.Exp(heat / gasConstant * (1/float64(a.Temperature) - 1/float64(usual.Temperature)))
}
