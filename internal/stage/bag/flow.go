package bag

import (
	"fmt"
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/num"
	"laywright/internal/base/si"
)

// History is the pressing over time, from vacuum-on until the resin gels.
type History struct {
	Time      []float64      `json:"time_s"`
	Fraction  []float64      `json:"fibre_fraction"` // mean of the stack
	Viscosity []si.Viscosity `json:"viscosity_Pa_s"`
}

// marks is how many times the pressing is noted, close together at its start.
const marks = 100

// march is a run of the bleeding. Times are stretched, ∫dt/μ.
type march struct {
	s          *stack
	rest       float64   // height of resin lost when pressed home
	takes      float64   // that peel ply and bleeder take
	tau90      float64   // nine tenths of rest are lost; NaN: not reached
	full       float64   // the bleeder is full; NaN: not reached
	due, noted []float64 // times to be noted, and the mean fractions there
	room       []float64 // a state
}

// flow runs the bleeding until the resin gels, or to rest where the viscosity is
// not known. Where the bleeder fills up before, nothing leaves from then on, and
// what resin is left evens out over the stack. A stack laid drier than the push
// would make it does not bleed.
func (s *stack) flow(in Input, r *Result) error {
	rest := s.rest()
	span := stretched(in.Viscosity)
	if len(in.Viscosity) == 0 {
		span = math.Inf(1)
	}
	// Rest takes about one settling. Ten of these are rest.
	limit := min(span, 10*s.settling())
	m := march{s: s, rest: rest, takes: in.takes() / float64(in.ResinRho), tau90: math.NaN(), full: math.NaN(), room: make([]float64, len(s.e))}
	for i := range marks {
		m.due = append(m.due, limit*math.Pow(float64(i)/(marks-1), 3))
	}
	if rest > 0 {
		if err := m.run(limit); err != nil {
			return fmt.Errorf("pressing the stack: %w", err)
		}
	}
	if t, ok := clock(in.Viscosity, m.tau90); ok {
		r.PressedIn = &t
	}
	r.History = m.history(in.Viscosity)
	if rest > 0 && len(in.Viscosity) > 0 && math.IsNaN(m.tau90) && math.IsNaN(m.full) {
		r.tell(gelsFirst(s.lost(s.e) / rest))
	}
	return nil
}

// run goes on to a limit, in two parts where the bleeder fills up on the way.
func (m *march) run(limit float64) error {
	s := m.s
	s.shut = m.takes <= 0
	if s.shut {
		m.full = 0
		return nil
	}
	var brim []float64
	err := m.solve(0, limit, func(step *num.Step) bool {
		if t, ok := step.Crossing(func(_ float64, e []float64) float64 { return s.lost(e) - m.takes }); ok {
			m.full, brim = t, make([]float64, len(s.e))
			step.At(t, brim)
		}
		if t, ok := step.Crossing(func(_ float64, e []float64) float64 { return s.lost(e) - 0.9*m.rest }); ok && math.IsNaN(m.tau90) && !(t > m.full) {
			m.tau90 = t
		}
		m.note(step, min(step.T1(), orEver(m.full)))
		return math.IsNaN(m.full)
	})
	if err != nil || brim == nil {
		return err
	}
	copy(s.e, brim)
	s.shut = true
	return m.solve(m.full, limit, nil)
}

func orEver(t float64) float64 {
	if math.IsNaN(t) {
		return math.Inf(1)
	}
	return t
}

func (m *march) solve(from, to float64, visit func(*num.Step) bool) error {
	n := len(m.s.e)
	problem := num.Problem{N: n, Lower: 1, Upper: 1, Scale: make([]float64, n),
		F: func(_ float64, e, out []float64) { m.s.rate(e, out) }}
	for i := range problem.Scale {
		problem.Scale[i] = 1
	}
	return num.NewSolver(problem, m.s.tolerance(m.rest)).Run(from, to, m.s.e, visit)
}

// note writes down the mean fraction at the times due within a step up to t1.
func (m *march) note(step *num.Step, t1 float64) {
	for n := len(m.noted); n < len(m.due) && m.due[n] <= t1; n++ {
		step.At(m.due[n], m.room)
		m.noted = append(m.noted, m.s.fraction(m.room))
	}
}

// fraction is the mean fibre fraction of the stack.
func (s *stack) fraction(e []float64) float64 {
	solid, all := 0.0, 0.0
	for i := range e {
		solid += s.height[i]
		all += s.height[i] * (1 + e[i])
	}
	return solid / all
}

// history puts what was noted on the clock; from the last note on the fraction
// stays, and the viscosity's own moments go on. None where no viscosity is known.
func (m *march) history(v []Moment) *History {
	if len(v) < 2 {
		return nil
	}
	var h History
	add := func(t si.Time, fraction float64) {
		h.Time, h.Fraction = append(h.Time, drawn5(float64(t))), append(h.Fraction, drawn5(fraction))
		h.Viscosity = append(h.Viscosity, si.Viscosity(drawn5(float64(viscosityAt(v, t)))))
	}
	last := v[0].At
	for i, f := range m.noted {
		if t, ok := clock(v, m.due[i]); ok {
			add(t, f)
			last = t
		}
	}
	for _, x := range v {
		if x.At > last || len(h.Time) == 0 {
			add(x.At, m.s.fraction(m.s.e))
		}
	}
	return &h
}

// drawn5 rounds what is only drawn to five significant digits.
func drawn5(x float64) float64 {
	if x == 0 {
		return 0
	}
	unit := math.Pow(10, math.Floor(math.Log10(math.Abs(x)))-4)
	return math.Round(x/unit) * unit
}

// viscosityAt reads the viscosity at a time between the moments.
func viscosityAt(v []Moment, t si.Time) si.Viscosity {
	for i := 1; i < len(v); i++ {
		if a, b := v[i-1], v[i]; t <= b.At && b.At > a.At {
			return a.Viscosity + si.Viscosity((t-a.At)/(b.At-a.At))*(b.Viscosity-a.Viscosity)
		}
	}
	return v[len(v)-1].Viscosity
}

// bleed turns the end of the flow into masses, bleeder layers and thickness.
func (s *stack) bleed(in Input, r *Result) {
	rho, area := float64(in.ResinRho), float64(in.Area)
	solid, resin := 0.0, 0.0
	for i := range s.e {
		solid += s.height[i]
		resin += s.start[i] * s.height[i]
	}
	out := max(0, s.lost(s.e)) * rho // kg/m^2
	home := max(0, s.rest()) * rho
	r.bleeder(in, out)
	if in.Breather.Use == "" && r.BleederFull > soaked && !s.shut {
		r.tell(noDryFelt(r.BleederFull))
	}
	if takes := in.takes(); s.shut {
		r.tell(bleederFull(in, home, takes))
		out = takes
	}
	r.BledAreal, r.Bled = si.ArealMass(out), si.Mass(out*area)
	left := resin - out/rho
	r.Thickness += si.Length(solid + left)
	r.Fraction = solid / (solid + left)
	for i := 0; i < len(s.e); i += cellsEach {
		mean := 0.0
		for _, e := range s.e[i : i+cellsEach] {
			mean += e / cellsEach
		}
		r.ByPly = append(r.ByPly, 1/(1+mean))
	}
}

// bleeder chooses the layers of bleeder where that is left open, and says why.
func (r *Result) bleeder(in Input, out float64) {
	peel, each := float64(in.PeelPly.Uptake.Or(0)), float64(holds(in.Bleeder, in.ResinRho))
	past := max(0, out-peel)
	if in.solidFilm() {
		past = 0
	}
	if !in.Spec.BleederPlies.Given && each > 0 {
		r.BleederPlies = max(1, int(math.Ceil(past/(fullShare*each))))
	}
	holds := each * float64(r.BleederPlies)
	r.BleederWhy = fmt.Sprintf("%.0f g/m² go past the peel ply", 1000*past)
	if holds > 0 {
		r.BleederFull = min(1, past/holds)
		r.BleederWhy += fmt.Sprintf(", and %s would hold %.0f g/m²; half of that is counted on, so that air still passes", fault.Count(r.BleederPlies, "layer", "layers"), 1000*holds)
	}
}
