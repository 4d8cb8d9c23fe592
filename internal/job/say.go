package job

import (
	"slices"

	"laywright/internal/base/si"
)

// say puts the plan's sentences into the person's units. The numbers beside them
// stay in SI; stages write their sentences in metric units.
// What holds them is the plan's own by then: results may be kept for other plans.
func (p *Plan) say() {
	told := func(texts ...*string) {
		for _, t := range texts {
			*t = si.Sentence(*t, p.Spec.system())
		}
	}
	for i := range p.Findings {
		f := &p.Findings[i]
		told(&f.What, &f.Why, &f.Do)
	}
	if p.Duty != nil {
		if p.Duty.Heater != nil {
			own(&p.Duty.Heater)
			told(&p.Duty.Heater.Reason)
		}
		p.Duty.Alternatives = slices.Clone(p.Duty.Alternatives)
		for i := range p.Duty.Alternatives {
			told(&p.Duty.Alternatives[i].Fails, &p.Duty.Alternatives[i].Needs)
		}
	}
	if p.Mould != nil {
		told(&p.Mould.Out)
		if p.Mould.Fit != nil {
			own(&p.Mould.Fit)
			told(&p.Mould.Fit.Says)
		}
	}
	if p.Plies != nil {
		p.Plies.Plies = slices.Clone(p.Plies.Plies)
		for i := range p.Plies.Plies {
			p.Plies.Plies[i].Advice.Steps = slices.Clone(p.Plies.Plies[i].Advice.Steps)
			for k := range p.Plies.Plies[i].Advice.Steps {
				told(&p.Plies.Plies[i].Advice.Steps[k].What)
			}
		}
	}
	if p.Cure != nil {
		told(&p.Cure.Chosen)
		for i := range p.Cure.Choices {
			told(&p.Cure.Choices[i].Why)
		}
	}
}

// own puts a copy in the place of what others may share.
func own[T any](at **T) {
	mine := **at
	*at = &mine
}
