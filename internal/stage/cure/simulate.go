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
	traced := len(in.Trace.X) > 0
	exact := traced || len(in.Mould) == 0 || !reacts(in.Layers)
	curve, chosen := in.Spec.Schedule.Value, ""
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
		p, best, err := search(ctx, in, exact)
		if err != nil {
			return Result{}, err
		}
		curve, chosen, off = best.curve(p), p.why(best), best.off(p)
	}
	ps := splitAt(pieces(curve, in.Before, in.Shop), off)
	w, err := run(ctx, in, ps, exact, off)
	if err != nil {
		return Result{}, err
	}
	r := w.result(in, ps)
	r.Chosen = chosen
	if off < float64(r.Total) {
		r.OffMould = seconds(&off)
	}
	if err = r.ranges(in, ps); err != nil {
		return Result{}, err
	}
	r.Findings = findings(in, ps, w, &r, exact)
	return r, nil
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
	r.TgWet = r.Tg - si.Temperature(in.WetDrop)
	r.ServiceLimit = r.TgWet - ServiceMargin
	return r
}

// coarse is the error a step may make where a search or a range needs no more.
const coarse = 1e-6
