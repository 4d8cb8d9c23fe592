package cure

import (
	"context"
	"math"
	"slices"

	"laywright/internal/base/si"
)

// Simulate computes how the part hardens.
//
// With mould and laminate given, heat is followed through the stack. Without
// them, or with a measured trace, the laminate takes on the temperature exactly.
// A schedule left to the program is searched for first, see [search].
func Simulate(ctx context.Context, in Input) (Result, error) {
	in, err := settle(in)
	if err != nil {
		return Result{}, err
	}
	if in.Log != nil {
		return simulateLog(ctx, in)
	}
	traced := len(in.Trace.X) > 0
	exact := traced || len(in.Mould) == 0 || !reacts(in.Layers)
	curve, chosen := in.Spec.Schedule.Value, ""
	var p planner
	var best program
	off := math.Inf(1)
	if in.Spec.OffMould.Given {
		off = float64(in.Before + in.Spec.OffMould.Value)
	}
	switch {
	case traced && in.Spec.Schedule.Given:
		curve = onwards(in.Trace, curve)
	case traced:
		curve = in.Trace
	case !in.Spec.Schedule.Given:
		if p, best, err = search(ctx, in, exact); err != nil {
			return Result{}, err
		}
		curve, chosen, off = best.curve(p), p.why(best), best.off(p)
	}
	ps := splitAt(pieces(curve, in.Before, in.Shop), off)
	at, err := everywhere(ctx, in, ps, exact, off, p.seen)
	if err != nil {
		return Result{}, err
	}
	w := at.mean
	r := w.result(in, ps)
	r.Oven = inOven(in, ps, at)
	r.Limits = limits(in, at.hot, exact, r.swing())
	r.Chosen = chosen
	if off < float64(r.Total) {
		r.OffMould = seconds(&off)
	}
	if err = r.ranges(in, ps); err != nil {
		return Result{}, err
	}
	if r.Left, err = left(in, ps, w); err != nil {
		return Result{}, err
	}
	if r.Findings, err = findings(ctx, in, ps, at, &r, exact); err == nil && chosen != "" {
		err = p.offer(ctx, best, &r, exact)
	}
	return r, err
}

// reacts reports whether any layer holds wet resin.
func reacts(layers []Layer) bool {
	return slices.ContainsFunc(layers, func(l Layer) bool { return l.Fraction < 1 })
}

func (w *watch) result(in Input, ps []piece) Result {
	a := min(max(w.least(&w.now), 0), 1)
	r := Result{Gel: seconds(w.gel), Demould: seconds(w.firm), Degree: a, Tg: in.Law.Glass.Transition(a),
		Peak: kelvin(w.hottest()), PeakAt: si.Time(w.peakAt), Lag: si.TemperatureDifference(w.lag),
		Total: si.Time(ps[len(ps)-1].t1), Schedule: line(ps), History: rounded(w.history), Fit: in.Law.Fit}
	if w.glass != nil {
		r.Vitrify, r.VitrifyDegree = seconds(w.glass), &w.glassy
	}
	r.TgWet, r.TgMeasured = wetTg(in, r.Tg)
	r.ServiceLimit = r.TgWet - ServiceMargin
	return r
}

// coarse is the error a step may make where a search or a range needs no more.
const coarse = 1e-5
