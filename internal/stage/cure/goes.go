package cure

import (
	"context"
	"fmt"
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// inGoes says of a laminate that heats itself how much of it may be laid at a time:
// the thickness, to a sixteenth of the whole, that the same schedule leaves cool.
func inGoes(ctx context.Context, in Input, ps []piece, f fault.Finding, exact bool, r *Result) (fault.Finding, error) {
	if f.Code == "" || exact {
		return f, nil
	}
	off := math.Inf(1)
	if r.OffMould != nil {
		off = float64(*r.OffMould)
	}
	in.place = 1
	cool, hot := 0.0, 1.0
	for hot-cool > 1.0/16+1e-9 {
		share := (cool + hot) / 2
		w, err := run(ctx, in.thinned(share), ps, false, off)
		if err != nil {
			return f, err
		}
		if exotherm(w).Code == "" {
			cool = share
		} else {
			hot = share
		}
	}
	if cool == 0 {
		return f, nil
	}
	whole := 0.0
	for _, l := range in.Layers {
		whole += float64(l.Thickness)
	}
	f.Do = fmt.Sprintf("Lay it in goes of no more than %.2g mm of its %.2g mm, each cured before the next, or let it gel at room temperature before heating.",
		1e3*cool*whole, 1e3*whole)
	return f, nil
}

// thinned is the input with a share of the laminate's thickness.
func (in Input) thinned(share float64) Input {
	in.Layers = append([]Layer{}, in.Layers...)
	for i := range in.Layers {
		in.Layers[i].Thickness *= si.Length(share)
	}
	return in
}
