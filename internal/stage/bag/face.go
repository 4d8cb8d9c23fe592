package bag

import (
	"errors"
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// What is taken of peel ply and film whose records do not say. Assumed.
const (
	usualPermeable si.Area   = 3e-11
	usualHole      si.Length = 0.0004
	usualApart     si.Length = 0.006
	usualSheet     si.Length = 25e-6 // thickness of film
	usualPeel      si.Length = 0.00012
)

// faceResistance returns what the sheets on the laminate put in the way of its
// resin, in 1/m: the flow out of it is v = Δp/(μ·R).
//
//	R = h/K + s²·(128·t/(π·d⁴) + 24/d³) + r²/(2·K·h)·(ln(2r/d) − 3/4),  r = s/√π
//
// The first term is the way through a peel ply of thickness h and permeability K;
// the second the holes of a film of thickness t, of diameter d and s apart in
// squares, each a short pipe behind a sharp mouth; the third the way along the peel
// ply to the hole, from a round field of radius r with an even inflow, in the mean
// over the field. The cloth below helps the resin along, which is left out: an upper
// bound. Under a film without holes the peel ply alone takes resin, see [Input.takes].
// No sheet, no term.
//
// Source: [darcy1856] for the peel ply, [sampson1891] for the mouth, added to the
// pipe as [dagan1982] found within 1 %, [muskat1937] for the flow to a hole.
func (in Input) faceResistance() (r float64) {
	k, h := float64(in.PeelPly.Permeable.Or(usualPermeable)), float64(in.PeelPly.Thickness.Or(usualPeel))
	if in.PeelPly.Use != "" {
		r += h / k
	}
	if in.ReleaseFilm.Use == "" || in.solidFilm() {
		return r
	}
	d, s := float64(in.ReleaseFilm.Hole.Or(usualHole)), float64(in.ReleaseFilm.HoleApart.Or(usualApart))
	t := float64(in.ReleaseFilm.Thickness.Or(usualSheet))
	r += s * s * (128*t/(math.Pi*math.Pow(d, 4)) + 24/math.Pow(d, 3))
	field := s / math.Sqrt(math.Pi)
	return r + field*field/(2*k*h)*max(0, math.Log(2*field/d)-0.75)
}

// checkFace refuses sheets that no roll has.
func (in Input) checkFace() error {
	peel, film := in.PeelPly, in.ReleaseFilm
	hole, apart := film.Hole.Or(usualHole), film.HoleApart.Or(usualApart)
	return errors.Join(
		fault.Check("bag.peel_ply permeability", float64(peel.Permeable.Or(usualPermeable)), 1e-15, 1e-7, " m^2", "tight to open cloth"),
		fault.Check("bag.peel_ply thickness", 1e3*float64(peel.Thickness.Or(usualPeel)), 0.01, 5, " mm", "peel ply"),
		fault.Check("bag.film thickness", 1e3*float64(film.Thickness.Or(usualSheet)), 0.001, 5, " mm", "film"),
		fault.Check("bag.film hole_diameter", 1e3*float64(hole), 0, 20, " mm", "pin-pricked to punched"),
		fault.Check("bag.film hole_spacing", 1e3*float64(apart), max(0.1, 1e3*float64(hole)), 1000, " mm", "holes stand apart"))
}

// solidFilm tells whether the film over the peel ply has no holes.
func (in Input) solidFilm() bool {
	f := in.ReleaseFilm
	return f.Use != "" && f.Hole.Known && f.Hole.Value == 0
}

// takes returns the resin that peel ply and bleeder can take, kg/m²; without bound
// where as many layers of bleeder are laid as the resin asks for.
func (in Input) takes() float64 {
	peel, each := float64(in.PeelPly.Uptake.Or(0)), float64(holds(in.Bleeder, in.ResinRho))
	switch plies := in.Spec.BleederPlies; {
	case in.solidFilm():
		return peel
	case plies.Given:
		return peel + each*float64(plies.Value)
	}
	return math.Inf(1)
}
