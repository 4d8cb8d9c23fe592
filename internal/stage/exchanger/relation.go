package exchanger

import (
	"fmt"
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/num"
)

// Flow says how the two streams meet within one pass of the core.
type Flow string

// The flows of one pass. Tubes in one bank with fins between them are Cross.
// The last three have no face to divide, so they take one pass only.
const (
	Cross            Flow = "cross"              // both streams unmixed
	CrossLiquidMixed Flow = "cross-liquid-mixed" // the liquid mixes on its way
	CrossAirMixed    Flow = "cross-air-mixed"    // the air mixes on its way
	CrossBothMixed   Flow = "cross-both-mixed"
	Counter          Flow = "counter"
	Parallel         Flow = "parallel"
	ShellAndTube     Flow = "shell-and-tube" // one shell pass, two tube passes
)

// Divisible tells whether separators can divide the core's face.
func (f Flow) Divisible() bool {
	return f == Cross || f == CrossLiquidMixed || f == CrossAirMixed || f == CrossBothMixed
}

// AirEffectiveness returns (T_air,out − T_air,in)/(T_liquid,in − T_air,in) of
// one pass, for the conductance ua and the heat capacity rates of air and
// liquid (all W/K).
//
//	P = ε·C_min/C_air    ε = ε(UA/C_min, C_min/C_max)
func (f Flow) AirEffectiveness(ua, air, liquid float64) float64 {
	least, most := math.Min(air, liquid), math.Max(air, liquid)
	ntu, ratio := ua/least, least/most
	return f.effectiveness(ntu, ratio, air <= liquid) * least / air
}

func (f Flow) effectiveness(ntu, ratio float64, airIsLeast bool) float64 {
	switch f {
	case CrossLiquidMixed, CrossAirMixed:
		if (f == CrossAirMixed) == airIsLeast {
			return CrossLeastMixed(ntu, ratio)
		}
		return CrossMostMixed(ntu, ratio)
	case CrossBothMixed:
		return CrossMixed(ntu, ratio)
	case Counter:
		return CounterFlow(ntu, ratio)
	case Parallel:
		return ParallelFlow(ntu, ratio)
	case ShellAndTube:
		return OneShellTwoTube(ntu, ratio)
	}
	return CrossFlow(ntu, ratio)
}

// manyUnits is where CrossFlow stops counting transfer units: e^−NTU would
// leave the range of float64, and ε no longer moves in its third digit.
const manyUnits = 600

// CrossFlow returns the effectiveness of crossing streams, both unmixed.
//
//	ε = 1/(C·N) Σ_{n≥0} [1 − e^−N Σ_{j≤n} N^j/j!]·[1 − e^−CN Σ_{j≤n} (CN)^j/j!]
//
// N is the number of transfer units UA/C_min, C the ratio C_min/C_max (0 to 1).
// Exact; the series ends when a term no longer counts. N above 600 is taken as 600.
//
// Source: [mason1955].
func CrossFlow(ntu, ratio float64) float64 {
	n := math.Min(ntu, manyUnits)
	c := n * ratio
	if c < 1e-9 { // the limit C → 0, to first order
		return -math.Expm1(-n) * (1 - c/2)
	}
	if n == 0 {
		return 0
	}
	p, q := math.Exp(-n), math.Exp(-c) // Poisson terms
	left, right := 1-p, 1-q            // tails beyond them
	sum := 0.0
	for k := 1; ; k++ {
		term := left * right
		sum += term
		if term < 1e-16*sum || k > 4*manyUnits {
			return math.Min(sum/c, 1) // rounding may pass 1 by some 1e-16
		}
		p *= n / float64(k)
		q *= c / float64(k)
		left, right = math.Max(left-p, 0), math.Max(right-q, 0)
	}
}

// CounterFlow returns the effectiveness of streams that run against each other:
// the most that any arrangement can give.
//
//	ε = (1−E)/(1−C·E)   E = e^−N(1−C)      C = 1: ε = N/(1+N)
//
// Source: [incropera2007] eq. 11.29.
func CounterFlow(ntu, ratio float64) float64 {
	if 1-ratio < 1e-9 {
		return ntu / (1 + ntu)
	}
	x := ntu * (1 - ratio)
	return -math.Expm1(-x) / (1 - ratio*math.Exp(-x))
}

// ParallelFlow returns the effectiveness of streams that run side by side.
//
//	ε = (1 − e^−N(1+C))/(1+C)
//
// Source: [incropera2007] eq. 11.28.
func ParallelFlow(ntu, ratio float64) float64 {
	return -math.Expm1(-ntu*(1+ratio)) / (1 + ratio)
}

// CrossMostMixed returns the effectiveness of crossing streams of which the one
// with the greater heat capacity rate is mixed.
//
//	ε = (1/C)·(1 − e^−C(1−e^−N))
//
// Source: [incropera2007] eq. 11.33.
func CrossMostMixed(ntu, ratio float64) float64 {
	x := -math.Expm1(-ntu)
	return shrink(x, ratio)
}

// CrossLeastMixed returns the effectiveness of crossing streams of which the
// one with the lesser heat capacity rate is mixed.
//
//	ε = 1 − e^−(1−e^−CN)/C
//
// Source: [incropera2007] eq. 11.34.
func CrossLeastMixed(ntu, ratio float64) float64 {
	return -math.Expm1(-shrink(ntu, ratio))
}

// shrink is (1 − e^−cx)/c, which is x at c = 0.
func shrink(x, c float64) float64 {
	if c < 1e-9 {
		return x
	}
	return -math.Expm1(-c*x) / c
}

// CrossMixed returns the effectiveness of crossing streams, both mixed.
//
//	ε = 1/[1/(1−e^−N) + C/(1−e^−CN) − 1/N]
//
// It falls again above N of about 3: mixing of both streams then costs more
// than the area brings. Source: [kays-london1984].
func CrossMixed(ntu, ratio float64) float64 {
	if ntu < 1e-9 {
		return ntu
	}
	return 1 / (-1/math.Expm1(-ntu) + 1/shrink(ntu, ratio) - 1/ntu)
}

// OneShellTwoTube returns the effectiveness of one shell pass and two tube passes.
//
//	ε = 2/{1 + C + g·(1+e^−gN)/(1−e^−gN)}   g = √(1+C²)
//
// Source: [incropera2007] eq. 11.30.
func OneShellTwoTube(ntu, ratio float64) float64 {
	g := math.Hypot(1, ratio)
	return 2 / (1 + ratio + g/math.Tanh(g*ntu/2))
}

// conductance returns the UA (W/K) at which one pass has the air effectiveness p.
func (f Flow) conductance(p, air, liquid float64, field string) (float64, error) {
	least := math.Min(air, liquid)
	const most = 50.0 // transfer units; a test point beyond it fixes nothing
	miss := func(ntu float64) float64 { return f.AirEffectiveness(ntu*least, air, liquid) - p }
	if !(miss(0) < 0 && miss(most) > 0) {
		return 0, &fault.Input{Field: field, What: fmt.Sprintf("means %.3g of all the heat that air and liquid could exchange, and a core of flow %s gives no more than %.3g",
			p*air/least, f, f.AirEffectiveness(most*least, air, liquid)*air/least), Do: "look at flows and temperatures of this point, or at core.flow"}
	}
	ntu, err := num.Root(miss, 0, most, 1e-12)
	return ntu * least, err
}
