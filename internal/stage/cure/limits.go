package cure

import (
	"math"

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
