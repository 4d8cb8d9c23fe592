package resin

import (
	"math"

	"laywright/internal/base/material"
	"laywright/internal/base/num"
	"laywright/internal/base/si"
)

// gasConstant is R in J/(mol K), exact by the definition of the SI (2019).
const gasConstant = 8.314462618

// Law is a resin ready to be calculated with. Build it with [New].
type Law struct {
	Name      string
	Kinetics  Kinetics
	Diffusion *Diffusion // nil: the rate does not slow at the glass transition
	Heat      si.SpecificEnergy
	Gel       float64 // degree of cure at gelation
	Glass     Glass
	Flow      *Flow // nil: the viscosity is not known
	// Firm is how far the glass transition must lie above the part's temperature
	// before it holds its shape without the mould: what the data sheet's demould
	// time comes to, 5 to 25 K; 5 K where it has none (common practice, no source).
	Firm    si.TemperatureDifference
	Density si.Density
	Cp      si.SpecificHeat
	K       si.Conductivity
	Fit     *Fit // how a data sheet was met; nil where the record holds a rate law
}

// Kinetics holds the constants of the rate law of Kamal and Sourour. The
// n-th order law has A2 = 0; the reduced amine-epoxy law has M = 1, N = 2.
type Kinetics struct {
	A1, A2   si.Rate
	E1, E2   si.MolarEnergy
	M, N     float64
	Min, Max si.Temperature // where the constants were measured; 0: not stated
}

// chemical returns the rate of reaction without hindrance.
//
//	dα/dt = (k₁ + k₂·αᵐ)·(1−α)ⁿ    kᵢ = Aᵢ·exp(−Eᵢ/RT)
//
// α is held to [0, 1] so that an overshooting integrator gets a number.
// Source: [kamal-sourour1973].
func (k Kinetics) chemical(t, a float64) float64 {
	a = min(max(a, 0), 1)
	b := 1 / (gasConstant * t)
	arrhenius := math.Exp(-float64(k.E1) * b)
	rate := float64(k.A1) * arrhenius
	if k.A2 != 0 {
		if k.E2 != k.E1 {
			arrhenius = math.Exp(-float64(k.E2) * b)
		}
		rate += float64(k.A2) * arrhenius * power(a, k.M)
	}
	return rate * power(1-a, k.N)
}

func power(x, n float64) float64 {
	switch n {
	case 1:
		return x
	case 2:
		return x * x
	}
	return math.Pow(x, n)
}

// Diffusion slows the reaction as the resin turns to glass.
type Diffusion struct {
	Shift float64 // K: how far above the part's temperature the glass transition is when the rate is halved
	Width float64 // K: how gradual that is
}

// Rate returns dα/dt in 1/s at temperature t and degree of cure a: the chemical
// rate of [Kinetics], times, where the record gives a diffusion limit,
//
//	1 / (1 + exp((Tg(α) − T − D)/w))
//
// D is Shift and w is Width. The factor is a smooth switch without a molecular
// basis; D comes from glass transitions measured after partial cures.
func (l *Law) Rate(t si.Temperature, a float64) float64 { return l.rate(float64(t), a) }

func (l *Law) rate(t, a float64) float64 {
	r := l.Kinetics.chemical(t, a)
	if d := l.Diffusion; d != nil {
		r /= 1 + math.Exp((float64(l.Glass.Transition(a))-t-d.Shift)/d.Width)
	}
	return r
}

// Glass is the glass transition against degree of cure.
type Glass struct {
	Start, Full si.Temperature // at α = 0 and 1
	Lambda      float64
}

// Transition returns the glass transition at degree of cure a.
//
//	(Tg − Tg₀)/(Tg₁ − Tg₀) = λα / (1 − (1−λ)α)
//
// λ is the ratio of the steps of heat capacity at the transition, cured to
// uncured. Source: [pascault-williams1990], after [dibenedetto1987].
func (g Glass) Transition(a float64) si.Temperature {
	a = min(max(a, 0), 1)
	return g.Start + si.Temperature(float64(g.Full-g.Start)*g.Lambda*a/(1-(1-g.Lambda)*a))
}

// Degree returns the degree of cure at which the glass transition is t: the
// inverse of Transition, held to [0, 1].
func (g Glass) Degree(t si.Temperature) float64 {
	x := float64(t-g.Start) / float64(g.Full-g.Start)
	x = min(max(x, 0), 1)
	return x / (g.Lambda + (1-g.Lambda)*x)
}

// Flow is the viscosity of the mixed resin.
type Flow struct {
	Fresh si.Viscosity   // at At, before reaction
	At    si.Temperature // where Fresh was measured
	E     si.MolarEnergy // of flow
	Rise  float64        // κ: how it grows with the degree of cure; 0: by the law towards gel
}

// Exponents of the rise towards gel, typical of amine-cured epoxies (from
// memory; they are fitted for each resin where rheometry exists).
const (
	flowA = 1.5
	flowB = 1.0
)

// Viscosity returns the viscosity at temperature t and degree of cure a, and
// +Inf from the gel point on. ok is false where the record has no viscosity.
//
//	μ = μ₀·exp(E/R·(1/T − 1/T₀))·(αg/(αg−α))^(A+Bα)    A = 1.5, B = 1
//
// or, where the record gives κ, with exp(κα) for the last factor.
//
// Source: [castro-macosko1982]; [lee-loos-springer1982] for κ.
func (l *Law) Viscosity(t si.Temperature, a float64) (mu si.Viscosity, ok bool) {
	if l.Flow == nil {
		return 0, false
	}
	if a >= l.Gel {
		return si.Viscosity(math.Inf(1)), true
	}
	a = max(a, 0)
	thermal := math.Exp(float64(l.Flow.E) / gasConstant * (1/float64(t) - 1/float64(l.Flow.At)))
	rise := math.Pow(l.Gel/(l.Gel-a), flowA+flowB*a)
	if l.Flow.Rise > 0 {
		rise = math.Exp(l.Flow.Rise * a)
	}
	return l.Flow.Fresh * si.Viscosity(thermal*rise), true
}

// Extrapolates reports whether t lies more than 25 K outside the range in which
// the constants were measured. The margin is judgement, not theory.
func (l *Law) Extrapolates(t si.Temperature) bool {
	const margin = 25
	k := l.Kinetics
	return k.Min > 0 && t < k.Min-margin || k.Max > 0 && t > k.Max+margin
}

// defaultsOf fills what almost every epoxy shares. Each is a middle of the
// usual range and yields to the record.
func defaultsOf(r material.Resin) (cp si.SpecificHeat, k si.Conductivity, gel float64) {
	// Liquid epoxy 1700-2100 J/(kg K), cast epoxy 0.18-0.22 W/(m K).
	return r.Cp.Or(usualCp), r.K.Or(0.2), float64(r.GelConversion.Or(si.Fraction(byClass[r.Class].gel.value)))
}

const usualCp = 1900.0

// thickened returns the degree of cure at which the viscosity is so many times
// that of the fresh mix at the same temperature.
func (l *Law) thickened(times float64) (float64, error) {
	rise := func(a float64) float64 { return (flowA+flowB*a)*math.Log(l.Gel/(l.Gel-a)) - math.Log(times) }
	return num.Root(rise, 0, l.Gel*(1-1e-9), 1e-9)
}
