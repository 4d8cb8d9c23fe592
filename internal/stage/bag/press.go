package bag

import (
	"errors"
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

const (
	// kozeny is k0 of the transverse permeability. Source: [lam-kardos1991].
	kozeny = 11.0
	// fullShare is how full a bleeder may get: a soaked one stops the air.
	// Common practice, no source.
	fullShare = 0.5
	// cells in each cloth, and in the stack at least: finer ones move the times by
	// 0.1 %.
	cellsEach, cellsLeast = 6, 24
	maxPlies              = 400
	// pressTolerance is the error a step may make, as a share of the change of the
	// void ratio.
	pressTolerance = 1e-5
)

// press finds how far the stack is pressed and what resin leaves it.
func press(in Input, r *Result) error {
	r.Thickness = in.CoreThick
	r.BleederPlies = 1
	if in.Spec.BleederPlies.Given {
		r.BleederPlies = in.Spec.BleederPlies.Value
		if err := fault.Check("bag.bleeder_plies", float64(r.BleederPlies), 0, 20, "", "layers of bleeder"); err != nil {
			return err
		}
	}
	if len(in.Stack) == 0 {
		return nil
	}
	if err := errors.Join(checkStack(in.Stack), in.checkFace()); err != nil {
		return err
	}
	s := newStack(in.Stack, float64(r.Used))
	s.face = in.faceResistance()
	r.FaceResistance = si.Curvature(s.face)
	if err := s.flow(in, r); err != nil {
		return err
	}
	s.bleed(in, r)
	s.atGel(in, r)
	s.judge(in, r)
	return nil
}

func checkStack(stack []Cloth) error {
	if len(stack) > maxPlies {
		return &fault.Range{Field: "laminate.stack", Value: float64(len(stack)), Min: 1, Max: maxPlies, Why: "cloths in one stack"}
	}
	for i, c := range stack {
		at := fault.Numbered("laminate.stack", i)
		err := errors.Join(
			fault.Check(at+".fibre_fraction", c.Fraction, 0.05, 0.75, "", "what cloth can hold as laid"),
			fault.Check(at+".fabric compacted_fraction", c.CompactedAt, 0.2, 0.8, "", "cloth under one bar"),
			fault.Check(at+".fabric compaction_exponent", c.Exponent, 0.01, 0.5, "", "measured cloths lie between"),
			fault.Check(at+".fabric areal_mass", float64(c.Areal), 1e-3, 10, " kg/m^2", "cloth"),
			fault.Check(at+".fibre density", float64(c.FibreRho), 500, 10000, " kg/m^3", "fibres"))
		if err != nil {
			return err
		}
	}
	return nil
}

// stack is the laminate in material coordinates: cells of solid height, from
// the mould face. The state is the void ratio e = (1−V)/V of each.
type stack struct {
	cloth    []Cloth // of each cell
	height   []float64
	e, start []float64
	push     float64 // Pa, the air's push on the stack
	face     float64 // 1/m, what lies on the stack against its resin
	shut     bool    // nothing leaves any more
}

func newStack(cloths []Cloth, push float64) *stack {
	s := &stack{push: push}
	cells := max(cellsEach, cellsLeast/len(cloths))
	for _, c := range cloths {
		for range cells {
			s.cloth = append(s.cloth, c)
			s.height = append(s.height, float64(c.Areal)/float64(c.FibreRho)/float64(cells))
			s.e = append(s.e, (1-c.Fraction)/c.Fraction)
		}
	}
	s.start = append([]float64{}, s.e...)
	return s
}

// bedStress is what the fibres carry at fibre fraction v.
//
//	σ = 1 bar·(v/V₁)^(1/b)
//
// V₁ is the fraction under one bar, b the exponent. Holds for woven cloth from
// about 1 to 200 kPa. Source: compaction power law, constants are common
// practice without a published source.
func (c Cloth) bedStress(v float64) float64 {
	return 1e5 * math.Pow(v/c.CompactedAt, 1/c.Exponent)
}

// permeability is that of resin across the fibres.
//
//	S = r²/(4·k₀)·(1−v)³/v²
//
// It leaves out the gaps between yarns, which carry 1 to 10 times as much, so
// times from it are upper bounds. Source: [lam-kardos1991].
func (c Cloth) permeability(v float64) float64 {
	r := float64(c.Radius)
	return r * r / (4 * kozeny) * math.Pow(1-v, 3) / (v * v)
}

// rate is ∂e/∂τ of every cell in the stretched time dτ = dt/μ:
//
//	∂e/∂τ = −∂/∂m ( S·v·∂σ/∂m ),  σ = push beyond the sheets on the bag face, no flow at the mould
//
// Source: [gutowski1987] in the material coordinate m, the height of solid.
func (s *stack) rate(e, out []float64) {
	n := len(e)
	below := 0.0
	sigma, mobility := s.cell(0, e[0])
	for i := range n {
		var flux float64
		nextSigma, nextMobility := s.push, mobility
		if i+1 < n {
			nextSigma, nextMobility = s.cell(i+1, e[i+1])
			resist := s.height[i]/2/mobility + s.height[i+1]/2/nextMobility
			flux = (nextSigma - sigma) / resist
		} else if !s.shut {
			flux = (s.push - sigma) / (s.height[i]/2/mobility + s.face)
		}
		out[i] = -(flux - below) / s.height[i]
		below, sigma, mobility = flux, nextSigma, nextMobility
	}
}

func (s *stack) cell(i int, e float64) (sigma, mobility float64) {
	v := 1 / (1 + max(e, 0.05))
	return s.cloth[i].bedStress(v), s.cloth[i].permeability(v) * v
}

// lost is the height of resin that has left so far, m.
func (s *stack) lost(e []float64) (sum float64) {
	for i := range e {
		sum += (s.start[i] - e[i]) * s.height[i]
	}
	return sum
}

// rest is the height lost when the fibres carry all of the push.
func (s *stack) rest() (sum float64) {
	for i, c := range s.cloth {
		v := c.CompactedAt * math.Pow(s.push/1e5, c.Exponent)
		sum += (s.start[i] - (1-v)/v) * s.height[i]
	}
	return sum
}

// tolerance is the error a step may make in the void ratio: a share of the mean
// change on the way to rest.
func (s *stack) tolerance(rest float64) float64 {
	solid := 0.0
	for _, h := range s.height {
		solid += h
	}
	return pressTolerance * min(1, rest/solid)
}

// settling is M²/D + M·R/(−dσ/de), the time scale of the pressing in stretched
// time, with D = S·v·(−dσ/de) at the mean of the start and the end, and R what lies
// on the stack.
func (s *stack) settling() float64 {
	height, slowest, softest := 0.0, math.Inf(1), math.Inf(1)
	for i, c := range s.cloth {
		height += s.height[i]
		v := (1/(1+s.start[i]) + c.CompactedAt*math.Pow(s.push/1e5, c.Exponent)) / 2
		slope := c.bedStress(v) / c.Exponent * v // −dσ/de = σ'(v)·v²
		slowest, softest = min(slowest, c.permeability(v)*v*slope), min(softest, slope)
	}
	return height*height/slowest + height*s.face/softest
}

// stretched is ∫dt/μ over the moments.
func stretched(m []Moment) (tau float64) {
	for i := 1; i < len(m); i++ {
		tau += fluidity(m[i-1], m[i])
	}
	return tau
}

func fluidity(a, b Moment) float64 {
	return float64(b.At-a.At) * (1/float64(a.Viscosity) + 1/float64(b.Viscosity)) / 2
}

// clock turns stretched time back into seconds.
func clock(m []Moment, tau float64) (si.Time, bool) {
	for i := 1; i < len(m); i++ {
		step := fluidity(m[i-1], m[i])
		if tau <= step {
			return m[i-1].At + si.Time(tau/step)*(m[i].At-m[i-1].At), true
		}
		tau -= step
	}
	return 0, false
}
