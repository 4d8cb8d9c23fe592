package wetout

import (
	"math"

	"laywright/internal/base/resin"
	"laywright/internal/base/si"
)

// Pot is one cup of mixed resin.
type Pot struct {
	Mass      si.Mass         `json:"mass_kg"`
	At        si.Time         `json:"at_s"`                   // when to mix it
	UseBefore *si.Time        `json:"use_before_s,omitempty"` // when it must be out of the cup, on the same clock
	Life      *si.Time        `json:"life_s,omitempty"`       // after mixing: gel, or 40 degC on the way up
	LifeLow   *si.Time        `json:"life_low_s,omitempty"`   // range of what the data sheet leaves open
	LifeHigh  *si.Time        `json:"life_high_s,omitempty"`
	Peak      *si.Temperature `json:"peak_degC,omitempty"` // if it is left standing; a warning, not a promise
}

// inHand is the share of a cup's life within which it should be used. The rest
// is for what goes wrong. Common practice, no source.
const inHand = 0.6

// smallest is the least that is worth mixing: below it the losses in the cup and
// the error of the scale grow large. Common practice, no source.
const smallest = 0.020

// pour divides the mix into equal pots, no larger than the limit, and smaller
// where one would not be down within its time. Pots are mixed one after another
// as the plies need them.
func (r *Result) pour(in Input) error {
	mix := float64(r.ToMix)
	if mix <= 0 {
		return nil
	}
	const slack = 1e-9 // a limit that divides the mix evenly is not overrun by rounding
	n := max(1, int(math.Ceil(mix/float64(in.Spec.CupLimit)-slack)))
	work := laying(in)
	var life *si.Time
	var cup resin.Pot
	if in.Law != nil {
		most := max(n, int(mix/smallest))
		for ; ; n += max(1, n/10) {
			var err error
			if cup, err = in.Law.Watch(in.cup(si.Mass(mix / float64(n)))); err != nil {
				return err
			}
			life = nil
			if t, ok := cup.Life(); ok {
				life = &t
			}
			if life == nil || work/float64(n) <= inHand*float64(*life) || n >= most {
				break
			}
		}
		gel, ok, err := in.Law.GelTime(in.Shop)
		if err != nil {
			return err
		}
		if ok {
			r.FilmGel = &gel
		}
	}
	mixing := float64(in.Mixing)
	each := work/float64(n) + mixing
	for i := range n {
		p := Pot{Mass: si.Mass(mix / float64(n)), At: si.Time(float64(i) * each)}
		if life != nil {
			before := p.At + si.Time(inHand*float64(*life))
			p.UseBefore, p.Life = &before, life
		}
		if in.Law != nil {
			peak := cup.Peak
			p.Peak = &peak
		}
		r.Pots = append(r.Pots, p)
	}
	r.Total = si.Time(float64(n)*each - mixing)
	return nil
}

// laying returns the time that all layers take, without mixing.
func laying(in Input) (sum float64) {
	for _, l := range in.Layers {
		sum += float64(l.Work)
	}
	return sum
}
