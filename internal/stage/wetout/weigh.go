package wetout

import (
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// Result is the wet-out stage's part of the plan.
type Result struct {
	Cloth       si.Mass         `json:"cloth_kg"`
	ResinInPart si.Mass         `json:"resin_in_part_kg"` // mixed resin, wet
	Absorbed    si.Mass         `json:"absorbed_kg"`      // by peel ply and the like
	ToMix       si.Mass         `json:"resin_to_mix_kg"`  // resin and hardener together
	Resin       *si.Mass        `json:"resin_kg,omitempty"`
	Hardener    *si.Mass        `json:"hardener_kg,omitempty"`
	ResinVolume *si.Volume      `json:"resin_m3,omitempty"`
	HardenerVol *si.Volume      `json:"hardener_m3,omitempty"`
	ByVolume    *float64        `json:"hardener_parts_by_volume,omitempty"` // to 100 of resin
	Losses      []Loss          `json:"losses"`                             // of it, what does not come to the part
	Usual       si.Mass         `json:"usual_loss_kg"`                      // what that would come to where the job does not say
	Targets     []Target        `json:"weigh_to"`                           // by layer, from the mould face
	IndexError  *float64        `json:"index_error,omitempty"`              // of hardener to resin, by half a step of the scale at each weighing
	DewPoint    *si.Temperature `json:"dew_point_degC,omitempty"`
	Pots        []Pot           `json:"pots"`
	Cup         *Cup            `json:"cup,omitempty"`
	Total       si.Time         `json:"wet_out_s"` // from the first mixing until the last ply is wet
	FilmGel     *si.Time        `json:"film_gel_s,omitempty"`
	FilmGelLow  *si.Time        `json:"film_gel_low_s,omitempty"` // range of what the data sheet leaves open
	FilmGelHigh *si.Time        `json:"film_gel_high_s,omitempty"`
	PartMass    si.Mass         `json:"part_mass_kg"` // cloth, resin, cores, before any is bled
	MassLow     si.Mass         `json:"mass_low_kg"`
	MassHigh    si.Mass         `json:"mass_high_kg"`

	Findings []fault.Finding `json:"-"`
}

// Weigh computes masses, pots and when to mix them.
//
//	resin in part = Σ A·m·r + what cores soak up
//	to mix        = resin in part + absorbed + lost
//	hardener      = to mix · h/(r+h)
//
// A is a ply's area, m its dry areal mass, r its resin ratio by mass, r and h the
// parts of the mixing ratio. Where the job says what is mixed, without cloth, that is it.
func Weigh(in Input) (Result, error) {
	in, err := settle(in)
	if err != nil {
		return Result{}, err
	}
	r := masses(in)
	if err := r.lose(in); err != nil {
		return Result{}, err
	}
	r.split(in)
	r.MassLow, r.MassHigh = r.spread(in)
	if err := r.stands(in); err != nil {
		return Result{}, err
	}
	r.damp(in)
	r.Findings = findings(in, &r)
	return r, nil
}

func areaOf(a, part si.Area) float64 {
	if a > 0 {
		return float64(a)
	}
	return float64(part)
}

func masses(in Input) Result {
	if in.Spec.Mixed > 0 {
		return Result{Losses: []Loss{}, Targets: []Target{}}
	}
	var cloth, resin, solid, absorbed float64
	targets := []Target{}
	for i, l := range in.Layers {
		a := areaOf(l.Area, in.Area)
		t := Target{Layer: i + 1, Name: l.Name, Area: si.Area(a), Dry: si.Mass(a * float64(l.Areal+l.Solid)), Resin: si.Mass(a * (float64(l.Areal)*l.Ratio + float64(l.Soaked)))}
		t.Wet = t.Dry + t.Resin
		targets = append(targets, t)
		cloth += a * float64(l.Areal)
		resin += float64(t.Resin)
		solid += a * float64(l.Solid)
	}
	for _, x := range in.Absorbers {
		absorbed += areaOf(x.Area, in.Area) * float64(x.Uptake)
	}
	return Result{Cloth: si.Mass(cloth), ResinInPart: si.Mass(resin), Absorbed: si.Mass(absorbed),
		Targets: targets, PartMass: si.Mass(cloth + resin + solid)}
}

// Target is what a layer weighs before it is wetted out, and what to weigh it to.
type Target struct {
	Layer int     `json:"layer"` // in the stack, from 1
	Name  string  `json:"name"`
	Area  si.Area `json:"area_m2"`
	Dry   si.Mass `json:"dry_kg"`
	Resin si.Mass `json:"resin_kg"`
	Wet   si.Mass `json:"weigh_to_kg"`
}

// split divides the mix by mass and, where both densities are known, by volume.
func (r *Result) split(in Input) {
	if in.Mix.Resin == 0 {
		return
	}
	h := r.ToMix * si.Mass(in.Mix.Hardener/(in.Mix.Resin+in.Mix.Hardener))
	a := r.ToMix - h
	r.Hardener, r.Resin = &h, &a
	if step := float64(in.Spec.Scale); step > 0 && len(r.Pots) > 0 {
		each := si.Mass(len(r.Pots))
		off := step / 2 * (1/float64(h/each) + 1/float64(a/each))
		r.IndexError = &off
	}
	if in.ResinDensity > 0 && in.HardenerDensity > 0 {
		va, vh := si.Volume(float64(a)/float64(in.ResinDensity)), si.Volume(float64(h)/float64(in.HardenerDensity))
		parts := 100 * float64(vh/va)
		r.ResinVolume, r.HardenerVol, r.ByVolume = &va, &vh, &parts
	}
}

// spread returns the range of the part's mass from the spread of the cloths and
// of the hand that wets them. Plies of one cloth come off one roll and err
// together, different cloths by themselves; the hand errs alike on all plies.
// Independent half-widths add as squares. What the cloth weighs more, it takes
// more resin for.
func (r *Result) spread(in Input) (low, high si.Mass) {
	type roll struct {
		name string
		half float64
	}
	var rolls []roll
	for _, l := range in.Layers {
		share := l.Spread
		if share == 0 {
			share = usualAreal
		}
		half := areaOf(l.Area, in.Area) * float64(l.Areal) * share * (1 + l.Ratio)
		found := false
		for i := range rolls {
			if rolls[i].name == l.Name {
				rolls[i].half += half
				found = true
			}
		}
		if !found {
			rolls = append(rolls, roll{l.Name, half})
		}
	}
	hand := in.RatioSpread * float64(r.ResinInPart)
	sum := hand * hand
	for _, x := range rolls {
		sum += x.half * x.half
	}
	half := si.Mass(math.Sqrt(sum))
	return r.PartMass - half, r.PartMass + half
}
