package job

import (
	"laywright/internal/base/fault"
	"laywright/internal/base/material"
)

// price adds up what the materials of one part cost, in the money of the library's prices:
// cloth by the length cut off the roll, mixed resin by mass, consumables by
// area. Where any price is not known there is no sum, and a note says whose.
func (p *Plan) price(l link) []fault.Finding {
	if p.Wetout == nil || p.Roll == nil {
		return nil
	}
	sum, unknown := 0.0, ""
	add := func(name string, amount, each float64) {
		if each <= 0 && unknown == "" {
			unknown = name
		}
		sum += amount * each
	}
	for _, r := range p.Roll.Rolls {
		add(r.Material, float64(r.Length)*float64(r.Width)/float64(max(1, p.Job.Quantity)), p.records.Fabrics[r.Material].CostPerM2)
	}
	name := p.Spec.Laminate.Resin
	add(name, float64(p.Wetout.ToMix), p.records.Resins[name].CostPerKg)
	if b := p.Bag; b != nil {
		for _, c := range []struct {
			use  material.Use
			area float64
		}{{material.PeelPly, float64(b.PeelPlyArea)}, {material.ReleaseFilm, float64(b.FilmSheet)},
			{material.Bleeder, float64(b.BleederArea)}, {material.BagFilm, float64(b.FilmArea)}} {
			if record, err := l.consumable(c.use); err == nil {
				add(string(c.use), c.area, record.CostPerM2)
			}
		}
	}
	if unknown == "" {
		p.Cost = &sum
		return nil
	}
	return []fault.Finding{{Stage: "job", Severity: fault.Note, Code: "price-unknown", What: "What it costs is left out: " + unknown + " has no price.",
		Why: "a sum without one of its parts misleads", Do: "put its price into your own library"}}
}
