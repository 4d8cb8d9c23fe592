package num

import (
	"math"

	"laywright/internal/base/fault"
)

// Problem is the system dy/dt = F(t, y) in N variables.
type Problem struct {
	N int
	F func(t float64, y, dy []float64)
	// Lower and Upper are the half-widths of the band in which ∂F/∂y lies.
	// Variables that act on each other should stand close together.
	Lower, Upper int
	// Scale is a usual size of each variable. Errors are held to a share of the
	// larger of Scale and |y|, and derivatives are taken over a small part of it.
	Scale []float64
}

// Solver steps a stiff system with an error-controlled method of order 4. It
// keeps its work space and its step length from run to run, so that a long
// history can be integrated in pieces between kinks.
type Solver struct {
	T     float64 // the time reached by the last run
	Steps int     // accepted steps of all runs
	Tried int     // accepted and rejected steps

	p          Problem
	tol        float64
	h          float64 // the next step to try; 0: not known
	stale      bool    // the derivatives belong to an earlier state
	jac, w     *Banded
	f0, f1     []float64
	k          [stages][]float64 // the method's increments
	ft, y1, at []float64
	moved      []float64
}

// stepLimit bounds one run.
const stepLimit = 200_000

// NewSolver returns a solver that holds the error of a step to tol times the
// larger of Scale and the variable's size.
func NewSolver(p Problem, tol float64) *Solver {
	n := p.N
	v := func() []float64 { return make([]float64, n) }
	s := &Solver{p: p, tol: tol,
		jac: NewBanded(n, p.Lower, p.Upper), w: NewBanded(n, p.Lower, p.Upper),
		f0: v(), f1: v(), ft: v(), y1: v(), at: v(), moved: v()}
	for i := range s.k {
		s.k[i] = v()
	}
	return s
}

// Run integrates from t0 to t1 and leaves the state in y. F should be smooth in
// between: call Run once a piece of a broken line. After each step visit is
// called, if it is not nil; where it returns false the run ends with that step
// and y and T say where.
//
// Method: a Rosenbrock pair of order 4(3) in six stages, made for the equations
// that heat in a wall is cut into,
//
//	(1/(hγ) − J)·kᵢ = f(t + αᵢh, y₀ + Σaᵢⱼkⱼ) + Σcᵢⱼkⱼ/h + h·dᵢ·∂f/∂t
//	y₁ = y₀ + Σa₆ⱼkⱼ + k₆,  error k₆
//
// L-stable, and of its order also where a wall's air changes with time. J is taken
// by differences, several columns of the band at once; of it the method needs some
// seven digits, which differences give.
//
// Source: [steinebach1995].
func (s *Solver) Run(t0, t1 float64, y []float64, visit func(*Step) bool) error {
	s.T = t0
	if !(t1 > t0) {
		return nil
	}
	s.p.F(t0, y, s.f0)
	s.stale = true
	if s.h <= 0 {
		s.h = s.firstStep(y, t1-t0)
	}
	for tries := 0; s.T < t1; tries++ {
		if tries > stepLimit || !(s.h > 16*epsilon*math.Max(math.Abs(s.T), t1-t0)) {
			return &fault.NoSolution{What: "the course over time", Steps: tries, Residual: s.h,
				Do: "the rates are too steep or not numbers; look at the constants of the law"}
		}
		if !s.advance(t1, y, visit) {
			return nil
		}
	}
	return nil
}

// advance tries one step; a rejected one only shortens h. It reports whether
// the run goes on.
func (s *Solver) advance(t1 float64, y []float64, visit func(*Step) bool) bool {
	h, whole := s.h, s.h
	if left := t1 - s.T; h >= left*(1-1e-10) {
		h = left
	} else if h > left/2 {
		h = left / 2 // two even steps rather than a long and a tiny one
	}
	if s.stale {
		s.jacobian(y, h)
		s.stale = false
	}
	s.Tried++
	size := s.try(h, y)
	if !(size <= 1) {
		s.h = h * math.Max(0.1, 0.85*math.Pow(size, -1.0/4))
		if size-size != 0 {
			s.h = h / 10
		}
		return true
	}
	s.Steps++
	s.stale = true
	s.h = h * math.Min(5, 0.85*math.Pow(math.Max(size, 1e-12), -1.0/4))
	if h < whole {
		s.h = math.Max(s.h, whole) // the end of the piece, not the error, cut it
	}
	st := &Step{T0: s.T, H: h, solver: s, y0: y}
	if h == t1-s.T {
		s.T = t1
	} else {
		s.T += h
	}
	goOn := visit == nil || visit(st)
	copy(y, s.y1)
	s.p.F(s.T, y, s.f0)
	return goOn && s.T < t1
}

// try computes a step of length h into y1 and returns its error over the
// tolerance: NaN where the step can't be taken, which a shorter one may.
func (s *Solver) try(h float64, y []float64) float64 {
	for i, v := range s.jac.a {
		s.w.a[i] = -v
	}
	for i := range s.p.N {
		s.w.Add(i, i, 1/(h*gamma))
	}
	if s.w.Factor() != nil {
		return math.NaN()
	}
	for i := range stages {
		f := s.f0
		if i > 0 {
			copy(s.y1, y)
			gather(s.y1, stageState[i][:i], s.k[:i])
			s.p.F(s.T+stageTime[i]*h, s.y1, s.f1)
			f = s.f1
		}
		k := s.k[i]
		copy(k, f)
		clear(s.at)
		gather(s.at, stageCouple[i][:i], s.k[:i])
		for j := range k {
			k[j] += s.at[j]/h + stageDrift[i]*h*s.ft[j]
		}
		s.w.Solve(k)
	}
	worst := 0.0
	for i, d := range s.k[stages-1] {
		s.y1[i] += d
		e := math.Abs(d) / (s.tol * s.size(i, math.Max(math.Abs(y[i]), math.Abs(s.y1[i]))))
		if !(e <= worst) {
			worst = e // a NaN stays and rejects the step
		}
	}
	return worst
}

func (s *Solver) size(i int, y float64) float64 { return math.Max(s.p.Scale[i], y) }

// firstStep takes a small part of the time in which a variable changes by its size.
func (s *Solver) firstStep(y []float64, span float64) float64 {
	fastest := 1 / span
	for i, f := range s.f0 {
		fastest = math.Max(fastest, math.Abs(f)/s.size(i, math.Abs(y[i])))
	}
	return math.Min(span, 0.1*math.Sqrt(math.Sqrt(s.tol))/fastest)
}

// difference is the part of a variable's size over which derivatives are taken:
// about the root of the spacing of float64, where rounding and curvature balance.
const difference = 1e-7

// jacobian fills ∂F/∂y and ∂F/∂t at (T, y), where f0 holds F. Columns a band's
// width apart touch different rows, so they are moved together.
func (s *Solver) jacobian(y []float64, h float64) {
	s.jac.Clear()
	n, low, up := s.p.N, s.jac.lower, s.jac.upper
	for first := range min(n, low+up+1) {
		copy(s.at, y)
		for j := first; j < n; j += low + up + 1 {
			s.at[j] += difference * s.size(j, math.Abs(y[j]))
			s.moved[j] = s.at[j] - y[j]
		}
		s.p.F(s.T, s.at, s.f1)
		for j := first; j < n; j += low + up + 1 {
			for i := max(0, j-up); i <= min(n-1, j+low); i++ {
				s.jac.Set(i, j, (s.f1[i]-s.f0[i])/s.moved[j])
			}
		}
	}
	later := s.T + 1e-6*h // of first order in a share of the step so small that it does not show in a method of order 4
	s.p.F(later, y, s.f1)
	dt := later - s.T
	for i := range s.ft {
		s.ft[i] = (s.f1[i] - s.f0[i]) / dt
	}
}
