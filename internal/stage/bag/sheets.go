package bag

import (
	"math"

	"laywright/internal/base/si"
)

// Margins. Source: [ac43.13-1b] 3-4 for the bleeder (2 to 3 in past the part);
// the rest is common practice, no source.
const (
	PeelMargin    si.Length = 0.040 // past the part's edge
	FilmMargin    si.Length = 0.025
	BleederMargin si.Length = 0.065
)

const (
	bagLand      = 0.060 // m from the mould's edge to the tape
	stringMargin = 0.100 // m added to the string's length over the mould
	pleatEvery   = 0.400 // m of bag edge
	tapePerPleat = 0.060 // m of tape up and down a pleat
)

// sheets finds the cut sizes. A cloth that goes m past the edge of a part of
// area A and rim L covers A + L·m + 4·m² (the square corners are kept). The bag
// film is as long as a string laid over mould and bag land, and 100 mm more.
func sheets(in Input, r *Result) {
	past := func(m si.Length) si.Area {
		return in.Area + si.Area(in.Rim*m+4*m*m)
	}
	r.PeelPlyArea, r.FilmSheet = past(PeelMargin), past(FilmMargin)
	r.BleederArea = past(BleederMargin) * si.Area(max(1, r.BleederPlies))
	rise := 2 * float64(in.Height)
	long := float64(in.PlanX) + rise + 2*bagLand + stringMargin
	wide := float64(in.PlanY) + rise + 2*bagLand + stringMargin
	sides := 1.0
	edge := 2 * (float64(in.PlanX) + float64(in.PlanY) + 4*bagLand)
	if in.PlanX == 0 { // no mould: a square of the part's area
		side := math.Sqrt(float64(in.Area))
		long, wide = side+2*bagLand+stringMargin, side+2*bagLand+stringMargin
		edge = 4 * (side + 2*bagLand)
	}
	if in.Spec.Style == "envelope" { // the film is folded once and taped on three sides
		sides = 2
	}
	r.FilmLong, r.FilmWide = si.Length(long), si.Length(wide*sides)
	r.FilmArea = si.Area(long * wide * sides)
	r.Pleats = max(4, int(math.Ceil(edge/pleatEvery)))
	r.Tape = si.Length(edge + float64(r.Pleats)*2*tapePerPleat)
	r.Resistance = in.PeelPly.Resistance.Or(0) + in.ReleaseFilm.Resistance.Or(0) +
		in.Bleeder.Resistance.Or(0)*si.ThermalResistance(max(1, r.BleederPlies)) + in.BagFilm.Resistance.Or(0)
}
