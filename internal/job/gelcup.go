package job

import (
	"fmt"

	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/resin"
	"laywright/internal/base/si"
)

// GelCup is a gel that was timed in this shop: from mixing until a stick pulls
// threads no more. Without a mass it was a thin film.
type GelCup struct {
	Resin       string         `yaml:"resin"` // left out: the job's
	Mass        si.Mass        `yaml:"mass" least:"0.005" most:"5"`
	Temperature si.Temperature `yaml:"temperature" least:"263.15" most:"393.15"` // of the air
	Start       si.Temperature `yaml:"start" least:"263.15" most:"393.15"`       // of the mix; 0: as the air
	Gel         si.Time        `yaml:"gel" above:"0" most:"5184000"`
}

// gelCups are the readings of the resin called name. A name that no record has is
// an error; a reading of another resin waits for its job.
func (l link) gelCups(name string) (out []resin.GelCup, err error) {
	for i, c := range l.spec.Shop.GelCups {
		at := fault.Numbered("shop.gel_cups", i)
		if c.Resin != "" {
			if _, err := material.Pick(l.records.Resins, "resin", at+".resin", c.Resin); err != nil {
				return nil, err
			}
			if c.Resin != name {
				continue
			}
		}
		for _, need := range []struct {
			key, like string
			there     bool
		}{{"temperature", "22 degC", c.Temperature > 0}, {"gel", "34 min", c.Gel > 0}} {
			if !need.there {
				return nil, &fault.Input{Field: at + "." + need.key, What: "is missing: a gel that was timed needs both its time and its temperature",
					Do: fmt.Sprintf("write it as it was read, like %s: %q", need.key, need.like)}
			}
		}
		out = append(out, resin.GelCup{Mass: c.Mass, At: c.Temperature, Start: c.Start, Gel: c.Gel})
	}
	return out, nil
}

// shopReadings tells what the shop's own readings did to the law, and where they
// and the sheet can't both be right.
func (l link) shopReadings() (out []fault.Finding) {
	if l.hardens.law == nil || l.hardens.law.Fit == nil || l.hardens.law.Fit.Shop == nil {
		return nil
	}
	stage, fit := "cure", l.hardens.law.Fit
	if l.plan.Wetout != nil {
		stage = "wetout"
	}
	m := fit.Shop
	how := fmt.Sprintf("%.0f %% quicker", 100*(m.Faster-1))
	if m.Faster < 1 {
		how = fmt.Sprintf("%.0f %% slower", 100*(1/m.Faster-1))
	}
	out = append(out, fault.Finding{Stage: stage, Severity: fault.Note, Code: "law-from-shop",
		What: fmt.Sprintf("All times follow %s of this shop: the resin gels %s than its record says.", fault.Count(m.Readings, "reading", "readings"), how),
		Why:  fmt.Sprintf("At %.0f degC a film gels after %.2g h; by the record alone it would be %.2g h.", m.At.Celsius(), float64(m.GelAfter)/3600, float64(m.GelBefore)/3600),
		Do:   "Time a gel with every new lot, and take the old reading out."})
	for _, r := range fit.Readings {
		if !r.Disagrees() {
			continue
		}
		out = append(out, fault.Finding{Stage: stage, Severity: fault.Caution, Code: "gel-cup-disagrees",
			What: fmt.Sprintf("The %s at %.0f degC took %.0f min; by its record it takes %.0f min.", r.What, r.At.Celsius(), r.Sheet/60, *r.Alone/60),
			Why:  "Old or wet hardener, a wrong ratio and a wrong thermometer do that; a wrong ratio spoils the part.",
			Do:   "Weigh a fresh cup of each and time it again at a measured temperature before the part is begun; if it stays so, trust the shop and ask the maker."}.
			Against(r.Sheet/60, *r.Alone/60, "min"))
	}
	return out
}
