package mould

import (
	"fmt"

	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/si"
)

// Coat is one step of making the mould ready, in order.
type Coat struct {
	What   string          `json:"what"`
	Coats  int             `json:"coats"`
	Dry    si.Time         `json:"dry_s"`  // after each coat
	Last   si.Time         `json:"last_s"` // after the last, where longer
	Origin material.Origin `json:"origin"`
}

// Total returns how long the step's drying takes.
func (c Coat) Total() si.Time {
	if c.Coats == 0 {
		return 0
	}
	return si.Time(c.Coats-1)*c.Dry + max(c.Dry, c.Last)
}

// Release on a new mould: five coats of wax, hardened overnight, then one mist
// and two wet coats of film. Common practice, no source; cool or damp air takes
// the upper times given here.
var (
	wax  = Coat{"release wax", 5, 45 * 60, 12 * 3600, material.Practice}
	film = Coat{"release film, sprayed or wiped", 3, 30 * 60, 2 * 3600, material.Practice}
)

// coat lists filler, sealer and release, and the lowest limit of the materials.
func (r *Result) coat(ms []Material) {
	porous := false
	for _, m := range ms {
		if d := m.Record.Dry; d.Known {
			r.Coats = append(r.Coats, Coat{What: m.Name + " hardens", Coats: 1, Dry: d.Value, Origin: d.Origin})
		}
		if m.Record.Porous {
			porous = true
		}
		if l := m.Record.Limit; l.Known && (r.Limit == nil || l.Value < *r.Limit) {
			v := l.Value
			r.Limit, r.LimitBy = &v, m.Name
		}
	}
	for _, m := range ms {
		if n := m.Record.Sealer; n > 0 {
			r.Coats = append(r.Coats, Coat{What: "sealer on " + m.Name, Coats: n, Dry: m.Record.SealerDry.Or(4 * 3600), Origin: m.Record.SealerDry.Origin})
		}
	}
	r.Coats = append(r.Coats, wax, film)
	for _, c := range r.Coats {
		r.Ready += c.Total()
	}
	if len(ms) == 0 {
		r.find(fault.Note, "mould-material-unknown", "The mould's material is not given.", "sealer, heat limit and boards depend on it", "List it under mould.materials.")
		return
	}
	if porous {
		r.find(fault.Note, "mould-porous", "The mould must be sealed before release goes on.", "a porous mould leaks air under vacuum and takes up resin", "Seal it, then hold vacuum on the bare mould before laying up.")
	}
	if r.Limit != nil && r.Limit.Celsius() < 50 {
		r.find(fault.Caution, "mould-heat", fmt.Sprintf("The mould stands no more than %.0f degC (%s).", r.Limit.Celsius(), r.LimitBy), "it softens or dries out above", "Keep the cure below it, or post-cure the part off the mould.")
	}
}
