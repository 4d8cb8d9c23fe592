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
	// ratio limits beyond which pot life and film gel contradict each other.
	lowRatio, highRatio = 0.005, 3.0
	// firm and mostFirm bound Law.Firm, K. Common practice, no source.
	firm, mostFirm = 5.0, 25.0
	// usualPot is the mass that pot lives are told of, kg.
	usualPot = 0.1
)

// Doubled is the end of a pot life that is told of slow resins: the viscosity has
// doubled at the pot's temperature.
const Doubled = "viscosity doubled"

// sheetFit fits the reduced amine-epoxy law to a sheet.
//
//	dα/dt = K₂(T)·(r + α)·(1−α)²·g    K₂ = A·exp(−E/RT), r = K₁/K₂
//
// g is the diffusion factor of [Law.Rate]. Stoichiometric, all amine hydrogens
// alike: the reduction of the scheme of [horie1970].
type sheetFit struct {
	at     string // field path of the sheet
	record material.Resin
	sheet  material.Sheet
	law    Law
	e      float64
	ratio  float64
	fixed  bool // ratio is given and not fitted
	warm   bool // law is one of the same record: what is sought lies near
}

// priorOf is the activation energy of a record before anything is fitted.
func priorOf(r material.Resin) prior {
	p := byClass[r.Class].e
	if d := r.Sheet.ActivationE; d.Known {
		half := float64(d.Spread)
		if half == 0 {
			half = (p.high - p.low) / 2
		}
		p = prior{float64(d.Value), float64(d.Value) - half, float64(d.Value) + half, d.Origin, d.Source}
	}
	return p
}

// calibrate makes the law of a data sheet.
func calibrate(at string, r material.Resin, base Law) (Law, error) {
	return calibrateWith(at, r, base, priorOf(r).value, 0)
}

// calibrateWith does so for one activation energy and, where ratio is not 0, for
// one ratio. Rate and diffusion act on each other a little (a resin with a high
// glass transition slows before it gels in a cool room), so they are fitted in turn.
// Where base is a law of the same record already, the search begins from it.
func calibrateWith(at string, r material.Resin, base Law, e, ratio float64) (Law, error) {
	f := newSheetFit(at, r, base)
	f.e, f.fixed = e, ratio != 0
	if f.fixed {
		f.ratio = ratio
	}
	if err := f.check(); err != nil {
		return Law{}, err
	}
	limit, err := readDiffusion(at, r)
	if err != nil {
		return Law{}, err
	}
	seek := len(r.Sheet.AfterCure) > 0 && (r.Diffusion == nil || !r.Diffusion.Shift.Known)
	if seek && limit == nil {
		limit = &Diffusion{Shift: diffusionShift, Width: diffusionWidth}
	}
	if f.warm && seek {
		limit.Shift = base.Diffusion.Shift
	}
	f.law.Diffusion = limit
	for range 3 {
		before := f.shift()
		if err := f.rate(); err != nil {
			return Law{}, err
		}
		if !seek {
			break
		}
		f.diffusion()
		if f.warm = true; math.Abs(f.shift()-before) < 0.1 {
			break
		}
	}
	f.law.Kinetics.Min, f.law.Kinetics.Max = f.span()
	f.firmness()
	f.law.Fit, err = f.report(seek)
	return f.law, err
}

// newSheetFit sets a sheet beside a law.
func newSheetFit(at string, r material.Resin, l Law) *sheetFit {
	f := &sheetFit{at: at + ".data_sheet", record: r, sheet: *r.Sheet, law: l, ratio: byClass[r.Class].ratio.value}
	if k := l.Kinetics; k.A2 > 0 {
		f.warm, f.e, f.ratio = true, float64(k.E2), float64(k.A1/k.A2)
	}
	return f
}

// firmness takes from the sheet's demould time how far the glass transition must
// be ahead: as far as it is then and there.
func (f *sheetFit) firmness() {
	s := f.sheet
	if !s.Demould.Known || !(s.FilmGel.Known || s.PotLife.Known) {
		return // the rate itself was fitted to it
	}
	a := f.hold(0, float64(s.Demould.Value), float64(s.DemouldAt.Value))
	lead := f.law.Glass.Transition(a) - s.DemouldAt.Value
	f.law.Firm = si.TemperatureDifference(min(max(float64(lead), firm), mostFirm))
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
	if err := fault.Check(f.at+".pot_mass", float64(s.PotMass.Or(usualPot))*1e3, 1, 20e3, " g", "a cup to a bucket"); err != nil {
		return err
	}
	switch s.PotEnds {
	case "", "gel", "40 degC", "50 degC", Doubled:
	default:
		return &fault.Input{Field: f.at + ".pot_ends", What: "is " + quote(s.PotEnds), Do: "write gel, 40 degC, 50 degC or " + Doubled}
	}
	for i, c := range s.AfterCure {
		if len(c.Holds) == 0 {
			return &fault.Input{Field: fault.Numbered(f.at+".after_cure", i) + ".holds", What: "is missing: a glass transition means nothing without its cure",
				Do: "write how long and how warm, like holds: [{for: \"7 d\", at: \"23 degC\"}]"}
		}
	}
	return fault.Check(f.at+".activation_energy", f.e/1e3, 30, 120, " kJ/mol", "amines with epoxy lie at 44 to 67")
}

// diffusion finds the shift that meets the glass transitions after the sheet's
// cures best, by least squares.
func (f *sheetFit) diffusion() {
	misfit := func(shift float64) float64 {
		f.law.Diffusion.Shift = shift
		sum := 0.0
		for _, c := range f.sheet.AfterCure {
			d := f.afterCure(c) - float64(c.Tg.Value)
			sum += d * d
		}
		return sum
	}
	const low, high, fine = -40, 60, 0.05
	if f.warm {
		const near = 6
		from := max(low, f.shift()-near)
		to := min(high, from+2*near)
		x := num.Minimum(misfit, from, to, fine)
		if f.law.Diffusion.Shift = x; x > from+0.5 && x < to-0.5 {
			return
		}
	}
	f.law.Diffusion.Shift = num.Minimum(misfit, low, high, fine)
}

// afterCure returns the law's glass transition after a cure of the sheet, K.
func (f *sheetFit) afterCure(c material.CureTg) float64 {
	a := 0.0
	for _, h := range c.Holds {
		a = f.hold(a, float64(h.For), float64(h.At))
	}
	return float64(f.law.Glass.Transition(a))
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
