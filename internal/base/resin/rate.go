package resin

import (
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/num"
	"laywright/internal/base/si"
)

// setRate puts K₂ at temperature t into the law's constants.
func (f *sheetFit) setRate(k2, t float64) {
	a := k2 * math.Exp(f.e/(gasConstant*t))
	f.law.Kinetics.A2, f.law.Kinetics.A1 = si.Rate(a), si.Rate(f.ratio*a)
	f.law.Kinetics.E1, f.law.Kinetics.E2 = si.MolarEnergy(f.e), si.MolarEnergy(f.e)
	f.law.Kinetics.M, f.law.Kinetics.N = 1, 2
}

// reduced returns K₂·t, the time to reach degree of cure a at temperature t in
// units of 1/K₂:
//
//	K₂t = ∫₀ᵃ dα / [(r+α)(1−α)²·g]
//
// by Simpson's rule in ln(r+α), in which the integrand is smooth. Without the
// diffusion factor g it is [ln((r+a)/r) − ln(1−a)]/(1+r)² + [1/(1−a) − 1]/(1+r).
func (f *sheetFit) reduced(a, t float64) float64 {
	const pieces = 128
	low, high := math.Log(f.ratio), math.Log(f.ratio+a)
	sum := 0.0
	for i := range pieces + 1 {
		x := math.Exp(low+(high-low)*float64(i)/pieces) - f.ratio
		y := 1 / ((1 - x) * (1 - x))
		if d := f.law.Diffusion; d != nil {
			y *= 1 + math.Exp((float64(f.law.Glass.Transition(x))-t-d.Shift)/d.Width)
		}
		switch {
		case i == 0 || i == pieces:
			sum += y
		case i%2 == 1:
			sum += 4 * y
		default:
			sum += 2 * y
		}
	}
	return sum * (high - low) / (3 * pieces)
}

// hold returns the degree of cure after a time at temperature temp from degree a.
// K₂t of [sheetFit.reduced] is summed up over short pieces until the time is over.
func (f *sheetFit) hold(a, time, temp float64) float64 {
	const most, least = 0.01, 1e-9 // of a piece
	left := f.k2(temp) * time
	for {
		piece := min(most, (f.ratio+a)/2, (1-a)/4)
		if piece < least {
			return a
		}
		took := f.across(a, piece, temp)
		if took <= left {
			left, a = left-took, a+piece
			continue
		}
		x := piece * left / took
		for range 3 { // Newton: the rest is convex and as good as straight
			x -= (f.across(a, x, temp) - left) / f.slowness(a+x, temp)
		}
		return a + x
	}
}

// across is K₂t from degree a to a + x, by Gauss's rule of three points.
func (f *sheetFit) across(a, x, temp float64) float64 {
	const out, side, middle = 0.3872983346207417, 5.0 / 18, 8.0 / 18 // √0.15
	return x * (side*(f.slowness(a+(0.5-out)*x, temp)+f.slowness(a+(0.5+out)*x, temp)) + middle*f.slowness(a+x/2, temp))
}

// slowness is K₂ over the rate.
func (f *sheetFit) slowness(a, temp float64) float64 {
	y := 1 / ((f.ratio + a) * (1 - a) * (1 - a))
	if d := f.law.Diffusion; d != nil {
		y *= 1 + math.Exp((float64(f.law.Glass.Transition(a))-temp-d.Shift)/d.Width)
	}
	return y
}

// rate fits K₂ and, where the sheet has both a pot life and a film's gel, the ratio.
func (f *sheetFit) rate() error {
	s := f.sheet
	switch {
	case s.FilmGel.Known:
		if s.PotLife.Known && !f.fixed {
			if err := f.ratioFromPair(); err != nil {
				return err
			}
		}
		f.filmRate()
		return nil
	case s.PotLife.Known:
		return f.potRate()
	}
	t := float64(s.DemouldAt.Value)
	a := f.law.Glass.Degree(si.Temperature(t + firm))
	if a >= 1 {
		return &fault.Input{Field: f.at + ".demould_temperature", What: "lies above the glass transition of the cured resin",
			Do: "look at tg.full"}
	}
	f.setRate(f.reduced(a, t)/float64(s.Demould.Value), t)
	return nil
}

func (f *sheetFit) filmRate() {
	t := float64(f.sheet.FilmAt.Value)
	f.setRate(f.reduced(f.law.Gel, t)/float64(f.sheet.FilmGel.Value), t)
}

// ratioFromPair finds the ratio at which the cup of the sheet ends when the
// sheet says, while the film gels when it says. A pair beyond the ratio's limits
// contradicts itself; the nearest limit is kept and the misfit shows in [Fit].
func (f *sheetFit) ratioFromPair() error {
	var failed error
	miss := func(logRatio float64) float64 {
		f.ratio = math.Exp(logRatio)
		f.filmRate()
		end, err := f.potEnd()
		if err != nil {
			failed = err
		}
		return math.Log(end / float64(f.sheet.PotLife.Value))
	}
	low, high := math.Log(lowRatio), math.Log(highRatio)
	if f.warm {
		const near = 0.4
		x := math.Log(f.ratio)
		low, high = max(low, x-near), min(high, x+near)
	}
	atLow, atHigh := miss(low), miss(high)
	if f.warm && atLow*atHigh > 0 {
		f.warm, f.ratio = false, math.Exp((low+high)/2)
		err := f.ratioFromPair()
		f.warm = true
		return err
	}
	switch {
	case failed != nil:
		return failed
	case atLow*atHigh > 0:
		f.ratio = lowRatio
		if math.Abs(atHigh) < math.Abs(atLow) {
			f.ratio = highRatio
		}
		return nil
	}
	x, err := num.Root(miss, low, high, 1e-4)
	if err != nil {
		return err
	}
	f.ratio = math.Exp(x)
	return failed
}

// potEnd returns when the cup of the sheet reaches what the sheet calls its end.
func (f *sheetFit) potEnd() (float64, error) {
	if f.sheet.PotEnds == Doubled {
		t := float64(f.sheet.PotAt.Value)
		a, err := f.law.thickened(2)
		return f.reduced(a, t) / f.k2(t), err
	}
	var end mark
	switch f.sheet.PotEnds {
	case "40 degC":
		end = pastForty
	case "50 degC":
		end = pastFifty
	}
	at, ok, err := f.law.reaches(Cup{Mass: f.sheet.PotMass.Or(usualPot), Air: f.sheet.PotAt.Value}, end)
	if !ok {
		at = cupDays
	}
	return float64(at), err
}

// potRate finds K₂ from the pot life alone, the ratio being held.
func (f *sheetFit) potRate() error {
	t := float64(f.sheet.PotAt.Value)
	gel := f.reduced(f.law.Gel, t)
	var failed error
	miss := func(logFilm float64) float64 {
		f.setRate(gel/math.Exp(logFilm), t)
		end, err := f.potEnd()
		if err != nil {
			failed = err
		}
		return math.Log(end / float64(f.sheet.PotLife.Value))
	}
	pot := math.Log(float64(f.sheet.PotLife.Value))
	x, err := num.Root(miss, pot-0.5, pot+3.5, 1e-4)
	if failed != nil {
		return failed
	}
	if err != nil {
		return &fault.Input{Field: f.at + ".pot_life", What: "fits no rate of cure: a cup of this mass does not end so at this temperature",
			Do: "look at pot_mass, pot_temperature and pot_ends (gel | 40 degC | 50 degC | " + Doubled + ")"}
	}
	f.setRate(gel/math.Exp(x), t)
	return failed
}
