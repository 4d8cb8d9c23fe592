package stand

import (
	"math"

	"laywright/internal/base/si"
)

// Grows returns by how much a length grows.
//
//	ΔL = α·L·ΔT
func Grows(alpha si.Expansion, long si.Length, by si.TemperatureDifference) si.Length {
	return si.Length(float64(alpha) * float64(long) * float64(by))
}

// Course is a cure as a mould feels it: temperature and glass transition of the
// laminate over time, and when it gelled.
type Course struct {
	Time        []float64 // s
	Temperature []si.Temperature
	Tg          []si.Temperature
	Gel         si.Time
}

// Sets returns the temperature at which the part takes its size: the highest at
// which, once gelled, its glass transition lay at or below its temperature, for
// above its glass transition it gives and follows the mould; and if it never did
// so after the gel, the temperature at the gel.
func (c Course) Sets() (si.Temperature, bool) {
	var at si.Temperature
	found := false
	for i, t := range c.Time {
		if t < float64(c.Gel) {
			continue
		}
		if !found || c.Temperature[i] >= c.Tg[i] && c.Temperature[i] > at {
			at, found = c.Temperature[i], true
		}
	}
	return at, found
}

// Hottest returns the highest temperature after the gel.
func (c Course) Hottest() (at si.Temperature) {
	for i, t := range c.Time {
		if t >= float64(c.Gel) {
			at = max(at, c.Temperature[i])
		}
	}
	return at
}

// Ring is a part laid right round a plug: a closed wall of mean radius R.
type Ring struct {
	Radius si.Length
	Thick  si.Length
	E      si.Pressure // of the part along the ring
}

// Stretch returns the stress along a ring whose plug would grow past it by a
// strain, and the pressure between the two.
//
//	p = ε / ( R/(E·t) + (1 − νm)/Em )    σ = p·R/t
//
// The plug is solid, with the modulus Em and Poisson's ratio νm; a stiff one
// leaves σ = E·ε. Thin wall, elastic, no slip along it. No strain, or one that
// loosens the ring, gives none.
//
// Source: [timoshenko1956] for the shrink fit of a ring on a solid shaft.
func (r Ring) Stretch(strain float64, plug Matter) (stress, pressure si.Pressure) {
	if !(strain > 0) {
		return 0, 0
	}
	R, t := float64(r.Radius), float64(r.Thick)
	give := R / (float64(r.E) * t)
	if plug.E > 0 {
		give += (1 - plug.Nu) / float64(plug.E)
	}
	p := strain / give
	return si.Pressure(p * R / t), si.Pressure(math.Abs(p))
}
