package cure

import (
	"math"

	"laywright/internal/base/num"
	"laywright/internal/base/si"
	"laywright/internal/stage/probes"
)

// beside puts the measured air beside what the laminate did. Past the log's end
// the air is what the laminate has been told to follow.
func (w *watch) beside(air probes.Probe) {
	end := air.X[len(air.X)-1]
	h := w.history
	h.air = append([]float64{}, h.air...)
	w.lag = 0
	for i, t := range h.time {
		if t > end {
			break
		}
		h.air[i] = num.Linear(air.X, air.Y, t)
		w.lag = math.Max(w.lag, h.air[i]-h.temp[i])
	}
	w.history = h
}

// state reads how the part stands at the log's end.
func (l *logged) state(w *watch) (*State, error) {
	s := &State{At: l.end(), Degree: min(max(w.least(&w.now), 0), 1)}
	s.Tg = l.in.Law.Glass.Transition(s.Degree)
	s.Gelled, s.Firm = w.least(&w.now) >= l.in.Law.Gel, true
	s.Coldest, s.Warmest = kelvin(math.Inf(1)), kelvin(math.Inf(-1))
	for _, c := range l.courses {
		t := kelvin(c.now.now.temp[c.now.middle()])
		s.Coldest, s.Warmest = min(s.Coldest, t), max(s.Warmest, t)
		s.Firm = s.Firm && c.now.firmness(&c.now.now) >= 0
	}
	low, high, open, err := l.leftOpen()
	if err == nil && open {
		s.Low, s.High = &low, &high
	}
	return s, err
}

// end is when the log ends, from the first mixing.
func (l *logged) end() (t si.Time) {
	for _, c := range l.courses {
		t = max(t, c.line.X[len(c.line.X)-1])
	}
	return t
}

// leftOpen brackets the least degree of cure over what may have been in the gaps
// of the log: see [probes.Probe.Coldest].
func (l *logged) leftOpen() (low, high float64, open bool, err error) {
	low, high = 1, 1
	floor, ceiling := float64(l.in.Shop), 0.0
	for _, p := range l.all {
		if p.Bad == "" {
			floor, ceiling = min(floor, p.Lowest), max(ceiling, p.Highest)
		}
	}
	for _, c := range l.courses {
		open = open || len(c.probe.Gaps) > 0
		for _, side := range []struct {
			line  func(float64) ([]float64, []float64)
			bound float64
			into  *float64
		}{{c.probe.Coldest, floor, &low}, {c.probe.Warmest, ceiling, &high}} {
			if len(c.probe.Gaps) == 0 {
				a := c.now.least(&c.now.now)
				*side.into = min(*side.into, a)
				continue
			}
			curve, err := l.onMixing(side.line(side.bound))
			if err != nil {
				return 0, 0, false, err
			}
			a, err := l.cured(curve)
			if err != nil {
				return 0, 0, false, err
			}
			*side.into = min(*side.into, a)
		}
	}
	return low, high, open, nil
}

// cured is the degree of cure of resin that follows a curve from the first mixing.
func (l *logged) cured(c Curve) (float64, error) {
	walk := l.in.Law.StartWithin(0, coarse)
	for _, p := range pieces(c, 0, l.in.Shop) {
		if err := walk.Follow(si.Time(p.t0), si.Time(p.t1), kelvin(p.a), kelvin(p.b), nil); err != nil {
			return 0, err
		}
	}
	return walk.Degree(), nil
}

// until is a curve up to the time t (s), held on at its end where it is shorter.
func until(c Curve, t float64) (out Curve) {
	for i, x := range c.X {
		if float64(x) < t {
			out.X, out.Y = append(out.X, x), append(out.Y, c.Y[i])
		}
	}
	return Curve{X: append(out.X, si.Time(t)), Y: append(out.Y, reading(c, si.Time(t)))}
}

// states lists the probes as the plan shows them.
func (l *logged) states() (out []ProbeState) {
	for i := range l.all {
		p := &l.all[i]
		s := ProbeState{Name: p.Name, Role: p.Role, Spikes: p.Spikes, Gaps: len(p.Gaps), Bad: p.Bad, History: Line{Time: []float64{}, Temperature: []si.Temperature{}}}
		if len(p.X) > 0 {
			s.Lowest, s.Highest, s.HighestAt = kelvin(p.Lowest), kelvin(p.Highest), si.Time(p.HighestAt+l.starts)
			s.History = l.drawn(*p)
		}
		for _, c := range l.courses {
			if c.probe == p {
				a := min(max(c.now.least(&c.now.now), 0), 1)
				tg := l.in.Law.Glass.Transition(a)
				s.Followed, s.Degree, s.Tg = true, &a, &tg
			}
		}
		out = append(out, s)
	}
	return out
}

// drawn is a probe's line in as many points as a picture can show.
func (l *logged) drawn(p probes.Probe) (out Line) {
	const most = 200
	x, y := p.X, p.Y
	for by := 0.1; len(x) > most && by < 20; by *= 1.6 { // K
		x, y = probes.ThinBy(x, y, by)
	}
	for i := range x {
		out.Time, out.Temperature = append(out.Time, math.Round(10*(x[i]+l.starts))/10), append(out.Temperature, milli(y[i]))
	}
	return out
}
