package resin

import (
	"fmt"
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/num"
	"laywright/internal/base/si"
)

// GelCup is a gel that was timed in the shop: of a cup that was left to itself, or
// of a thin film.
type GelCup struct {
	Mass  si.Mass // 0: a thin film
	At    si.Temperature
	Start si.Temperature // of the mix; 0: as the air
	Gel   si.Time
}

// Moved is what the shop's own readings changed in the law.
type Moved struct {
	Readings  int            `json:"readings"`
	At        si.Temperature `json:"at_degC"`      // middle of the readings' temperatures
	Faster    float64        `json:"rate_factor"`  // the rate there and then over that of the record alone
	GelBefore si.Time        `json:"gel_before_s"` // of a thin film there, by the record alone
	GelAfter  si.Time        `json:"gel_after_s"`  // and with the readings
	EBefore   si.MolarEnergy `json:"energy_before_J_per_mol"`
	GelLow    si.Time        `json:"gel_low_s"` // range of what is still open
	GelHigh   si.Time        `json:"gel_high_s"`

	ratio float64 // K₁/K₂ of the record alone
}

// What is open before the shop reads anything, as half-widths of logarithms and of
// the activation energy. Judgement: a sheet's times without a spread are worth
// 15 %, the constants of a rate law likewise; a gel is seen within some 3 %, and
// half a kelvin of the thermometer is 3 to 4 %.
const (
	sheetOpen = 0.15
	shopOpen  = 0.05
	pairOpen  = 0.405 // ln 1.5: a tenth more of one of the pair's times
)

// heed moves a law to the gels that the shop has timed, by least squares:
//
//	min Σ(ln t/tᵢ)²/sᵢ² + (E − E₀)²/s_E² + (ln r/r₀)²/s_r²
//
// over the rate at the readings' middle temperature, the ratio r and the activation
// energy E. The tᵢ are the shop's times with s = 5 % and the sheet's film gel, else
// its pot life, with its own spread, for that is how lots differ; a pot life beside a
// film gel fixes the ratio to within a factor of 1.5. A rate law's constants move by one factor, which
// starts from 1 with 15 %. What is open afterwards comes from the curvature there.
//
// Diffusion, heat and what the demould time says stay as they were.
func heed(at string, r material.Resin, l Law, cups []GelCup) (Law, error) {
	for i, c := range cups {
		if err := c.check(fault.Numbered("shop.gel_cups", i)); err != nil {
			return l, err
		}
	}
	h := newHeeding(at, r, l, cups)
	x, covariance, err := num.LeastSquares(h.residuals, make([]float64, h.n))
	if err != nil {
		return l, err
	}
	out := h.law(x)
	for _, c := range cups {
		k := &out.Kinetics
		k.Min, k.Max = min(k.Min, c.At), max(k.Max, c.At)
	}
	if out.Fit == nil {
		out.Fit = &Fit{}
	}
	fit := *out.Fit
	out.Fit = &fit
	fit.ActivationE, fit.Ratio = out.Kinetics.energy(), h.ratioOf(out)
	for _, d := range num.Axes(covariance) {
		for _, sign := range []float64{-1, 1} {
			moved := make([]float64, h.n)
			for k := range moved {
				moved[k] = x[k] + sign*d[k]
			}
			fit.ends = append(fit.ends, h.law(moved).Kinetics)
		}
	}
	if fit.Shop, err = h.moved(out, fit.ends); err != nil {
		return l, err
	}
	fit.Readings, err = readings(at, r, out, cups)
	if err != nil {
		return l, err
	}
	return out, h.alone(&fit)
}

func (c GelCup) check(at string) error {
	if c.Mass != 0 {
		if err := fault.Check(at+".mass", float64(c.Mass)*1e3, 5, 5000, " g", "a cup; leave it out for a thin film"); err != nil {
			return err
		}
	}
	if err := fault.Check(at+".temperature", c.At.Celsius(), -10, 120, " degC", "where resin is worked"); err != nil {
		return err
	}
	if c.Start != 0 {
		if err := fault.Check(at+".start", c.Start.Celsius(), -10, 120, " degC", "resin as it is mixed"); err != nil {
			return err
		}
	}
	return fault.Check(at+".gel", float64(c.Gel)/60, 0.5, 60*24*60, " min", "half a minute to 60 days")
}

// predict is when the cup, or the film, gels by a law; a month and more stand for never.
func (c GelCup) predict(l *Law) (float64, error) {
	if c.Mass == 0 {
		t, ok, err := l.StartWithin(0, 1e-7).Until(func(g Glimpse) float64 { return g.Degree - l.Gel }, 0, 60*86400, c.At, c.At)
		if !ok {
			t = 60 * 86400
		}
		return float64(t), err
	}
	t, ok, err := l.reaches(Cup{Mass: c.Mass, Air: c.At, Start: c.Start}, gelled)
	if !ok {
		t = cupDays
	}
	return float64(t), err
}

// heeding is the problem of least squares.
type heeding struct {
	at     string
	record material.Resin
	base   Law
	cups   []GelCup
	n      int     // unknowns: ln of the rate, and for a sheet's law E/s_E and ln of the ratio
	sheet  bool    // the law is a sheet's
	middle float64 // K
	sE, sR float64 // half-widths of E, J/mol, and of ln ratio
}

func newHeeding(at string, r material.Resin, l Law, cups []GelCup) *heeding {
	h := &heeding{at: at, record: r, base: l, cups: cups, n: 1, sheet: l.Fit != nil}
	for _, c := range cups {
		h.middle += float64(c.At) / float64(len(cups))
	}
	if h.sheet {
		h.n = 3
		p, c := priorOf(r), byClass[r.Class].ratio
		h.sE, h.sR = (p.high-p.low)/2, math.Log(c.high/c.low)/2
		if r.Sheet.PotLife.Known && r.Sheet.FilmGel.Known {
			h.sR = pairOpen
		}
	}
	return h
}

// law is the base moved by x: the logarithm of the rate at the middle temperature,
// the energy and the logarithm of the ratio in their half-widths.
func (h *heeding) law(x []float64) Law {
	out := h.base
	if out.Kinetics = out.Kinetics.times(math.Exp(x[0])); h.sheet {
		d := x[1] * h.sE
		k := &out.Kinetics
		k.E1, k.E2 = k.E1+si.MolarEnergy(d), k.E2+si.MolarEnergy(d)
		*k = k.times(math.Exp(d / (gasConstant * h.middle)))
		k.A1 *= si.Rate(math.Exp(x[2] * h.sR))
	}
	return out
}

// energy is the activation energy of most of the reaction.
func (k Kinetics) energy() si.MolarEnergy {
	if k.A2 == 0 {
		return k.E1
	}
	return k.E2
}

func (h *heeding) ratioOf(l Law) float64 {
	k := l.Kinetics
	if k.A2 == 0 {
		return 0
	}
	return float64(k.A1/k.A2) * math.Exp(float64(k.E2-k.E1)/(gasConstant*h.middle))
}

// residuals are the misfits in half-widths.
func (h *heeding) residuals(x []float64) (out []float64, err error) {
	l := h.law(x)
	for _, c := range h.cups {
		t, err := c.predict(&l)
		if err != nil {
			return nil, err
		}
		out = append(out, math.Log(t/float64(c.Gel))/shopOpen)
	}
	if !h.sheet {
		return append(out, x[0]/sheetOpen), nil
	}
	own, err := newSheetFit(h.at, h.record, l).times()
	if err != nil {
		return nil, err
	}
	miss := x[0] / sheetOpen // of a demould time alone
	if last := len(own) - 1; last >= 0 {
		open := sheetOpen
		if own[last].Spread > 0 {
			open = own[last].Spread / own[last].Sheet
		}
		// Against the sheet's law and not its number: a sheet that does not agree with
		// itself must not move a law that the shop has not looked at.
		miss = math.Log(own[last].Model/h.base.Fit.Readings[last].Model) / open
	}
	return append(out, miss, x[1], x[2]), nil
}

// moved tells the law's change.
func (h *heeding) moved(out Law, ends []Kinetics) (*Moved, error) {
	film := GelCup{At: si.Temperature(h.middle)}
	laws := []Law{h.base, out}
	for _, k := range ends {
		end := out
		end.Kinetics = k
		laws = append(laws, end)
	}
	var gels []si.Time
	for i := range laws {
		t, err := film.predict(&laws[i])
		if err != nil {
			return nil, err
		}
		gels = append(gels, si.Time(t))
	}
	low, high := Span(gels[1], gels[2:])
	return &Moved{Readings: len(h.cups), At: film.At, Faster: float64(gels[0] / gels[1]), GelBefore: gels[0], GelAfter: gels[1], GelLow: low, GelHigh: high,
		EBefore: h.base.Kinetics.energy(), ratio: h.ratioOf(h.base)}, nil
}

// alone notes on the shop's readings what the record alone predicts.
func (h *heeding) alone(fit *Fit) error {
	i := 0
	for k := range fit.Readings {
		if r := &fit.Readings[k]; r.Shop {
			t, err := h.cups[i].predict(&h.base)
			if err != nil {
				return err
			}
			r.Alone = &t
			i++
		}
	}
	return nil
}

// readings sets a law beside the numbers of its sheet and of the shop.
func readings(at string, r material.Resin, l Law, cups []GelCup) (out []Reading, err error) {
	if r.Kinetics == nil || r.Kinetics.Model == material.FromSheet {
		if out, err = newSheetFit(at, r, l).readings(); err != nil {
			return nil, err
		}
	}
	for _, c := range cups {
		t, err := c.predict(&l)
		if err != nil {
			return nil, err
		}
		x := Reading{Kind: FilmGel, What: "film gel in this shop", Shop: true, Sheet: float64(c.Gel), Spread: shopOpen * float64(c.Gel), Model: t, Residual: t - float64(c.Gel), Unit: "s", At: c.At}
		if c.Mass > 0 {
			mass := c.Mass
			x.Kind, x.Mass, x.What = PotLife, &mass, fmt.Sprintf("gel of %.0f g in this shop", 1e3*float64(mass))
		}
		out = append(out, x)
	}
	return out, nil
}
