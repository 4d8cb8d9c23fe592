package job

import (
	"fmt"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// Headline is a number that a builder looks for first, in the job's units.
type Headline struct {
	Stage string `json:"stage"` // that it comes from; empty: of the whole part
	Name  string `json:"name"`
	Text  string `json:"text"`
}

// Headlines lists the plan's headline numbers, those that were worked out.
func (p Plan) Headlines() (out []Headline) {
	system := p.Spec.system()
	add := func(stage, name, format string, a ...any) {
		out = append(out, Headline{stage, name, fmt.Sprintf(format, a...)})
	}
	if p.Duty != nil && p.Duty.Heater != nil {
		h := p.Duty.Heater
		add("duty", "heat", "%s to the air in %s, air out at %s", si.Show(h.Heat, system, 3), fault.Count(h.Passes, "pass", "passes"), si.Show(h.AirOut, system, 3))
	}
	if p.Mould != nil && p.Mould.WorkHigh > 0 {
		add("mould", "mould ready", "after %s of drying coats, with %s to %s of work", si.Show(p.Mould.Ready, system, 2), si.Show(p.Mould.WorkLow, system, 2), si.Show(p.Mould.WorkHigh, system, 2))
	}
	if p.Laminate != nil {
		add("laminate", "wall", "%s thick", si.Show(p.Laminate.Thickness, system, 3))
	}
	if p.Search != nil && len(p.Search.Best) > 0 {
		add("laminate", "stack", "%s", p.Search.Best[0].Stack)
	}
	if p.Plies != nil && len(p.Plies.Plies) > 0 {
		pieces, shear := 0, si.Angle(0)
		for _, ply := range p.Plies.Plies {
			pieces, shear = pieces+len(ply.Pieces), max(shear, ply.ShearMax)
		}
		add("plies", "cloth", "%s, sheared by up to %.0f deg", fault.Count(pieces, "piece", "pieces"), shear.Degrees())
	}
	if p.Strength != nil {
		margin := "not known"
		if p.Strength.Margin != nil {
			margin = fmt.Sprintf("%.2f", *p.Strength.Margin)
		}
		add("strength", "strength", "gives by %s, margin %s", si.Show(p.Strength.Deflection, system, 3), margin)
	}
	if p.Roll != nil {
		for _, r := range p.Roll.Rolls {
			add("roll", "roll", "%s of %s, %.0f %% used", si.Show(r.Length, system, 3), r.Named(), 100*r.Use)
		}
	}
	if p.Wetout != nil {
		add("wetout", "resin to mix", "%.0f g in %s", 1000*float64(p.Wetout.ToMix), fault.Count(len(p.Wetout.Pots), "pot", "pots"))
	}
	if p.Bag != nil {
		text := si.Show(p.Bag.Used, system, 3) + " of vacuum"
		if system == si.US {
			text = fmt.Sprintf("%.3g inHg of vacuum", si.In(p.Bag.Used, "inHg"))
		}
		if p.Bag.Fraction > 0 {
			text += fmt.Sprintf(" presses to %.0f %% fibre", 100*p.Bag.Fraction)
		}
		add("bag", "bag", "%s", text)
	}
	if p.Mass != nil {
		add("", "part mass", "%.0f g (%s)", 1000*float64(*p.Mass), si.Show(*p.Mass, si.US, 3))
	}
	if p.Cost != nil {
		add("", "materials", "%.0f a part, in the library's money", *p.Cost)
	}
	if p.Cure != nil && p.Cure.State != nil {
		now := p.Cure.State
		add("cure", "log ends", "%s after mixing, degree of cure %.2f, glass transition %s", si.Show(now.At, system, 3), now.Degree, si.Show(now.Tg, system, 3))
	}
	if p.Cure != nil {
		off := p.Cure.OffMould
		if off == nil {
			off = p.Cure.Demould
		}
		if off != nil {
			add("cure", "off the mould", "%s after mixing", si.Show(*off, system, 2))
		}
	}
	if p.Bench != nil && p.Bench.Total > 0 {
		add("bench", "bench", "%s from the first step to the last", si.Show(p.Bench.Total, system, 2))
	}
	return out
}
