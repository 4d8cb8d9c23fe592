package job

import (
	"slices"

	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/si"
)

// ClothUse is where the cloth of one material goes, all parts of the job together.
type ClothUse struct {
	Material string    `json:"material"`
	Pieces   si.Area   `json:"pieces_m2"`
	Waste    si.Area   `json:"waste_m2"`    // neither piece nor worth keeping
	Kept     si.Area   `json:"remnants_m2"` // worth keeping
	Stock    si.Area   `json:"stock_m2"`    // of all that, what was in the shop
	Bought   si.Length `json:"bought_m"`    // new cloth, in whole lengths as it is sold
	Width    si.Length `json:"width_m,omitempty"`
	Cost     *float64  `json:"cost,omitempty"` // for the new cloth, in the money of the library's prices
}

// cloth sums the rolls by material.
func (p *Plan) cloth() {
	if p.Roll == nil {
		return
	}
	for _, r := range p.Roll.Rolls {
		i := slices.IndexFunc(p.Cloth, func(c ClothUse) bool { return c.Material == r.Material })
		if i < 0 {
			i = len(p.Cloth)
			p.Cloth = append(p.Cloth, ClothUse{Material: r.Material})
		}
		c := &p.Cloth[i]
		whole := r.Length * r.Width
		switch {
		case r.Stock == "":
			c.Bought, c.Width = r.Bought, r.Width
			whole = r.Bought * r.Width
		case len(r.Outline) > 0:
			whole = si.Length(Polygon(r.Outline).Area())
		}
		kept := si.Area(r.Rest * r.Width)
		for _, m := range r.Left {
			kept += m.Area
		}
		c.Waste += r.Waste
		c.Kept += kept
		c.Pieces += si.Area(whole) - r.Waste - kept
		if r.Stock != "" {
			c.Stock += si.Area(whole)
		}
		if price := p.records.Fabrics[r.Material].CostPerM2; price > 0 {
			pay := price * float64(c.Bought*c.Width)
			c.Cost = &pay
		}
	}
}

// price adds up what the materials of one part cost, in the money of the library's prices:
// cloth by the area that is used up, waste with it and what is kept without; mixed
// resin by mass, consumables by area. Where any price is not known there is no sum, and a note says whose.
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
	for _, c := range p.Cloth {
		add(c.Material, float64(c.Pieces+c.Waste)/float64(max(1, p.Job.Quantity)), p.records.Fabrics[c.Material].CostPerM2)
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
		if felt, name, err := l.breather(); err == nil && name != "" {
			add(name, float64(b.BreatherArea), felt.CostPerM2)
			add(barrierFilm, float64(b.BarrierArea), p.records.Consumables[barrierFilm].CostPerM2)
		}
		if tape, err := l.consumable(material.SealantTape); err == nil {
			add(string(material.SealantTape), float64(b.Tape), tape.CostPerM)
		}
	}
	if unknown == "" {
		p.Cost = &sum
		return nil
	}
	return []fault.Finding{{Stage: "job", Severity: fault.Note, Code: "price-unknown", What: "What it costs is left out: " + unknown + " has no price.",
		Why: "a sum without one of its parts misleads", Do: "put its price into your own library"}}
}
