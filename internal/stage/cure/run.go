package cure

import (
	"context"
	"math"

	"laywright/internal/base/num"
)

// Errors a step may make, as a share of some 300 K and of the whole cure.
const (
	exactTolerance = 1e-7
	slabTolerance  = 1e-6
)

// run takes the stack through the history and returns what was seen. exact lets
// the laminate follow the air, as a thin laminate or a measured part does. From
// off on (s; +Inf: never) the part stands in the air without mould and bag; a
// piece must begin there.
func run(ctx context.Context, in Input, ps []piece, exact bool, off float64) (*watch, error) {
	w := &watch{law: &in.Law, lead: math.Inf(1), ends: sampleTimes(ps, maxHistory*3/4)}
	now := &ps[0]
	w.air = func(t float64) float64 { return now.at(min(t, now.t1)) }
	if w.box = inBox(in, ps, w.air, func() float64 { return now.slope() }); w.box != nil {
		w.air = w.box.here
	}
	var y []float64
	var s *num.Solver
	if exact {
		y, s = w.follow(in)
	} else {
		y, s = w.stack(in, w.air)
	}
	w.at(0, y)
	for i := range w.peak {
		w.peak[i] = math.Inf(-1)
	}
	w.look(0, y)
	w.sample(0, y)
	for i := range ps {
		now = &ps[i]
		if !w.bare && now.t0 >= off {
			w.bare, w.bound = true, w.hottest()
			if !exact {
				y, s = w.strip(in, y)
			}
		}
		err := s.Run(now.t0, now.t1, y, func(st *num.Step) bool {
			w.see(st)
			return ctx.Err() == nil
		})
		if err == nil {
			err = ctx.Err()
		}
		if err != nil {
			return nil, err
		}
	}
	w.at(ps[len(ps)-1].t1, y)
	if !w.bare {
		w.bound = w.hottest()
	}
	return w, nil
}

// follow sets up one cell that has the air's temperature.
func (w *watch) follow(in Input) ([]float64, *num.Solver) {
	w.wet, w.layer, w.peak = []int{0}, []int{0}, make([]float64, 1)
	w.now = view{temp: make([]float64, 1), cure: make([]float64, 1)}
	if x := w.box; x != nil {
		w.unpack = func(t float64, y []float64, v *view) { v.cure[0] = x.unfold(y)[1]; v.temp[0] = x.here(t) }
		return x.enter(nil, []float64{float64(in.Shop), 0})
	}
	w.unpack = func(t float64, y []float64, v *view) { v.temp[0], v.cure[0] = w.air(t), y[0] }
	p := num.Problem{N: 1, Scale: []float64{1}, F: func(t float64, y, dy []float64) {
		dy[0] = in.Law.Rate(kelvin(w.air(t)), y[0])
	}}
	return []float64{0}, num.NewSolver(p, exactTolerance)
}

// stack sets up mould, laminate and bag, all at the shop's temperature.
func (w *watch) stack(in Input, air func(float64) float64) ([]float64, *num.Solver) {
	through := 0.0
	for _, c := range in.Bag {
		through += float64(c.Resistance)
	}
	h := float64(in.Spec.Air)
	b := newSlab(&in.Law, in.Mould, in.Layers, h, 1/(1/h+through))
	b.front, b.back = air, air
	if in.Spec.In == Lamps {
		b.back = func(float64) float64 { return float64(in.Shop) }
	}
	y := make([]float64, 2*len(b.cells))
	for i := range b.cells {
		y[2*i] = float64(in.Shop)
	}
	w.peak = make([]float64, len(in.Mould)+len(in.Layers))
	w.survey(b)
	return w.start(b, y)
}

// start returns the state and the solver of a stack, in its oven where there is one.
func (w *watch) start(b *slab, y []float64) ([]float64, *num.Solver) {
	if w.box != nil {
		return w.box.enter(b, y)
	}
	return y, num.NewSolver(b.problem(), slabTolerance)
}

// strip takes mould and bag away: the laminate goes on as it is, air on both faces.
func (w *watch) strip(in Input, y []float64) ([]float64, *num.Solver) {
	h := float64(in.Spec.Air)
	if w.box != nil {
		y = w.box.unfold(y)
	}
	cells := len(w.layer)
	b := &slab{law: &in.Law}
	b.cut(in.Layers, len(in.Mould), laminateCells)
	b.join(h, h)
	b.front, b.back = w.air, w.air
	w.survey(b)
	return w.start(b, append([]float64{}, y[2*(cells-len(b.cells)):]...))
}

// survey tells the watch which cells there are and how to read the state.
func (w *watch) survey(b *slab) {
	w.now = view{temp: make([]float64, len(b.cells)), cure: make([]float64, len(b.cells))}
	w.layer, w.wet = nil, nil
	for i, c := range b.cells {
		w.layer = append(w.layer, c.layer)
		if c.burn > 0 {
			w.wet = append(w.wet, i)
		}
	}
	w.unpack = func(_ float64, y []float64, v *view) {
		if w.box != nil {
			y = w.box.unfold(y)
		}
		for i := range v.temp {
			v.temp[i], v.cure[i] = y[2*i], y[2*i+1]
		}
	}
}
