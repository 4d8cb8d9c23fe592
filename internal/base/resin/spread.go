package resin

import (
	"math"

	"laywright/internal/base/material"
	"laywright/internal/base/si"
)

// Bracket returns the law of [New] and, two by two, the laws that the same record
// gives at the ends of what its data sheet leaves open: the activation energy; the
// ratio of the rates where no pair of pot life and film gel fixes it; the sheet's
// times and its full glass transition where the record says how far they range.
// What is not moved is fitted anew. With readings of the shop's own, the ends are
// those of the rate's constants as the readings leave them. The law's readings are
// told how far they range. A record with a rate law and no readings has no ends.
//
// [Range] puts together what the laws predict.
func Bracket(name string, r material.Resin, cups ...GelCup) (l Law, ends []Law, err error) {
	l, err = New(name, r, cups...)
	if err != nil || l.Fit == nil {
		return l, nil, err
	}
	for _, k := range l.Fit.ends {
		end := l
		end.Kinetics = k
		ends = append(ends, end)
	}
	at := "materials.resins." + name
	if r.Kinetics == nil || r.Kinetics.Model == material.FromSheet {
		more, err := sheetEnds(at, r, l)
		if err != nil {
			return l, nil, err
		}
		ends = append(ends, more...)
	}
	for i := range ends {
		fit := *l.Fit
		if fit.Readings, err = readings(at, r, ends[i], cups); err != nil {
			return l, nil, err
		}
		ends[i].Fit = &fit
	}
	l.Fit.within(ends)
	return l, ends, nil
}

// Spread returns the ends of [Bracket] alone.
func Spread(name string, r material.Resin, cups ...GelCup) ([]Law, error) {
	_, ends, err := Bracket(name, r, cups...)
	return ends, err
}

// sheetEnds are the ends of what the sheet leaves open. Where the shop's readings
// have fixed the rate, only the glass transition is left of it.
func sheetEnds(at string, r material.Resin, l Law) (out []Law, err error) {
	e, ratio := float64(l.Fit.ActivationE), l.Fit.Ratio
	if l.Fit.Shop != nil {
		e, ratio = float64(l.Fit.Shop.EBefore), l.Fit.Shop.ratio
	} else {
		for _, c := range rateEnds(r, e) {
			end, err := calibrateWith(at, r, l, c[0], c[1])
			if err != nil {
				return nil, err
			}
			out = append(out, end)
		}
		out = append(out, timeEnds(r, l)...)
	}
	if r.Tg.Full.Spread == 0 {
		return out, nil
	}
	for _, sign := range []float64{-1, 1} {
		base := l
		base.Glass.Full += si.Temperature(sign) * r.Tg.Full.Spread
		end, err := calibrateWith(at, r, base, e, ratio)
		if err != nil {
			return nil, err
		}
		if l.Fit.Shop != nil {
			end.Kinetics = l.Kinetics
		}
		out = append(out, end)
	}
	return out, nil
}

// rateEnds are the pairs of activation energy and ratio at the ends of what is
// left open; a ratio of 0 is fitted.
func rateEnds(r material.Resin, e float64) [][2]float64 {
	p := priorOf(r)
	width := (p.high - p.low) / 2
	out := [][2]float64{{e - width, 0}, {e + width, 0}}
	if !(r.Sheet.PotLife.Known && r.Sheet.FilmGel.Known) {
		ratio := byClass[r.Class].ratio
		out = append(out, [2]float64{e, ratio.low}, [2]float64{e, ratio.high})
	}
	return out
}

// timeEnds are the laws of a batch that is as quick and as slow as the sheet's
// time may be: the film's gel, else the pot life, else the demould time.
func timeEnds(r material.Resin, l Law) []Law {
	d := r.Sheet.FilmGel
	if !d.Known {
		d = r.Sheet.PotLife
	}
	if !d.Known {
		d = r.Sheet.Demould
	}
	share := float64(d.Spread / d.Value)
	if !(share > 0 && share < 1) {
		return nil
	}
	slow, quick := l, l
	slow.Kinetics, quick.Kinetics = l.Kinetics.times(1/(1+share)), l.Kinetics.times(1/(1-share))
	return []Law{quick, slow}
}

// times returns the constants of a resin that reacts so many times as fast.
func (k Kinetics) times(factor float64) Kinetics {
	k.A1, k.A2 = k.A1*si.Rate(factor), k.A2*si.Rate(factor)
	return k
}

// Range returns the ends of a prediction from what the laws of [Bracket] predict
// in its stead. They err each by itself, so their departures add as squares, those
// below and those above. A prediction that is not a number is left out.
//
//	low = x − √Σ(x − xᵢ)²  over xᵢ < x       high likewise
//
// Times are put in as logarithms where low must stay above 0, see [Span].
func Range(x float64, others []float64) (low, high float64) {
	var below, above float64
	for _, o := range others {
		switch d := o - x; {
		case d < 0:
			below += d * d
		case d > 0:
			above += d * d
		}
	}
	return x - math.Sqrt(below), x + math.Sqrt(above)
}

// Span is [Range] of a time: the departures are factors.
func Span(t si.Time, others []si.Time) (low, high si.Time) {
	logs := make([]float64, 0, len(others))
	for _, o := range others {
		if o > 0 {
			logs = append(logs, math.Log(float64(o)))
		}
	}
	a, b := Range(math.Log(float64(t)), logs)
	return si.Time(math.Exp(a)), si.Time(math.Exp(b))
}
