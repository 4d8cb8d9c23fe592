package resin

import (
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/num"
	"laywright/internal/base/si"
)

// What a data sheet does not tell.
const (
	// priorE and its half-width: activation energies of room-temperature amines
	// are 44 to 67 kJ/mol [barral1995].
	priorE       = 55e3
	priorESpread = 6e3
	// priorRatio is K₁/K₂, usual 0.03 to 0.25; the pair of pot life and film gel
	// of one well-known class gives 0.07 to 0.12.
	priorRatio = 0.1
	// ratio limits beyond which pot life and film gel contradict each other.
	lowRatio, highRatio = 0.005, 3.0
	// firm and mostFirm bound Law.Firm, K. Common practice, no source.
	firm, mostFirm = 5.0, 25.0
)

// sheetFit fits the reduced amine-epoxy law to a sheet.
//
//	dα/dt = K₂(T)·(r + α)·(1−α)²·g    K₂ = A·exp(−E/RT), r = K₁/K₂
//
// g is the diffusion factor of [Law.Rate]. Stoichiometric, all amine hydrogens
// alike: the reduction of the scheme of [horie1970].
type sheetFit struct {
	at    string // field path of the sheet
	sheet material.Sheet
	law   Law
	e     float64
	ratio float64
	fixed bool // ratio is given and not fitted
}

// calibrate makes the law of a data sheet.
func calibrate(at string, r material.Resin, base Law) (Law, error) {
	return calibrateWith(at, r, base, float64(r.Sheet.ActivationE.Or(priorE)), 0)
}

// calibrateWith does so for one activation energy and, where ratio is not 0, for
// one ratio. Rate and diffusion act on each other a little (a resin with a high
// glass transition slows before it gels in a cool room), so they are fitted in turn.
func calibrateWith(at string, r material.Resin, base Law, e, ratio float64) (Law, error) {
	f := &sheetFit{at: at + ".data_sheet", sheet: *r.Sheet, law: base, e: e, ratio: ratio, fixed: ratio != 0}
	if !f.fixed {
		f.ratio = priorRatio
	}
	if err := f.check(); err != nil {
		return Law{}, err
	}
	var err error
	if f.law.Diffusion, err = readDiffusion(at, r); err != nil {
		return Law{}, err
	}
	seek := len(r.Sheet.AfterCure) > 0 && (r.Diffusion == nil || !r.Diffusion.Shift.Known)
	if seek && f.law.Diffusion == nil {
		f.law.Diffusion = &Diffusion{Shift: diffusionShift, Width: diffusionWidth}
	}
	for range 3 {
		before := f.shift()
		if err := f.rate(); err != nil {
			return Law{}, err
		}
		if !seek {
			break
		}
		if err := f.diffusion(); err != nil {
			return Law{}, err
		}
		if math.Abs(f.shift()-before) < 0.1 {
			break
		}
	}
	f.law.Kinetics.Min, f.law.Kinetics.Max = f.span()
	if err := f.firmness(); err != nil {
		return Law{}, err
	}
	f.law.Fit, err = f.report(seek)
	return f.law, err
}

// firmness takes from the sheet's demould time how far the glass transition must
// be ahead: as far as it is then and there.
func (f *sheetFit) firmness() error {
	s := f.sheet
	if !s.Demould.Known || !(s.FilmGel.Known || s.PotLife.Known) {
		return nil // the rate itself was fitted to it
	}
	a, err := f.law.After(0, []Hold{{s.Demould.Value, s.DemouldAt.Value}})
	lead := f.law.Glass.Transition(a) - s.DemouldAt.Value
	f.law.Firm = si.TemperatureDifference(min(max(float64(lead), firm), mostFirm))
	return err
}

func (f *sheetFit) shift() float64 {
	if f.law.Diffusion == nil {
		return 0
	}
	return f.law.Diffusion.Shift
}

func (f *sheetFit) check() error {
	s := f.sheet
	if !s.PotLife.Known && !s.FilmGel.Known && !s.Demould.Known {
		return &fault.Input{Field: f.at, What: "has no time in it",
			Do: "give one of pot_life, film_gel or demould, with its temperature"}
	}
	for _, c := range []struct {
		name  string
		time  material.Datum[si.Time]
		field string
		at    material.Datum[si.Temperature]
	}{
		{"pot_life", s.PotLife, "pot_temperature", s.PotAt},
		{"film_gel", s.FilmGel, "film_temperature", s.FilmAt},
		{"demould", s.Demould, "demould_temperature", s.DemouldAt},
	} {
		if !c.time.Known {
			continue
		}
		if err := fault.Check(f.at+"."+c.name, float64(c.time.Value)/60, 0.5, 60*24*60, " min", "half a minute to 60 days"); err != nil {
			return err
		}
		if !c.at.Known {
			return &fault.Input{Field: f.at + "." + c.field, What: "is missing: " + c.name + " means nothing without its temperature",
				Do: "write it as the sheet says, like \"25 degC\""}
		}
		if err := fault.Check(f.at+"."+c.field, c.at.Value.Celsius(), -20, 200, " degC", "temperatures at which resin is worked"); err != nil {
			return err
		}
	}
	if err := fault.Check(f.at+".pot_mass", float64(s.PotMass.Or(0.1))*1e3, 1, 20e3, " g", "a cup to a bucket"); err != nil {
		return err
	}
	switch s.PotEnds {
	case "", "gel", "40 degC", "50 degC":
	default:
		return &fault.Input{Field: f.at + ".pot_ends", What: "is " + quote(s.PotEnds), Do: "write gel, 40 degC or 50 degC"}
	}
	return fault.Check(f.at+".activation_energy", f.e/1e3, 30, 120, " kJ/mol", "amines with epoxy lie at 44 to 67")
}

// diffusion finds the shift that meets the glass transitions after the sheet's
// cures best, by least squares.
func (f *sheetFit) diffusion() error {
	var failed error
	misfit := func(shift float64) float64 {
		f.law.Diffusion.Shift = shift
		sum := 0.0
		for _, c := range f.sheet.AfterCure {
			tg, err := f.afterCure(c)
			if err != nil {
				failed = err
			}
			d := tg - float64(c.Tg.Value)
			sum += d * d
		}
		return sum
	}
	f.law.Diffusion.Shift = num.Minimum(misfit, -40, 60, 0.05)
	return failed
}

func (f *sheetFit) afterCure(c material.CureTg) (float64, error) {
	holds := make([]Hold, len(c.Holds))
	for i, h := range c.Holds {
		holds[i] = Hold{h.For, h.At}
	}
	const coarse = 1e-5 // gives the glass transition to a millikelvin
	a, err := f.law.after(0, holds, coarse)
	return float64(f.law.Glass.Transition(a)), err
}

// span returns the coldest and the warmest temperature of the sheet.
func (f *sheetFit) span() (low, high si.Temperature) {
	see := func(t si.Temperature) {
		if low == 0 || t < low {
			low = t
		}
		high = max(high, t)
	}
	for _, d := range []material.Datum[si.Temperature]{f.sheet.PotAt, f.sheet.FilmAt, f.sheet.DemouldAt} {
		if d.Known {
			see(d.Value)
		}
	}
	for _, c := range f.sheet.AfterCure {
		for _, h := range c.Holds {
			see(h.At)
		}
	}
	return low, high
}
