package bag

import (
	"math"

	"laywright/internal/base/si"
)

// Margins. Source: [ac43.13-1b] 3-4 for the bleeder (2 to 3 in past the part) and the
// film over it (1 in smaller); the rest is common practice, no source.
const (
	PeelMargin     si.Length = 0.040 // past the part's edge
	FilmMargin     si.Length = 0.025
	BleederMargin  si.Length = 0.065
	barrierMargin  si.Length = 0.040
	breatherMargin si.Length = 0.090 // past the bleeder, so that it lies on dry ground
)

const (
	bagLand      = 0.060 // m from the mould's edge to the tape
	stringMargin = 0.100 // m added to the string's length over the mould
	pleatEvery   = 0.400 // m of bag edge
	tapePerPleat = 0.060 // m of tape up and down a pleat
)

// portTab is the breather that reaches from the part to under a port. Common
// practice, no source.
const portTab si.Area = 0.15 * 0.075

// sheets finds the cut sizes. A cloth that goes m past the edge of a part of
// area A and rim L covers A + L·m + 4·m² (the square corners are kept).
func sheets(in Input, r *Result) {
	past := func(m si.Length) si.Area {
		return in.Area + si.Area(in.Rim*m+4*m*m)
	}
	r.PeelPlyArea, r.FilmSheet = past(PeelMargin), past(FilmMargin)
	layers := max(1, r.BleederPlies)
	r.BleederArea = past(BleederMargin) * si.Area(layers)
	if in.Face != nil && len(in.Face.Triangles) > 0 {
		overFace(in, r)
	} else {
		overBox(in, r)
	}
	if in.Breather.Use != "" {
		r.BreatherArea, r.BarrierArea = past(breatherMargin)+portTab*si.Area(len(r.Ports)), past(barrierMargin)
	}
	r.Resistance = in.PeelPly.Resistance.Or(0) + in.ReleaseFilm.Resistance.Or(0) +
		in.Bleeder.Resistance.Or(0)*si.ThermalResistance(layers) + in.Breather.Resistance.Or(0) + in.BagFilm.Resistance.Or(0)
}

// sheetsOf is how many times the film lies over the mould: an envelope's is folded
// once and taped on three sides.
func (s Spec) sheetsOf() float64 {
	if s.Style == Envelope {
		return 2
	}
	return 1
}

// overFace sizes the bag by the mould's face: as long as a string laid over it into
// every hollow, down to the base and over the land, and 100 mm more. What is spare of
// the film against the line of the tape goes into pleats, so the tape is as long as
// the film's own edge.
func overFace(in Input, r *Result) {
	box := in.Face.Bounds()
	var both [2][]cut
	var films [2]film
	for way := range both {
		both[way] = cutUp(in.Face, axis(way))
		films[way] = taut(both[way], axis(way), box.Min, box.Max, in.Cavity)
		r.PleatsAt = append(r.PleatsAt, films[way].pleats()...)
	}
	long, wide, sides := films[alongX].long(), films[alongY].long(), in.Spec.sheetsOf()
	r.PathLong, r.PathWide = si.Length(films[alongX].path), si.Length(films[alongY].path)
	r.FilmLong, r.FilmWide, r.FilmArea = si.Length(long), si.Length(wide*sides), si.Area(long*wide*sides)
	r.Tape = si.Length(2 * (long + wide))
	r.Pleats = len(r.PleatsAt)
	r.Hollows = hollows(in.Face, both)
	tellHollows(r)
	if in.Surface != nil {
		if r.Ports, r.BreatherWay = ports(in.Surface, in.Edge); r.BreatherWay > portFar {
			r.tell(portsFar(r.BreatherWay))
		}
	}
}

// overBox sizes the bag where only the mould's size is known, or nothing: a square of
// the part's area.
func overBox(in Input, r *Result) {
	rise := 2 * float64(in.Height)
	long := float64(in.PlanX) + rise + 2*bagLand + stringMargin
	wide := float64(in.PlanY) + rise + 2*bagLand + stringMargin
	edge := 2 * (float64(in.PlanX) + float64(in.PlanY) + 4*bagLand)
	if in.PlanX == 0 {
		side := math.Sqrt(float64(in.Area))
		long, wide = side+2*bagLand+stringMargin, side+2*bagLand+stringMargin
		edge = 4 * (side + 2*bagLand)
	}
	sides := in.Spec.sheetsOf()
	r.FilmLong, r.FilmWide = si.Length(long), si.Length(wide*sides)
	r.FilmArea = si.Area(long * wide * sides)
	r.Pleats = max(4, int(math.Ceil(edge/pleatEvery)))
	r.Tape = si.Length(edge + float64(r.Pleats)*2*tapePerPleat)
}
