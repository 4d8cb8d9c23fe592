package resin

import (
	"laywright/internal/base/material"
	"laywright/internal/base/si"
)

// Fit is how a data sheet was turned into a law, and how well.
type Fit struct {
	ActivationE si.MolarEnergy `json:"activation_energy_J_per_mol"`
	Ratio       float64        `json:"ratio"` // K₁/K₂
	Shift       *float64       `json:"diffusion_shift_K,omitempty"`
	Readings    []Reading      `json:"readings"`
	Assumed     []string       `json:"assumed,omitempty"` // what the sheet did not tell
}

// Reading is one number of the sheet beside the law's.
type Reading struct {
	What  string  `json:"what"`
	Sheet float64 `json:"sheet"`
	Model float64 `json:"model"`
	Unit  string  `json:"unit"` // s or degC
	Upper bool    `json:"-"`    // the sheet's time is on the safe side, the law's may be shorter
}

// Off reports whether a reading is missed by more than its kind can bear: a
// quarter of a time, 8 K of a glass transition (makers' methods differ by 5 to
// 15 K, from memory).
func (r Reading) Off() bool {
	if r.Unit == "degC" {
		return !(r.Model-r.Sheet <= 8 && r.Sheet-r.Model <= 8)
	}
	return !(r.Model <= 1.25*r.Sheet && (r.Upper || r.Sheet <= 1.25*r.Model))
}

// report compares the fitted law with every number of the sheet.
func (f *sheetFit) report(soughtShift bool) (*Fit, error) {
	out := &Fit{ActivationE: si.MolarEnergy(f.e), Ratio: f.ratio}
	if d := f.law.Diffusion; d != nil {
		shift := d.Shift
		out.Shift = &shift
	}
	s := f.sheet
	if s.PotLife.Known {
		end, err := f.potEnd()
		if err != nil {
			return nil, err
		}
		out.Readings = append(out.Readings, Reading{"pot life", float64(s.PotLife.Value), end, "s", false})
	}
	if s.FilmGel.Known {
		t := float64(s.FilmAt.Value)
		model := f.reduced(f.law.Gel, t) / f.k2(t)
		out.Readings = append(out.Readings, Reading{"film gel", float64(s.FilmGel.Value), model, "s", false})
	}
	if s.Demould.Known {
		r, err := f.demouldReading()
		if err != nil {
			return nil, err
		}
		out.Readings = append(out.Readings, r)
	}
	for _, c := range s.AfterCure {
		tg, err := f.afterCure(c)
		if err != nil {
			return nil, err
		}
		out.Readings = append(out.Readings, Reading{"glass transition after " + describe(c), c.Tg.Value.Celsius(), tg - 273.15, "degC", false})
	}
	out.Assumed = f.assumed(soughtShift)
	return out, nil
}

func (f *sheetFit) k2(t float64) float64 {
	k := Kinetics{A1: f.law.Kinetics.A2, E1: f.law.Kinetics.E2}
	return k.chemical(t, 0)
}

// demouldReading says when the law's glass transition is Firm above the room's
// temperature; a year stands for never.
func (f *sheetFit) demouldReading() (Reading, error) {
	const year = 365 * 86400
	t := f.sheet.DemouldAt.Value
	at, ok, err := f.law.TimeTo(f.law.Glass.Degree(t+si.Temperature(f.law.Firm)), t, 60*86400)
	if !ok {
		at = year
	}
	return Reading{"demould", float64(f.sheet.Demould.Value), float64(at), "s", true}, err
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

func (f *sheetFit) assumed(soughtShift bool) []string {
	var out []string
	s := f.sheet
	if !s.ActivationE.Known {
		out = append(out, "activation energy 55 kJ/mol ± 6 kJ/mol")
	}
	if !(s.PotLife.Known && s.FilmGel.Known) {
		out = append(out, "ratio of the two rates 0.1, usual 0.03 to 0.25")
	}
	if f.law.Diffusion != nil && !soughtShift {
		out = append(out, "the shift of the diffusion limit as the record gives it, else 4 K")
	}
	if s.PotLife.Known && s.PotEnds == "" {
		out = append(out, "pot life ends at gel")
	}
	return out
}

// Spread returns the laws that the same record gives at the ends of what a data
// sheet leaves open: the activation energy 6 kJ/mol up and down and, where no
// film's gel fixes it, the ratio of the rates at 0.03 and 0.25. Each is fitted
// anew, so all meet the sheet's times. A record with a rate law has none.
func Spread(name string, r material.Resin) ([]Law, error) {
	base, err := New(name, r)
	if err != nil || base.Fit == nil {
		return nil, err
	}
	at, e := "materials.resins."+name, float64(base.Fit.ActivationE)
	width := priorESpread
	if d := r.Sheet.ActivationE; d.Known && d.Spread > 0 {
		width = float64(d.Spread)
	}
	corners := [][2]float64{{e - width, 0}, {e + width, 0}}
	if !(r.Sheet.PotLife.Known && r.Sheet.FilmGel.Known) {
		corners = append(corners, [2]float64{e, 0.03}, [2]float64{e, 0.25})
	}
	base.Fit, base.Kinetics, base.Diffusion = nil, Kinetics{}, nil
	var out []Law
	for _, c := range corners {
		l, err := calibrateWith(at, r, base, c[0], c[1])
		if err != nil {
			return nil, err
		}
		out = append(out, l)
	}
	return out, nil
}
