package resin

import (
	"math"

	"laywright/internal/base/material"
	"laywright/internal/base/si"
)

// Heat set free by one equivalent of epoxide with amine, and the mass of
// unmodified liquid resin that holds one. Source: [epoxy-heat].
const (
	heatPerEquivalent = 105e3 // J
	massPerEquivalent = 0.190 // kg
)

// Share is one part of a blend: its mass in any unit, and the mass in kg of it that
// holds one equivalent, 0 for a filler or a diluent that holds none.
type Share struct{ Mass, PerEquivalent float64 }

// Equivalent returns the mass of a blend that holds one equivalent, kg.
//
//	EEW = Σw / Σ(w/EEWᵢ)
//
// It is +Inf where no part holds any. Source: [epoxy-heat], whose definition of an
// equivalent this is.
func Equivalent(blend ...Share) float64 {
	mass, held := 0.0, 0.0
	for _, s := range blend {
		mass += s.Mass
		if s.PerEquivalent > 0 {
			held += s.Mass / s.PerEquivalent
		}
	}
	return mass / held
}

// AmineEquivalent returns the mass of an amine that holds one active hydrogen, kg:
// its molar mass (kg/mol) over the hydrogens on its nitrogens.
func AmineEquivalent(molar float64, hydrogens int) float64 { return molar / float64(hydrogens) }

// HardenerParts returns the parts of hardener to 100 of resin by mass at which there
// is one amine hydrogen for each epoxide.
//
//	phr = 100·AHEW/EEW
//
// Both in the same unit.
func HardenerParts(epoxy, amine float64) float64 { return 100 * amine / epoxy }

// HeatOfMix returns the heat of reaction a mass of a stoichiometric mix, from the
// masses in kg that hold one equivalent.
//
//	H = ΔH/(EEW + AHEW)    ΔH = 105 kJ, 98 to 110 in the literature
//
// Source: [epoxy-heat].
func HeatOfMix(epoxy, amine float64) si.SpecificEnergy {
	return si.SpecificEnergy(heatPerEquivalent / (epoxy + amine))
}

// Index returns how many amine hydrogens there are for each epoxide where resin and
// hardener were weighed so, if the mixing ratio gives one for one.
func Index(mix material.Mix, resin, hardener float64) float64 {
	return hardener / resin * mix.Resin / mix.Hardener
}

// GelPoint returns the conversion at which a mix gels, of the group that is short.
//
//	α = 1/√(r·(fe − 1)·(fa − 1))
//
// r is the index or its inverse, whichever is below 1, fe the epoxides and fa the
// amine hydrogens of a molecule; all groups alike, no rings. ok is false where so
// little of one part is there that it never gels.
//
// Source: [flory1953].
func GelPoint(index, fe, fa float64) (a float64, ok bool) {
	a = 1 / math.Sqrt(min(index, 1/index)*(fe-1)*(fa-1))
	return a, a <= 1
}
