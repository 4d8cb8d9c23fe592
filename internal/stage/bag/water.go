package bag

import "laywright/internal/base/air"

// water says how much of the vacuum there is the plan uses, and at what
// temperature water boils under it.
//
//	share = vacuum/barometer    boils at T with e(T) = barometer − vacuum
//
// Cloth, core or mould that are damp give off bubbles above that temperature;
// resin that has taken up moisture from the air does so as [boiling] tells.
// Source: [alduchov1996].
func water(r *Result) {
	r.Share = float64(r.Used / r.Available)
	r.WaterBoils = air.Boiling(r.Absolute)
}
