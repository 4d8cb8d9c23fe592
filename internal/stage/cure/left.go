package cure

import (
	"math"

	"laywright/internal/base/resin"
	"laywright/internal/base/si"
)

// Left is what becomes of a part that at the schedule's end has not gelled, or
// can't stand by itself yet, and is left as it is, in air of one temperature.
// Times count from the first mixing; what takes more than 60 days is absent.
type Left struct {
	Air     si.Temperature `json:"air_degC"`
	Gel     *si.Time       `json:"gel_s,omitempty"`
	Demould *si.Time       `json:"demould_s,omitempty"`
}

// left goes on from the least cured place at the schedule's last temperature
// until
//
//	α = α_gel, and then Tg(α) − T = Law.Firm
//
// as [watch.firmness] has it. Heat of the reaction is left out: what is so late
// is slow and thin. nil where all was reached within the schedule.
func left(in Input, ps []piece, w *watch) (*Left, error) {
	if w.firm != nil {
		return nil, nil
	}
	const sixtyDays = 60 * 86400
	last := ps[len(ps)-1]
	end, t := si.Time(last.t1), kelvin(last.b)
	out := Left{Air: t}
	course := in.Law.StartWithin(math.Max(w.least(&w.now), 0), coarse)
	goesOn := func(from si.Time, reached func(resin.Glimpse) float64) (*si.Time, error) {
		at, ok, err := course.Until(reached, from, end+sixtyDays, t, t)
		if err != nil || !ok {
			return nil, err
		}
		return &at, nil
	}
	var err error
	from := end
	if w.gelled == nil {
		out.Gel, err = goesOn(end, func(g resin.Glimpse) float64 { return g.Degree - in.Law.Gel })
		if err != nil || out.Gel == nil {
			return &out, err
		}
		from = *out.Gel
	}
	out.Demould, err = goesOn(from, func(g resin.Glimpse) float64 {
		return float64(in.Law.Glass.Transition(g.Degree) - t - si.Temperature(in.Law.Firm))
	})
	return &out, err
}
