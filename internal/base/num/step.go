package num

// Step is one accepted step of a [Solver]. It is valid only while visit runs.
type Step struct {
	T0, H  float64
	solver *Solver
	y0     []float64
}

// T1 returns the time at the end of the step.
func (s *Step) T1() float64 { return s.T0 + s.H }

// Start returns the state at the start of the step. It must not be kept.
func (s *Step) Start() []float64 { return s.y0 }

// End returns the state at the end of the step. It must not be kept.
func (s *Step) End() []float64 { return s.solver.y1 }

// At writes the state at time t within the step into y, by the cubic that belongs
// to the method, with s the share of the step gone by:
//
//	y = (1−s)·y₀ + s·[y₁ + (1−s)·(u + s·v)]    u = Σuⱼkⱼ, v = Σvⱼkⱼ
//
// Source: [steinebach1995].
func (s *Step) At(t float64, y []float64) {
	x := (t - s.T0) / s.H
	var weight [stages]float64
	for j := range weight {
		weight[j] = x * (1 - x) * (denseFirst[j] + x*denseSecond[j])
	}
	for i := range y {
		y[i] = (1-x)*s.y0[i] + x*s.solver.y1[i]
	}
	gather(y, weight[:], s.solver.k[:])
}

// Crossing returns the time within the step at which g rises through 0. It
// looks at the ends only: a g that rises and falls again within is not seen.
func (s *Step) Crossing(g func(t float64, y []float64) float64) (float64, bool) {
	if g(s.T0, s.y0) > 0 || g(s.T1(), s.End()) < 0 {
		return 0, false
	}
	y := make([]float64, len(s.y0))
	t, err := Root(func(t float64) float64 { s.At(t, y); return g(t, y) }, s.T0, s.T1(), 1e-9*s.H)
	return t, err == nil
}
