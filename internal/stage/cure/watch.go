package cure

import (
	"math"

	"laywright/internal/base/num"
	"laywright/internal/base/resin"
	"laywright/internal/base/si"
)

func kelvin(t float64) si.Temperature { return si.Temperature(t) }

// view is the stack at one instant.
type view struct {
	temp []float64 // K, each cell
	cure []float64 // degree of cure, each cell; 0 where nothing reacts
}

// watch notes what happens while a run goes on.
type watch struct {
	law    *resin.Law
	box    *boxed // nil: the air keeps to the schedule
	wet    []int  // cells with resin, from the mould face
	layer  []int  // layer of each cell
	unpack func(t float64, y []float64, v *view)
	air    func(t float64) float64

	gel    *float64  // first resin anywhere gels, s
	gelled *float64  // the last has
	firm   *float64  // it would stand without the mould
	glass  *float64  // it turns to glass
	glassy float64   // degree of cure then
	peak   []float64 // hottest by layer, K
	peakAt float64   // when the laminate was hottest
	bare   bool      // mould and bag are off
	bound  float64   // hottest of the laminate until then, K
	lag    float64   // most that the middle was behind the air, K
	lead   float64   // least of Tg − T once it had been firm, K
	leadAt float64

	ends    []float64 // sample times not yet taken
	history history
	now     view
}

// history is the middle of the laminate and its least cured cell over time.
type history struct{ time, air, temp, cure, tg []float64 }

func (w *watch) at(t float64, y []float64) *view {
	w.unpack(t, y, &w.now)
	return &w.now
}

// least returns the degree of cure of the least cured cell.
func (w *watch) least(v *view) float64 {
	a := math.Inf(1)
	for _, i := range w.wet {
		a = math.Min(a, v.cure[i])
	}
	return a
}

func (w *watch) most(v *view) float64 {
	a := math.Inf(-1)
	for _, i := range w.wet {
		a = math.Max(a, v.cure[i])
	}
	return a
}

// ahead returns by how much the glass transition leads the temperature, in the
// cell where that is least.
func (w *watch) ahead(v *view) float64 {
	d := math.Inf(1)
	for _, i := range w.wet {
		d = math.Min(d, float64(w.law.Glass.Transition(v.cure[i]))-v.temp[i])
	}
	return d
}

// middle is the cell that stands for the laminate.
func (w *watch) middle() int { return w.wet[len(w.wet)/2] }

// firmness passes 0 when all has gelled and the glass transition is far enough ahead.
func (w *watch) firmness(v *view) float64 {
	const perDegree = 100 // K: brings the two to one scale
	return math.Min(w.ahead(v)-float64(w.law.Firm), (w.least(v)-w.law.Gel)*perDegree)
}

func (w *watch) see(s *num.Step) {
	w.mark(&w.gel, s, func(v *view) float64 { return w.most(v) - w.law.Gel })
	w.mark(&w.gelled, s, func(v *view) float64 { return w.least(v) - w.law.Gel })
	w.mark(&w.firm, s, w.firmness)
	w.vitrifies(s)
	y := make([]float64, len(s.End()))
	const looks = 4 // a step
	for i := 1; i <= looks; i++ {
		t := s.T0 + s.H*float64(i)/looks
		s.At(t, y)
		w.look(t, y)
	}
	if w.box != nil {
		w.box.see(w, s)
	}
	for len(w.ends) > 0 && w.ends[0] <= s.T1()+1e-9 {
		t := w.ends[0]
		w.ends = w.ends[1:]
		s.At(t, y)
		w.sample(t, y)
	}
}

// vitrifies notes when the glass transition of all the laminate first passes its
// temperature, and how far it has cured by then: from there on it hardly goes on.
func (w *watch) vitrifies(s *num.Step) {
	if w.glass != nil {
		return
	}
	if w.mark(&w.glass, s, w.ahead); w.glass != nil {
		y := make([]float64, len(s.End()))
		s.At(*w.glass, y)
		w.glassy = w.least(w.at(*w.glass, y))
	}
}

func (w *watch) mark(done **float64, s *num.Step, g func(*view) float64) {
	if *done != nil {
		return
	}
	if t, ok := s.Crossing(func(t float64, y []float64) float64 { return g(w.at(t, y)) }); ok {
		*done = &t
	}
}

// look keeps the extremes.
func (w *watch) look(t float64, y []float64) {
	v := w.at(t, y)
	before := w.hottest()
	for i, l := range w.layer {
		w.peak[l] = math.Max(w.peak[l], v.temp[i])
	}
	if w.hottest() > before {
		w.peakAt = t
	}
	w.lag = math.Max(w.lag, w.air(t)-v.temp[w.middle()])
	if w.firm != nil && t >= *w.firm {
		if d := w.ahead(v); d < w.lead {
			w.lead, w.leadAt = d, t
		}
	}
}

// hottest returns the peak of the layers that hold resin, K.
func (w *watch) hottest() float64 {
	p := math.Inf(-1)
	for _, i := range w.wet {
		p = math.Max(p, w.peak[w.layer[i]])
	}
	return p
}

func (w *watch) sample(t float64, y []float64) {
	v := w.at(t, y)
	a := min(max(w.least(v), 0), 1)
	h := &w.history
	h.time = append(h.time, t)
	h.air = append(h.air, w.air(t))
	h.temp = append(h.temp, v.temp[w.middle()])
	h.cure = append(h.cure, a)
	h.tg = append(h.tg, float64(w.law.Glass.Transition(a)))
}

// sampleTimes spreads count times over the run and puts in every kink.
func sampleTimes(ps []piece, count int) []float64 {
	end := ps[len(ps)-1].t1
	var out []float64
	for _, p := range ps {
		n := max(1, int(math.Round(float64(count)*(p.t1-p.t0)/end)))
		for i := 1; i <= n; i++ {
			out = append(out, p.t0+(p.t1-p.t0)*float64(i)/float64(n))
		}
	}
	return thin(out, maxHistory-1)
}

// maxHistory bounds the points of a history: enough to draw.
const maxHistory = 400

// thin drops times evenly until no more than limit are left; the last stays.
func thin(times []float64, limit int) []float64 {
	if len(times) <= limit {
		return times
	}
	out := make([]float64, limit)
	for i := range out {
		out[i] = times[(i+1)*len(times)/limit-1]
	}
	return out
}
