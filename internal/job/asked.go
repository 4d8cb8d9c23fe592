package job

import (
	"fmt"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/cure"
)

// asked asks, for every part that is made, heated or not, what hurts if it fails
// and how hot it can get: a duct that nobody thinks of as hot softens like any other.
func (p *Plan) asked() (out []fault.Finding) {
	if p.Mould == nil || p.Laminate == nil {
		return nil
	}
	if p.Duty == nil || p.Duty.Loads == nil || p.Duty.Loads.Wall == nil {
		out = append(out, fault.Finding{Stage: "duty", Severity: fault.Caution, Code: "hottest-not-told",
			What: "How hot can this part get? The job does not say.",
			Why:  "parts that nobody thought hot have softened: an intake elbow believed good to 105 degC had a glass transition of 53 degC; the worst is often the soak after shut-down, or sun on a dark skin",
			Do:   "give duty.loads.wall_temperature for the hottest credible case, and duty.loads.exhaust where a hot pipe is near"})
	}
	if p.Job.Consequence == "" {
		out = append(out, fault.Finding{Stage: "job", Severity: fault.Note, Code: "consequence-not-told",
			What: "What happens if this part fails? The job does not say.",
			Why:  "it decides how carefully the part is tested, and it stands on top of the traveller",
			Do:   "write job: {consequence: ...}; think of what it feeds, what it holds, and where its pieces go"})
	}
	return append(out, p.glass()...)
}

// glass holds the hottest wall against the resin where no cure was worked out: even
// cured through it must stay the usual margin below its glass transition.
func (p *Plan) glass() []fault.Finding {
	name, _ := p.Spec.resinName()
	resin, known := p.records.Resins[name]
	full := resin.Tg.Full.Or(0)
	if p.Cure != nil || !known || full == 0 || p.Duty == nil || p.Duty.Loads == nil || p.Duty.Loads.Wall == nil {
		return nil
	}
	drop := resin.WetDrop.Or(cure.UsualWetDrop)
	limit := full - si.Temperature(drop) - cure.ServiceMargin
	wall := *p.Duty.Loads.Wall
	if wall <= limit {
		return nil
	}
	return []fault.Finding{fault.Finding{Stage: "duty", Severity: fault.Stop, Code: "no-glass-margin",
		What: "The hottest wall leaves no margin to the resin's glass transition.",
		Why: fmt.Sprintf("%s ends at %.0f degC however it is cured, less %.0f K when moist, less %d K of margin, the rule of MIL-HDBK-17",
			name, full.Celsius(), float64(drop), cure.ServiceMargin),
		Do: "take a resin of higher glass transition, keep the heat away, or show by measuring that the wall stays cooler"}.
		Against(wall.Celsius(), limit.Celsius(), "degC")}
}
