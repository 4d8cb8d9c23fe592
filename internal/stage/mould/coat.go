package mould

import (
	"fmt"

	"laywright/internal/base/air"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould/coats"
	"laywright/internal/stage/mould/radius"
)

// Coat is one step of making the mould ready.
type Coat = coats.Coat

// Air is what the coats dry in.
type Air = coats.Air

// Dressing is how the mould's face is made ready for cloth, beside its coats.
type Dressing struct {
	Air      Air           `json:"-"` // that the times hold for
	Sanding  []coats.Paper `json:"sanding,omitempty"`
	Work     []coats.Work  `json:"work,omitempty"`
	WorkLow  si.Time       `json:"work_low_s,omitempty"` // hands at work, drying not counted
	WorkHigh si.Time       `json:"work_high_s,omitempty"`
	LandLow  si.Length     `json:"bag_land_low_m,omitempty"` // width round the part that stays free of wax and film
	LandHigh si.Length     `json:"bag_land_high_m,omitempty"`
}

// dress lists filler, sealer, primer and release with their drying in the shop's
// air, and the lowest limit of the materials.
func (r *Result) dress(in Input, body Body) {
	if in.Air.Temperature == 0 {
		in.Air.Temperature = si.Celsius(20)
	}
	if in.Air.Humidity == 0 {
		in.Air.Humidity = 0.5
		r.find(fault.Note, "shop-humidity-taken", "The shop's humidity is not in the job; 50 % is taken for the drying of release film.", "water leaves slowly into damp air", "Write shop: {humidity: ...}.")
	}
	c := coats.Input{Air: in.Air, Face: r.FaceArea, Part: r.Area, Fillets: r.Radii.Fillets, Finish: body.Finish}
	share := r.FaceArea / r.Area // the part's surface stands for the whole face
	c.Shape = radius.Areas{Flat: r.Radii.Shape.Flat * share, Single: r.Radii.Shape.Single * share, Double: r.Radii.Shape.Double * share}
	porous := false
	for _, m := range in.Materials {
		c.Bodies = append(c.Bodies, coats.Body{Name: m.Name, Porous: m.Record.Porous, Sealer: m.Record.Sealer, SealerDry: m.Record.SealerDry, Hardening: m.Record.Dry})
		porous = porous || m.Record.Porous
		if l := m.Record.Limit; l.Known && (r.Limit == nil || l.Value < *r.Limit) {
			v := l.Value
			r.Limit, r.LimitBy = &v, m.Name
		}
	}
	p := coats.Make(c)
	r.Coats, r.Ready = p.Coats, p.Ready
	r.Dressing = Dressing{Air: in.Air, Sanding: p.Paper, Work: p.Work, LandLow: coats.LandLow, LandHigh: coats.LandHigh}
	r.WorkLow, r.WorkHigh = coats.Hours(p.Work)
	r.judgeAir(in.Air)
	r.judgeMaterials(in.Materials, porous)
}

// Air in which coats go wrong.
const (
	// Ground this near to the dew point, K, takes up water. Source: [iso8502-4].
	dewRoom = 3.0
	// Below this, °C, fillers and primers of two parts hardly harden. Common
	// practice, no source.
	coldest = 10.0
)

func (r *Result) judgeAir(a coats.Air) {
	if over := float64(a.Temperature - air.DewPoint(a.Temperature, a.Humidity)); over < dewRoom {
		r.findAgainst(fault.Finding{Severity: fault.Caution, Code: "air-damp",
			What: fmt.Sprintf("At %.0f %% humidity the mould stands only %.1f K above the dew point.", 100*a.Humidity, over),
			Why:  "release film does not dry, and water settles under primer", Do: "Warm or dry the air before any coat goes on."}, over, dewRoom, "K")
	}
	if c := a.Temperature.Celsius(); c < coldest {
		r.findAgainst(fault.Finding{Severity: fault.Caution, Code: "air-cold",
			What: fmt.Sprintf("The shop is too cold (%.0f degC) for filler and primer.", c),
			Why:  "they stay soft under the release, and soft primer is how parts stick", Do: "Warm mould and shop until the last coat is hard."}, c, coldest, "degC")
	}
}

func (r *Result) judgeMaterials(ms []Material, porous bool) {
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
