package coats

import (
	"math"

	"laywright/internal/base/material"
	"laywright/internal/base/si"
)

// Coat is one step of making the mould ready, in order.
type Coat struct {
	What   string          `json:"what"`
	Coats  int             `json:"coats"`
	Dry    si.Time         `json:"dry_s"`  // after each coat, in the shop's air
	Last   si.Time         `json:"last_s"` // after the last, where longer
	Origin material.Origin `json:"origin"` // of the base values
	Law    Law             `json:"dries_by"`
	Factor float64         `json:"drying_factor"`       // against 20 degC and 50 %
	Mass   *si.Mass        `json:"mass_kg,omitempty"`   // of all its coats, with what is lost
	Volume *si.Volume      `json:"volume_m3,omitempty"` // likewise
	Sand   []int           `json:"then_sand,omitempty"` // grits, once it is hard
	Wet    bool            `json:"sand_wet,omitempty"`
}

// Total returns how long the step's drying takes.
func (c Coat) Total() si.Time {
	if c.Coats == 0 {
		return 0
	}
	return si.Time(c.Coats-1)*c.Dry + max(c.Dry, c.Last)
}

// base is a coat at 20 °C and 50 %: times in seconds, amount of each coat a square
// metre. Common practice, no source; the amounts are guesses within a factor of two.
type base struct {
	what      string
	coats     int
	dry, last si.Time
	law       Law
	gram, mL  float64
	floor     si.Time // of last: the rule of the craft whatever the air
}

// Release on a new mould: five coats of wax, hardened overnight, then one mist and
// two wet coats of film. Primer stands a day before wax: green primer under release
// is how parts are lost.
var (
	sealer = base{gram: 120, law: Reaction, dry: 4 * 3600}
	primer = base{what: "primer", coats: 2, dry: 3600, last: 24 * 3600, floor: 24 * 3600, law: Reaction, mL: 250}
	wax    = base{what: "release wax", coats: 5, dry: 45 * 60, last: 12 * 3600, law: Solvent, gram: 15}
	film   = base{what: "release film, sprayed or wiped", coats: 3, dry: 20 * 60, last: 3600, law: Water, mL: 65}
)

// in returns the coat on an area, dried in the air.
func (b base) in(a Air, on si.Area, origin material.Origin) Coat {
	f := b.law.Factor(a)
	c := Coat{What: b.what, Coats: b.coats, Dry: minutes(b.dry * si.Time(f)), Last: max(minutes(b.last*si.Time(f)), b.floor),
		Origin: origin, Law: b.law, Factor: math.Round(1e3*f) / 1e3}
	n := float64(b.coats) * float64(on)
	if b.gram > 0 && n > 0 {
		m := si.Mass(b.gram * 1e-3 * n)
		c.Mass = &m
	}
	if b.mL > 0 && n > 0 {
		v := si.Volume(b.mL * 1e-6 * n)
		c.Volume = &v
	}
	return c
}

// minutes rounds up to whole ones: nobody waits by the second.
func minutes(t si.Time) si.Time { return si.Time(60 * math.Ceil(float64(t)/60-1e-6)) }
