package resin

import (
	"math"

	"laywright/internal/base/material"
	"laywright/internal/base/si"
)

// Fit is how a data sheet was turned into a law, and how well.
type Fit struct {
	Class       material.Class `json:"class,omitempty"`
	ActivationE si.MolarEnergy `json:"activation_energy_J_per_mol"`
	Ratio       float64        `json:"ratio"` // K₁/K₂
	Shift       *float64       `json:"diffusion_shift_K,omitempty"`
	Readings    []Reading      `json:"readings"`
	Assumed     []string       `json:"assumed,omitempty"` // what the sheet did not tell
	Taken       []Taken        `json:"taken,omitempty"`   // the constants among that
	Shop        *Moved         `json:"shop,omitempty"`    // what the shop's own readings changed; nil: there are none

	ends []Kinetics // where the shop's readings leave the rate, two by two
}

// Kind is what a reading is of.
type Kind string

// The kinds of readings.
const (
	PotLife    Kind = "pot life"
	FilmGel    Kind = "film gel"
	Demould    Kind = "demould"
	Transition Kind = "glass transition"
)

// Reading is one number of the sheet, or of the shop, beside the law's.
type Reading struct {
	Kind     Kind           `json:"kind"`
	What     string         `json:"what"`
	Shop     bool           `json:"measured_here,omitempty"`
	Sheet    float64        `json:"sheet"`                  // as the sheet says, or the shop read
	Spread   float64        `json:"sheet_spread,omitempty"` // half-width of what the record says of it
	Model    float64        `json:"model"`
	Low      *float64       `json:"model_low,omitempty"` // range of what is left open, see Spread
	High     *float64       `json:"model_high,omitempty"`
	Residual float64        `json:"residual"` // model less sheet
	Unit     string         `json:"unit"`     // s or degC
	At       si.Temperature `json:"at_degC"`
	Mass     *si.Mass       `json:"mass_kg,omitempty"`        // in the cup
	Alone    *float64       `json:"sheet_predicts,omitempty"` // of a shop's reading: what the law of the sheet alone gives
	Upper    bool           `json:"-"`                        // the sheet's time is on the safe side, the law's may be shorter
}

// Off reports whether a reading is missed by more than its kind can bear: a
// quarter of a time, 8 K of a glass transition (makers' methods differ by 5 to
// 15 K, from memory).
func (r Reading) Off() bool {
	if r.Unit == "degC" {
		return !(r.Model-r.Sheet <= 8 && r.Sheet-r.Model <= 8)
	}
	return !(r.Model <= bearable*r.Sheet && (r.Upper || r.Sheet <= bearable*r.Model))
}

// bearable is the factor by which two times of one resin may differ before
// something is wrong: hardeners age, ratios err, thermometers lie. Judgement.
const bearable = 1.25

// Disagrees reports whether what the shop read is further from the sheet's law
// than one can put down to the reading.
func (r Reading) Disagrees() bool {
	return r.Alone != nil && !(*r.Alone <= bearable*r.Sheet && r.Sheet <= bearable**r.Alone)
}

// Away returns how far t lies from the nearest temperature at which a time of
// this resin was read; 0 between two of them.
func (f *Fit) Away(t si.Temperature) si.TemperatureDifference {
	low, high := math.Inf(1), math.Inf(-1)
	for _, r := range f.Readings {
		if r.Kind == PotLife || r.Kind == FilmGel {
			low, high = min(low, float64(r.At)), max(high, float64(r.At))
		}
	}
	if low > high { // a demould time alone
		for _, r := range f.Readings {
			low, high = min(low, float64(r.At)), max(high, float64(r.At))
		}
	}
	return si.TemperatureDifference(max(0, low-float64(t), float64(t)-high))
}

// within puts the range of the other laws' readings on each reading.
func (f *Fit) within(others []Law) {
	for i := range f.Readings {
		var own []float64
		for _, o := range others {
			if o.Fit != nil && i < len(o.Fit.Readings) {
				own = append(own, o.Fit.Readings[i].Model)
			}
		}
		low, high := Range(f.Readings[i].Model, own)
		f.Readings[i].Low, f.Readings[i].High = &low, &high
	}
}

// report compares the fitted law with every number of the sheet.
func (f *sheetFit) report(soughtShift bool) (*Fit, error) {
	out := &Fit{Class: f.record.Class, ActivationE: si.MolarEnergy(f.e), Ratio: f.ratio}
	if d := f.law.Diffusion; d != nil {
		shift := d.Shift
		out.Shift = &shift
	}
	var err error
	if out.Readings, err = f.readings(); err != nil {
		return nil, err
	}
	out.Taken = taken(f.record)
	out.Assumed = f.assumed(out.Taken, soughtShift)
	return out, nil
}

// readings are the sheet's numbers beside the law as it stands.
func (f *sheetFit) readings() (out []Reading, err error) {
	if out, err = f.times(); err != nil {
		return nil, err
	}
	if f.sheet.Demould.Known {
		out = append(out, f.demouldReading())
	}
	for _, c := range f.sheet.AfterCure {
		out = append(out, Reading{Kind: Transition, What: "glass transition after " + describe(c), Sheet: c.Tg.Value.Celsius(), Spread: float64(c.Tg.Spread),
			Model: f.afterCure(c) - 273.15, Unit: "degC", At: c.Holds[len(c.Holds)-1].At})
	}
	for i := range out {
		out[i].Residual = out[i].Model - out[i].Sheet
	}
	return out, nil
}

// times are the sheet's pot life and film gel beside the law as it stands.
func (f *sheetFit) times() (out []Reading, err error) {
	s := f.sheet
	if s.PotLife.Known {
		end, err := f.potEnd()
		if err != nil {
			return nil, err
		}
		mass := s.PotMass.Or(usualPot)
		out = append(out, Reading{Kind: PotLife, What: "pot life", Sheet: float64(s.PotLife.Value), Spread: float64(s.PotLife.Spread), Model: end, Unit: "s", At: s.PotAt.Value, Mass: &mass})
	}
	if s.FilmGel.Known {
		t := float64(s.FilmAt.Value)
		out = append(out, Reading{Kind: FilmGel, What: "film gel", Sheet: float64(s.FilmGel.Value), Spread: float64(s.FilmGel.Spread),
			Model: f.reduced(f.law.Gel, t) / f.k2(t), Unit: "s", At: s.FilmAt.Value})
	}
	return out, nil
}

func (f *sheetFit) k2(t float64) float64 {
	k := Kinetics{A1: f.law.Kinetics.A2, E1: f.law.Kinetics.E2}
	return k.chemical(t, 0)
}

// demouldReading says when the law's glass transition is Firm above the room's
// temperature; a year stands for never.
func (f *sheetFit) demouldReading() Reading {
	const year = 365 * 86400
	s, t, model := f.sheet, f.sheet.DemouldAt.Value, float64(year)
	if a := f.law.Glass.Degree(t + si.Temperature(f.law.Firm)); a < 1 {
		model = min(year, f.reduced(a, float64(t))/f.k2(float64(t)))
	}
	return Reading{Kind: Demould, What: "demould", Sheet: float64(s.Demould.Value), Spread: float64(s.Demould.Spread), Model: model, Unit: "s", At: t, Upper: true}
}

func describe(c material.CureTg) string {
	text := ""
	for i, h := range c.Holds {
		if i > 0 {
			text += " and "
		}
		text += si.Text(h.For, "h") + " at " + si.Show(h.At, si.Metric, 3)
	}
	return text
}

// assumed says in words what the sheet leaves open.
func (f *sheetFit) assumed(taken []Taken, soughtShift bool) (out []string) {
	class := byClass[f.record.Class].name
	for _, t := range taken {
		out = append(out, t.words(class))
	}
	if f.law.Diffusion != nil && !soughtShift {
		out = append(out, "the shift of the diffusion limit as the record gives it, else 4 K")
	}
	if f.sheet.PotLife.Known && f.sheet.PotEnds == "" {
		out = append(out, "pot life ends at gel")
	}
	return out
}
