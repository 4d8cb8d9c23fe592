package exchanger

import (
	"math"

	"laywright/internal/base/material"
)

// The flow in a straight channel is laminar below laminarEnd, turbulent above
// turbulentStart, and taken between the two on a straight line in Re.
const (
	laminarEnd     = 2300.0
	turbulentStart = 4000.0
)

// LaminarFriction returns f·Re (Fanning) of developed laminar flow in a
// rectangle of sides a:1, a from 0 (plates) to 1 (square).
//
// Source: [shah-london1978].
func LaminarFriction(a float64) float64 {
	return 24 * poly(a, 1, -1.3553, 1.9467, -1.7012, 0.9564, -0.2537)
}

// LaminarNusseltT returns Nu of the same flow with walls of one temperature.
//
// Source: [shah-london1978].
func LaminarNusseltT(a float64) float64 {
	return 7.541 * poly(a, 1, -2.610, 4.970, -5.119, 2.702, -0.548)
}

// LaminarNusseltH returns Nu of the same flow with one heat flux along the
// channel and one wall temperature around it.
//
// Source: [shah-london1978].
func LaminarNusseltH(a float64) float64 {
	return 8.235 * poly(a, 1, -2.0421, 3.0853, -2.4765, 1.0578, -0.1861)
}

// entranceExcess returns K(∞), the pressure that a laminar flow spends on
// reaching its shape, in velocity heads.
//
// Source: [shah-london1978].
func entranceExcess(a float64) float64 {
	return poly(a, 0.6796, 1.2197, 3.3089, -9.5921, 8.9089, -2.9959)
}

func poly(x float64, c ...float64) float64 {
	sum := 0.0
	for i := len(c) - 1; i >= 0; i-- {
		sum = sum*x + c[i]
	}
	return sum
}

// channel is a straight rectangular passage: between plain fins, or in a flat tube.
type channel struct {
	aspect    float64 // short side over long
	hydraulic float64 // m
	along     float64 // m
	round     bool    // a pipe, whatever the aspect
	flux      bool    // walls carry one heat flux (a liquid's tube in crossing air) instead of one temperature
}

func newChannel(a, b, along float64) channel {
	return channel{aspect: math.Min(a, b) / math.Max(a, b), hydraulic: 2 * a * b / (a + b), along: along}
}

// nusselt returns the mean Nu over the length. Laminar: the developed value with
// the [entryExcess] of plates added, which is exact for plates only. Turbulent:
// Gnielinski on the hydraulic diameter. Between Re 2300 and 4000 a straight line
// joins them.
//
// Source: [shah-london1978], [gnielinski1976].
func (c channel) nusselt(re, pr float64) float64 {
	if re >= turbulentStart {
		return gnielinski(re, pr)
	}
	laminar := c.laminarNusselt(math.Min(re, laminarEnd), pr)
	if re <= laminarEnd {
		return laminar
	}
	s := (re - laminarEnd) / (turbulentStart - laminarEnd)
	return laminar + s*(gnielinski(turbulentStart, pr)-laminar)
}

func (c channel) laminarNusselt(re, pr float64) float64 {
	if c.round {
		return hausen(c.along / (c.hydraulic * re * pr))
	}
	developed := LaminarNusseltT(c.aspect)
	if c.flux {
		developed = LaminarNusseltH(c.aspect)
	}
	return developed + entryExcess(c.along/(c.hydraulic*re*pr), pr)
}

// hausen returns the mean Nu of laminar flow in a pipe of one wall temperature, at
// x = L/(D·Re·Pr).
//
//	Nu = 3.66 + 0.0668/x/(1 + 0.04·x^−⅔)
//
// Source: [hausen1943], from memory.
func hausen(x float64) float64 { return 3.66 + 0.0668/x/(1+0.04*math.Pow(x, -2.0/3)) }

// entryExcess returns by how much the mean Nu of laminar flow between plates
// exceeds the developed 7.541, at x = L/(D_h·Re·Pr): the greater of velocity and
// temperature growing together (air),
//
//	0.024·x^−1.14/(1 + 0.0358·Pr^0.17·x^−0.64)
//
// and temperature growing in a developed flow (thick liquids), Nu of which is
// 1.849·x^−⅓ to x = 0.0005, that and 0.6 to 0.006, then 7.541 + 0.0235/x.
//
// Source: [shah-london1978], from memory; the first is Stephan's.
func entryExcess(x, pr float64) float64 {
	together := 0.024 * math.Pow(x, -1.14) / (1 + 0.0358*math.Pow(pr, 0.17)*math.Pow(x, -0.64))
	var thermal float64
	switch {
	case x <= 0.0005:
		thermal = 1.849*math.Pow(x, -1.0/3) - 7.541
	case x <= 0.006:
		thermal = 1.849*math.Pow(x, -1.0/3) + 0.6 - 7.541
	default:
		thermal = 0.0235 / x
	}
	return max(together, thermal)
}

// gnielinski returns Nu of turbulent flow in a smooth pipe.
//
//	Nu = (ξ/8)(Re − 1000)Pr/(1 + 12.7√(ξ/8)(Pr^⅔ − 1))    ξ = (0.790·ln Re − 1.64)^−2
//
// Source: [gnielinski1976].
func gnielinski(re, pr float64) float64 {
	x := math.Pow(0.790*math.Log(re)-1.64, -2) / 8
	return x * (re - 1000) * pr / (1 + 12.7*math.Sqrt(x)*(math.Pow(pr, 2.0/3)-1))
}

// friction returns the mean Fanning factor over the length, the entrance included.
func (c channel) friction(re float64) float64 {
	excess, product := entranceExcess(c.aspect), LaminarFriction(c.aspect)
	if c.round {
		excess, product = pipeExcess, pipeFriction
	}
	entry := excess * c.hydraulic / (4 * c.along)
	laminar := product/math.Min(re, laminarEnd) + entry
	if re <= laminarEnd {
		return laminar
	}
	smooth := func(re float64) float64 { return math.Pow(0.790*math.Log(re)-1.64, -2)/4 + entry }
	if re >= turbulentStart {
		return smooth(re)
	}
	s := (re - laminarEnd) / (turbulentStart - laminarEnd)
	return laminar + s*(smooth(turbulentStart)-laminar)
}

// K(∞) and f·Re of laminar flow in a pipe. Source: [shah-london1978].
const (
	pipeExcess   = 1.25
	pipeFriction = 16.0
)

// plain gives j and f of plain fins as a bank of rectangular channels.
type plain struct {
	channel
	straight
}

func newPlain(r material.Fins, depth float64) plain {
	return plain{newChannel(float64(r.Pitch-r.Thickness), float64(r.Height-r.Thickness), depth), straightOf(r)}
}

func (plain) limits() Limits { return Limits{"the plain-fin duct theory", 10, 20000} }

func (plain) ranges() []Measure { return nil }

func (p plain) length() float64 { return p.hydraulic }

// colburn returns j = Nu/(Re·Pr^⅓).
func (p plain) colburn(re, pr float64) float64 { return p.nusselt(re, pr) / (re * math.Cbrt(pr)) }

func (p plain) fanning(re float64) float64 { return p.friction(re) }
