package job

import (
	"fmt"

	"laywright/internal/base/si"
)

// Headline is a number that a builder looks for first, in the job's units.
type Headline struct{ Name, Text string }

// Headlines lists the plan's headline numbers, those that were worked out.
func (p Plan) Headlines() (out []Headline) {
	system := p.Spec.system()
	add := func(name, format string, a ...any) {
		out = append(out, Headline{name, fmt.Sprintf(format, a...)})
	}
	if p.Duty != nil && p.Duty.Heater != nil {
		h := p.Duty.Heater
		add("heat", "%s to the air in %d pass(es), air out at %s", si.Show(h.Heat, system, 3), h.Passes, si.Show(h.AirOut, system, 3))
	}
	if p.Laminate != nil {
		add("wall", "%s thick", si.Show(p.Laminate.Thickness, system, 3))
	}
	if p.Strength != nil {
		margin := "not known"
		if p.Strength.Margin != nil {
			margin = fmt.Sprintf("%.2f", *p.Strength.Margin)
		}
		add("strength", "gives by %s, margin %s", si.Show(p.Strength.Deflection, system, 3), margin)
	}
	if p.Roll != nil {
		for _, r := range p.Roll.Rolls {
			add("roll", "%s of %s, %.0f %% used", si.Show(r.Length, system, 3), r.Material, 100*r.Use)
		}
	}
	if p.Wetout != nil {
		add("resin to mix", "%s in %d pot(s)", si.Show(p.Wetout.ToMix, system, 3), len(p.Wetout.Pots))
	}
	if p.Mass != nil {
		add("part mass", "%s", si.Show(*p.Mass, system, 3))
	}
	if p.Cost != nil {
		add("materials", "%.0f in the library's money", *p.Cost)
	}
	if p.Cure != nil && p.Cure.Demould != nil {
		add("off the mould", "%s after mixing", si.Show(*p.Cure.Demould, system, 2))
	}
	return out
}
