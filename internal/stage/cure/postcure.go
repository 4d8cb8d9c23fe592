package cure

import (
	"context"
	"fmt"

	"laywright/internal/base/num"
	"laywright/internal/base/si"
	"laywright/internal/stage/cure/ladder"
)

// PostCure is the same post-cure for an oven that can't ramp: steps of temperature
// and time, each short of the glass transition.
type PostCure struct {
	Lead    si.TemperatureDifference `json:"lead_K"`       // least that the glass transition is ahead
	Fastest float64                  `json:"ramp_K_per_s"` // of even ramps that keep it
	Steps   []ladder.Step            `json:"steps"`        // after the first hold
	Total   si.Time                  `json:"steps_s"`
}

// postCure returns the ladder of a schedule that was found; nil where it has no
// post-cure.
func (p *planner) postCure(g program) (*PostCure, error) {
	if !g.hot {
		return nil, nil
	}
	steps, ok, err := ladder.Steps(&p.in.Law, g.degree, kelvin(g.wet), kelvin(g.temp), g.lead(), p.ramp(), kelvin(g.tg))
	if err != nil || !ok {
		return nil, err
	}
	return &PostCure{Lead: si.TemperatureDifference(g.lead()), Fastest: g.rate, Steps: steps, Total: ladder.Total(steps)}, nil
}

// offer adds what the search has beside its schedule: other choices, the post-cure
// in steps, and what to change where nothing does.
func (p *planner) offer(ctx context.Context, best program, r *Result, exact bool) (err error) {
	if r.PostCure, err = p.postCure(best); err != nil {
		return err
	}
	if r.Choices, err = p.choices(ctx, best, r, exact); err != nil {
		return err
	}
	f, err := p.noSchedule(best)
	if f.Stage = "cure"; f.Code != "" {
		r.Findings = append(r.Findings, f)
	}
	return err
}

// slower says how fast the rise in which the oven overtakes the part may be.
func slower(in Input, ps []piece, w *watch) string {
	for _, p := range ps {
		if !(p.t0 < w.leadAt && w.leadAt <= p.t1) || !(p.slope() > 0) {
			continue
		}
		a := num.Linear(w.history.time, w.history.cure, p.t0)
		rate, _, ok, err := ladder.Fastest(&in.Law, a, kelvin(p.a), kelvin(p.b), keepAhead, p.slope())
		if err == nil && ok {
			return fmt.Sprintf("Ramp from %.0f to %.0f degC at no more than %.3g K an hour", celsius(p.a), celsius(p.b), rate*3600)
		}
		return fmt.Sprintf("Hold cooler than %.0f degC first: no even ramp up to there stays behind", celsius(p.b))
	}
	return "Ramp slower or hold half-way"
}
