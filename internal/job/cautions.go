package job

import (
	"laywright/internal/base/fault"
	"laywright/internal/stage/cure"
)

// Caution is a danger of the work and what to do about it. Facts are those of
// the sources named in docs/sources.md under "cautions"; where none is named
// they are common practice.
type Caution struct {
	Code string
	What string
	Why  string
	Do   string
}

// Cautions lists the dangers that this plan's work has, whether or not a number
// is out of bounds.
func (p Plan) Cautions() (out []Caution) {
	wet := p.Wetout != nil
	add := func(when bool, c Caution) {
		if when {
			out = append(out, c)
		}
	}
	add(wet, Caution{"resin-skin", "Keep resin and hardener off the skin.",
		"they sensitise: once allergic, always allergic, and half-cured dust is the worst",
		"nitrile gloves changed on contact, sleeves, fresh air; wash with soap, never with solvent"})
	add(wet, Caution{"exotherm", "A cup of mixed resin can smoke and burn.",
		"it heats itself; the more in one place, the hotter",
		"small pots in shallow trays; stand leftovers on bare ground outside until cold, never in a bin"})
	add(wet, Caution{"dust", "Do not breathe sanding dust.",
		"fibre and resin dust harms the lungs, and carbon dust shorts motors",
		"extract at the tool, sand wet where you can, wear a P100 respirator; no sweeping, no air gun"})
	add(p.Bag != nil, Caution{"vacuum", "Vacuum breaks things.",
		"glass and thin plastic vessels implode; pump oil mist harms lungs and bonds",
		"a rated catch pot, hose ends away from the face, pump exhaust led outside"})
	add(p.Cure != nil && p.ovenUsed(), Caution{"oven-fire", "A home-made oven can burn the shop down.",
		"foam walls are fuel, thermostats fail hot, scorched foam gives off hydrogen cyanide",
		"no bare foam or solvent inside, a second cut-out on its own probe, extinguisher at hand, someone always there"})
	add(p.Duty != nil && p.Duty.Heater != nil, Caution{"cabin-air", "This part feeds air to people.",
		"hot resin gives off smoke, a leaking core puts coolant or oil mist into the cabin, exhaust brings carbon monoxide",
		"take air from outside and never from the cowl; test the core under pressure; fit a shut-off valve at the firewall, a drain and a carbon monoxide alarm"})
	add(p.Laminate != nil, Caution{"flammability", "Carbon, glass and epoxy burn.",
		"no flame test is part of this plan, and the part is not fireproof",
		"burn a coupon of the thinnest laminate; put metal where a firewall or exhaust is near"})
	add(true, Caution{"not-an-approval", "This plan is no approval.",
		"it is worked out from typical values by simple models; only people may judge a part fit to fly",
		"follow your country's rules, and leave inspection, signature and stress substantiation to those licensed for it"})
	return out
}

// ovenUsed tells whether anything warms the part but the room.
func (p Plan) ovenUsed() bool {
	if c := p.Spec.Cure; c != nil && c.In == cure.Room {
		return false
	}
	for _, t := range p.Cure.Schedule.Temperature {
		if t > p.Spec.Shop.temperature()+5 {
			return true
		}
	}
	return false
}

// cautionFindings puts the cautions among the findings, as notes: they need no number.
func (p Plan) cautionFindings() (out []fault.Finding) {
	for _, c := range p.Cautions() {
		out = append(out, fault.Finding{Stage: "job", Severity: fault.Note, Code: "caution-" + c.Code, What: c.What, Why: c.Why, Do: c.Do})
	}
	return out
}
