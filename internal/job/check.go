package job

import (
	"math"
	"slices"
	"strings"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// total sets the numbers of the whole part.
func (p *Plan) total() {
	if p.Wetout == nil || p.Wetout.PartMass == 0 {
		return
	}
	bled := si.Mass(0)
	if p.Bag != nil {
		bled = p.Bag.Bled
	}
	mass, low, high := p.Wetout.PartMass-bled, p.Wetout.MassLow-bled, p.Wetout.MassHigh-bled
	p.Mass, p.MassLow, p.MassHigh = &mass, &low, &high
}

// check gathers the findings of all stages in their order, worst first, and
// adds those that need more than one stage to be seen.
func (p *Plan) check(more []fault.Finding) {
	add := func(f []fault.Finding) { p.Findings = append(p.Findings, f...) }
	if p.Duty != nil {
		add(p.Duty.Findings)
	}
	if p.Mould != nil {
		add(p.Mould.Findings)
	}
	if p.Laminate != nil {
		add(p.Laminate.Findings)
	}
	if p.Plies != nil {
		add(p.Plies.Findings)
	}
	if p.Strength != nil {
		add(p.Strength.Findings)
	}
	if p.Roll != nil {
		add(p.Roll.Findings)
	}
	if p.Wetout != nil {
		add(p.Wetout.Findings)
	}
	if p.Bag != nil {
		add(p.Bag.Findings)
	}
	if p.Dress != nil {
		add(p.Dress.Findings)
	}
	if p.Cure != nil {
		add(p.Cure.Findings)
	}
	if p.Bench != nil {
		add(p.Bench.Findings)
	}
	if p.Stood != nil {
		add(p.Stood.Findings)
	}
	add(more)
	add(p.Spec.Shop.notes())
	add(p.crushed())
	add(p.size())
	add(p.cutRules())
	add(p.asked())
	add(p.cautionFindings())
	for i := range p.Findings {
		tidy(&p.Findings[i])
	}
	rank := map[fault.Severity]int{fault.Stop: 0, fault.Caution: 1, fault.Note: 2}
	slices.SortStableFunc(p.Findings, func(a, b fault.Finding) int { return rank[a.Severity] - rank[b.Severity] })
}

// tidy gives findings of all stages one form: a whole sentence, then reason and
// remedy as clauses without a full stop, and lengths under a metre in mm.
func tidy(f *fault.Finding) {
	f.What = strings.TrimRight(f.What, ". ") + "."
	f.Why, f.Do = strings.TrimRight(f.Why, ". "), strings.TrimRight(f.Do, ". ")
	if f.Unit == "m" && f.Value != nil && f.Limit != nil && math.Max(math.Abs(*f.Value), math.Abs(*f.Limit)) < 1 {
		*f = f.Against(1000**f.Value, 1000**f.Limit, "mm")
	}
}
