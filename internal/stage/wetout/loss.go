package wetout

import (
	"fmt"

	"laywright/internal/base/si"
)

// Loss is resin that is mixed and does not come to the part.
type Loss struct {
	To    string  `json:"to"`
	Mass  si.Mass `json:"mass_kg"`
	Basis string  `json:"basis"`
}

// What stays in cups and brushes: 5 to 10 % of the mix and no less than some 15 g a
// pot, of which about two thirds are the cup's (common practice, no source); of small
// pots no more than a quarter (judgement).
const (
	leastLeft = 0.015
	leftShare = 0.075
	mostShare = 0.25
	cupsShare = 2.0 / 3
)

// losses reckons what so many pots, the brush and the carrier films keep when so
// much is needed in part and sheets.
func losses(in Input, need float64, pots int) []Loss {
	film := float64(in.FilmUptake) * float64(in.FilmFaces)
	of := func(share float64) float64 { return share / (1 - share) * (need + film) } // a share of the whole mix
	left, basis := leastLeft*float64(pots), fmt.Sprintf("%.0f g a pot, the least", 1e3*leastLeft)
	switch least, most := of(leftShare), of(mostShare); {
	case left < least:
		left, basis = least, fmt.Sprintf("%.3g %% of the mix", 100*leftShare)
	case left > most:
		left, basis = most, fmt.Sprintf("%.0f %% of the mix, the most in small pots", 100*mostShare)
	}
	out := []Loss{{"cups", si.Mass(cupsShare * left), "two thirds of " + basis}, {"brush and spreader", si.Mass((1 - cupsShare) * left), "one third of " + basis}}
	if film > 0 {
		out = append(out, Loss{"carrier films", si.Mass(film), fmt.Sprintf("%.2g g/m^2 on a face that lay on the cloth, %.2g m^2 in all", 1e3*float64(in.FilmUptake), float64(in.FilmFaces))})
	}
	return out
}

func sumLosses(ls []Loss) (sum float64) {
	for _, l := range ls {
		sum += float64(l.Mass)
	}
	return sum
}

// lose settles what is lost, and with it the mix and its pots. What a job gives
// as lost is the whole and is shared out as the reckoning would; what it leaves
// out is reckoned, and as more loss may need more pots, until both agree.
func (r *Result) lose(in Input) error {
	if in.Spec.Mixed > 0 { // it is told what is mixed, and not for what
		r.ToMix = in.Spec.Mixed
		return r.pour(in)
	}
	need := float64(r.ResinInPart + r.Absorbed)
	pots := 1
	const rounds = 8
	for range rounds {
		r.Losses = losses(in, need, pots)
		r.Usual = si.Mass(sumLosses(r.Losses))
		if in.Spec.Lost.Given {
			given := need * float64(in.Spec.Lost.Value)
			for i := range r.Losses {
				r.Losses[i].Mass *= si.Mass(given / float64(r.Usual))
				r.Losses[i].Basis = "its share of what the job gives as lost"
			}
		}
		r.ToMix = si.Mass(need + sumLosses(r.Losses))
		r.Pots = nil
		if err := r.pour(in); err != nil {
			return err
		}
		if len(r.Pots) <= pots {
			break
		}
		pots = len(r.Pots)
	}
	return nil
}
