package exchanger

import (
	"math"

	"laywright/internal/base/material"
)

// louvred gives j and f of corrugated fins with louvres between flat tubes.
// Lengths in metres; the angle in degrees, as the correlation has it.
type louvred struct {
	finPitch, finLength, finThick           float64 // F_p, F_l, δ_f
	louvrePitch, louvreLength, louvreDegree float64 // L_p, L_l, θ
	tubePitch, tubeThick, depth             float64 // T_p, D_m, T_d
	hydraulic                               float64 // D_h
	straight
	shape louvredShape
}

// louvredShape is what of j and f hangs on the measures alone, so that a search
// over flows works it out once: j = j·Re^−0.49, f as in [louvred.slow] and [louvred.fast].
type louvredShape struct{ j, slow, slowPower, fast, fastPower float64 }

func newLouvred(r material.Fins, depth, hydraulic float64) louvred {
	l := louvred{
		finPitch: float64(r.Pitch), finLength: float64(r.Height), finThick: float64(r.Thickness),
		louvrePitch: float64(r.LouvrePitch), louvreLength: float64(r.LouvreLength), louvreDegree: r.LouvreAngle.Degrees(),
		tubePitch: float64(r.Height + r.TubeThick), tubeThick: float64(r.TubeThick), depth: depth,
		hydraulic: hydraulic, straight: straightOf(r),
	}
	l.shape = l.shaped()
	return l
}

func (louvred) limits() Limits { return Limits{"the louvred-fin correlation", 100, 3000} }

// ranges are from memory, of [chang-wang1997].
func (l louvred) ranges() []Measure {
	mm := func(name string, x, low, high float64) Measure { return Measure{name, 1000 * x, low, high, "mm"} }
	return []Measure{
		mm("fin pitch", l.finPitch, 0.51, 3.33), mm("louvre pitch", l.louvrePitch, 0.5, 3), mm("gap between tubes", l.finLength, 2.84, 20),
		mm("depth", l.depth, 15.6, 57.4), mm("louvre length", l.louvreLength, 2.13, 18.5), mm("tube pitch", l.tubePitch, 7.51, 25),
		{"louvre angle", l.louvreDegree, 8.4, 35, "deg"},
	}
}

// length is what the Reynolds number is on: the louvre pitch.
func (l louvred) length() float64 { return l.louvrePitch }

// colburn returns j = St·Pr^(2/3).
//
//	j = Re^−0.49 (θ/90)^0.27 (F_p/L_p)^−0.14 (F_l/L_p)^−0.29 (T_d/L_p)^−0.23 (L_l/L_p)^0.68 (T_p/L_p)^−0.28 (δ_f/L_p)^−0.05
//
// Re on the louvre pitch, 100 to 3000; 89 % of its data within 15 %. Below 100
// the air follows the fins instead of the louvres and j is too high.
//
// Source: [chang-wang1997].
func (l louvred) colburn(re, _ float64) float64 { return l.shape.j * math.Pow(re, -0.49) }

// The two branches of the friction law are joined between these.
const (
	slowEnd   = 130.0
	fastStart = 230.0
	// creeping is where the slow branch is left for f ~ 1/Re; its ln(Re/2) has no sense near Re = 2.
	creeping = 20.0
)

// fanning returns the Fanning friction factor, two branches about Re = 150
// joined from 130 to 230:
//
//	f = √{[(1+w)·f₁₃₀² + (1−w)·f₂₃₀²]/2}    w = 3.6 − 0.02·Re
//
// Source: [chang2000], the join [chang2006] (from memory).
func (l louvred) fanning(re float64) float64 {
	switch {
	case re < creeping:
		return l.slow(creeping) * creeping / re
	case re <= slowEnd:
		return l.slow(re)
	case re >= fastStart:
		return l.fast(re)
	}
	w := 3.6 - 0.02*re
	a, b := l.slow(slowEnd), l.fast(fastStart)
	return math.Sqrt(((1+w)*a*a + (1-w)*b*b) / 2)
}

func (l louvred) slow(re float64) float64 {
	return l.shape.slow * math.Pow(re, l.shape.slowPower) * math.Pow(math.Log(0.5*re), -3.01)
}

func (l louvred) fast(re float64) float64 {
	return l.shape.fast * math.Pow(re, l.shape.fastPower) * math.Pow(math.Log(0.3*re), -2.966)
}

// shaped works out the parts of j and of the two branches of f, each a product of
// f₁, f₂ and f₃ in the papers, that do not hang on Re.
func (l louvred) shaped() (s louvredShape) {
	p := l.louvrePitch
	s.j = math.Pow(l.louvreDegree/90, 0.27) * math.Pow(l.finPitch/p, -0.14) * math.Pow(l.finLength/p, -0.29) *
		math.Pow(l.depth/p, -0.23) * math.Pow(l.louvreLength/p, 0.68) *
		math.Pow(l.tubePitch/p, -0.28) * math.Pow(l.finThick/p, -0.05)
	s.slow = 14.39 * math.Pow(math.Log(1+l.finPitch/p), 3.04) *
		math.Pow(math.Log(math.Pow(l.finThick/l.finPitch, 0.48)+0.9), -1.435) * math.Pow(l.hydraulic/p, -3.01) *
		math.Pow(l.finPitch/l.louvreLength, -0.308) * math.Pow(l.depth/l.louvreLength, -0.308) *
		math.Exp(-0.1167*l.tubePitch/l.tubeThick) * math.Pow(l.louvreDegree, 0.35)
	s.slowPower = -0.805 * l.finPitch / l.finLength
	s.fast = 4.97 * math.Pow(math.Log(math.Pow(l.finThick/l.finPitch, 0.5)+0.9), -0.527) *
		math.Pow(l.hydraulic/p, -2.966) * math.Pow(l.finPitch/l.louvreLength, -0.7931*l.tubePitch/(l.tubePitch-l.tubeThick)) *
		math.Pow(l.tubePitch/l.tubeThick, -0.0446) *
		math.Pow(math.Log(1.2+math.Pow(p/l.finPitch, 1.4)), -3.553) * math.Pow(l.louvreDegree, -0.477)
	s.fastPower = 0.6049 - 1.064/math.Pow(l.louvreDegree, 0.2)
	return s
}
