package job

import "laywright/internal/base/si"

// say puts the plan's sentences into the person's units. The numbers beside them
// stay in SI; stages write their sentences in metric units.
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
			told(&p.Duty.Heater.Reason)
		}
		for i := range p.Duty.Alternatives {
			told(&p.Duty.Alternatives[i].Fails, &p.Duty.Alternatives[i].Needs)
		}
	}
	if p.Mould != nil {
		told(&p.Mould.Out)
		if p.Mould.Fit != nil {
			told(&p.Mould.Fit.Says)
		}
	}
	if p.Plies != nil {
		for i := range p.Plies.Plies {
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
