package release

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/si"
)

// Wall is what the part's wall does when it hardens and cools.
type Wall struct {
	Alpha     si.Expansion // of the laminate, in its plane
	Fibre     si.Expansion // of its fibre, along
	Resin     si.Expansion
	Stiffness float64 // E·t, N/m; 0: not known
}

// Heat is what warms part and mould.
type Heat struct {
	Gel     si.Temperature // at which the resin sets
	Hottest si.Temperature // of cure and post-cure on the mould
	Room    si.Temperature // at which it is taken off
	Mould   si.Expansion   // of the mould
}

// Grip is how part and mould grow against each other. Lengths are over the widest
// pair of walls that face each other across the pull, positive where the mould
// grips: a plug too large for its part, or a cavity too small.
type Grip struct {
	Over     si.Length `json:"over_m"`      // the length that counts
	Warm     si.Length `json:"warm_m"`      // from setting to the hottest
	ColdLow  si.Length `json:"cold_low_m"`  // cold again: least and most,
	ColdHigh si.Length `json:"cold_high_m"` // by where the resin set and how much it shrank
}

// Shrinkage of a laminating epoxy by volume after it gels.
//
// Source: [epoxy-shrinkage].
const (
	leastShrink = 0.01
	mostShrink  = 0.03
)

// Growth returns how much more a length of the mould grows than one of the wall.
//
//	Δ = L·(α_mould − α_wall)·ΔT
func Growth(over si.Length, mould, wall si.Expansion, by si.TemperatureDifference) si.Length {
	return over * si.Length(float64(mould-wall)*float64(by))
}

// cured is the strain, negative, by which the wall shrinks as its resin hardens
// after gel. Fibres hold the resin as they do when it cools, so that the share of
// the resin's own shrinkage that shows is the same:
//
//	ε = −(v/3)·(α_wall − α_fibre)/(α_resin − α_fibre)
//
// v is the resin's shrinkage by volume. It holds in the plane of a balanced wall.
func (w Wall) cured(volume float64) float64 {
	if w.Resin <= w.Fibre {
		return 0
	}
	share := max(0, min(1, float64(w.Alpha-w.Fibre)/float64(w.Resin-w.Fibre)))
	return -volume / 3 * share
}

// grip works out growth and shrinkage over a length. The resin may have set
// anywhere between gel and the hottest that it saw: a wall that is still soft
// gives way to the mould. So both ends are taken.
func grip(over si.Length, cavity bool, w Wall, h Heat) Grip {
	sign := si.Length(1)
	if cavity {
		sign = -1
	}
	g := Grip{Over: over, Warm: sign * Growth(over, h.Mould, w.Alpha, si.TemperatureDifference(h.Hottest-h.Gel)),
		ColdLow: si.Length(math.Inf(1)), ColdHigh: si.Length(math.Inf(-1))}
	for _, set := range []si.Temperature{h.Gel, h.Hottest} {
		for _, v := range []float64{leastShrink, mostShrink} {
			x := sign * (Growth(over, h.Mould, w.Alpha, si.TemperatureDifference(h.Room-set)) - over*si.Length(w.cured(v)))
			g.ColdLow, g.ColdHigh = min(g.ColdLow, x), max(g.ColdHigh, x)
		}
	}
	return g
}

// Loose is how far a part that the mould grips by g must be pulled along walls of
// a draft until it is free: g/(2·tan δ); infinite on walls without draft.
func Loose(g si.Length, draft si.Angle) si.Length {
	switch {
	case g <= 0:
		return 0
	case draft <= 0:
		return si.Length(math.Inf(1))
	}
	return g / 2 / si.Length(math.Tan(float64(draft)))
}

// across is the widest that walls face each other across the pull: of directions
// across it 7.5 deg apart, the greatest extent of places with walls within 60 deg
// of the pull's upright on either side.
func (s *surface) across(e r3.Vec) (widest si.Length) {
	for _, u := range around(e, 48)[:24] {
		low, high := math.Inf(1), math.Inf(-1)
		for f, n := range s.normal {
			if r3.Dot(n, e) > 0.5 {
				continue
			}
			x := r3.Dot(s.middle[f], u)
			if r3.Dot(n, u) > 0.5 {
				high = max(high, x)
			}
			if r3.Dot(n, u) < -0.5 {
				low = min(low, x)
			}
		}
		if d := math.Abs(high - low); !math.IsInf(d, 0) {
			widest = max(widest, si.Length(d))
		}
	}
	return widest
}
