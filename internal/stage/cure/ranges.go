package cure

import (
	"laywright/internal/base/resin"
	"laywright/internal/base/si"
)

// ranges puts on gel, demould time and final glass transition what the data sheet
// leaves open. Each law follows the schedule's temperature; how far it departs from
// the plan's own law is put on the computed number.
func (r *Result) ranges(in Input, ps []piece) error {
	if len(in.Spread) == 0 {
		return nil
	}
	own, err := follow(in.Law, ps)
	if err != nil {
		return err
	}
	var gels, firms []si.Time
	var glasses []float64
	for _, law := range in.Spread {
		f, err := follow(law, ps)
		if err != nil {
			return err
		}
		gels, firms = append(gels, f.gel), append(firms, f.firm)
		glasses = append(glasses, float64(f.glass))
	}
	r.GelLow, r.GelHigh = spanned(r.Gel, own.gel, gels)
	r.DemouldLow, r.DemouldHigh = spanned(r.Demould, own.firm, firms)
	low, high := resin.Range(float64(own.glass), glasses)
	a, b := r.Tg+si.Temperature(low)-own.glass, r.Tg+si.Temperature(high)-own.glass
	r.TgLow, r.TgHigh = &a, &b
	if in.Law.Fit != nil {
		away := in.Law.Fit.Away(kelvin(ps[0].a))
		r.Away = &away
	}
	return nil
}

// spanned puts the range of a followed time on the computed one. A time that some
// law does not reach has no upper end.
func spanned(at *si.Time, own si.Time, others []si.Time) (low, high *si.Time) {
	if at == nil || own == 0 {
		return nil, nil
	}
	never := false
	for _, o := range others {
		never = never || o == 0
	}
	a, b := resin.Span(own, others)
	a, b = a/own**at, b/own**at
	if low = &a; !never {
		high = &b
	}
	return low, high
}

// followed is what resin does that has the schedule's temperature; 0: not reached.
type followed struct {
	gel, firm si.Time
	glass     si.Temperature // at the end
}

func follow(law resin.Law, ps []piece) (out followed, err error) {
	c := law.StartWithin(0, coarse)
	gelled := func(g resin.Glimpse) float64 { return g.Degree - law.Gel }
	firm := func(g resin.Glimpse) float64 {
		return min(float64(law.Glass.Transition(g.Degree)-g.Temperature)-float64(law.Firm), 100*gelled(g))
	}
	for _, p := range ps {
		from := si.Time(p.t0)
		temp := func(t si.Time) si.Temperature { return kelvin(p.at(float64(t))) }
		for _, m := range []struct {
			at   *si.Time
			mark func(resin.Glimpse) float64
		}{{&out.gel, gelled}, {&out.firm, firm}} {
			if *m.at > 0 || from >= si.Time(p.t1) {
				continue
			}
			t, ok, err := c.Until(m.mark, from, si.Time(p.t1), temp(from), kelvin(p.b))
			if err != nil {
				return out, err
			}
			if from = si.Time(p.t1); ok {
				*m.at, from = t, t
			}
		}
		if err := c.Follow(from, si.Time(p.t1), temp(from), kelvin(p.b), nil); err != nil {
			return out, err
		}
	}
	out.glass = law.Glass.Transition(c.Degree())
	return out, nil
}
