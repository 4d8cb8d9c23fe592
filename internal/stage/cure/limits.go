package cure

import (
	"context"
	"fmt"
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// Limit is one thing in the stack: how hot it gets, and what it stands where that
// is known.
type Limit struct {
	Of     string                    `json:"of"` // mould, laminate or bag
	Name   string                    `json:"name"`
	Seen   si.Temperature            `json:"seen_degC"`
	Limit  *si.Temperature           `json:"limit_degC,omitempty"`
	Margin *si.TemperatureDifference `json:"margin_K,omitempty"`
}

// limits lists what mould, laminate and bag see against what they stand, from the
// back of the mould to the bag; layers of one name are one. With no stack followed
// all have the laminate's temperature. swing is the thermostat's, on top.
func limits(in Input, w *watch, exact bool, swing si.TemperatureDifference) (out []Limit) {
	add := func(of, name string, seen float64, limit si.Temperature) {
		l := Limit{Of: of, Name: name, Seen: kelvin(seen) + si.Temperature(swing)}
		if n := len(out); n > 0 && out[n-1].Of == of && out[n-1].Name == name {
			l.Seen = max(l.Seen, out[n-1].Seen)
			out = out[:n-1]
		}
		if limit > 0 {
			margin := si.TemperatureDifference(limit - l.Seen)
			l.Limit, l.Margin = &limit, &margin
		}
		out = append(out, l)
	}
	peak := w.hottest()
	for i, l := range in.Mould {
		seen := w.bound
		if !exact {
			seen = w.peak[i]
		}
		add("mould", l.Name, seen, l.Limit)
	}
	for i, l := range in.Layers {
		seen := peak
		if !exact {
			seen = w.peak[len(in.Mould)+i]
		}
		add("laminate", l.Name, seen, l.Limit)
	}
	for _, c := range in.Bag {
		add("bag", c.Name, w.bound, c.Limit)
	}
	return out
}

// Weakest returns what comes nearest to what it stands.
func (r *Result) Weakest() (weakest Limit, ok bool) {
	least := si.TemperatureDifference(math.Inf(1))
	for _, l := range r.Limits {
		if l.Margin != nil && *l.Margin < least {
			weakest, least, ok = l, *l.Margin, true
		}
	}
	return weakest, ok
}

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
