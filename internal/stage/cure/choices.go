package cure

import (
	"context"
	"fmt"
	"math"
	"slices"

	"laywright/internal/base/fault"
	"laywright/internal/base/num"
	"laywright/internal/base/si"
	"laywright/internal/stage/cure/ladder"
)

// Choice is one schedule that does, run through the real stack.
type Choice struct {
	Name     string         `json:"name"` // shortest, gentlest or on the mould
	Schedule Line           `json:"schedule"`
	OffMould *si.Time       `json:"off_mould_s,omitempty"`
	Total    si.Time        `json:"total_s"`
	Tg       si.Temperature `json:"tg_degC"`
	Peak     si.Temperature `json:"peak_degC"`
	Why      string         `json:"why"`
}

// top is the hottest hold.
func (g program) top() float64 { return math.Max(g.wet, g.temp) }

// others returns, of the schedules that were tried and do, the one with the coolest
// hottest hold, and, where the part of the best leaves its mould early, the shortest
// that keeps it there; those that are the best itself, or no better in that, are
// left out.
func (p *planner) others(best program) (names []string, out []program) {
	add := func(name string, ok func(g program) bool, before func(a, b program) bool) {
		var pick *program
		for _, g := range p.did {
			if ok(g) && (pick == nil || before(g, *pick)) {
				pick = &g
			}
		}
		if pick != nil && !slices.Contains(out, *pick) {
			names, out = append(names, name), append(out, *pick)
		}
	}
	add("gentlest", func(g program) bool { return g.top() < best.top()-tempStep/2 }, func(a, b program) bool {
		return a.top() < b.top() || a.top() == b.top() && a.total < b.total
	})
	if best.bare {
		add("on the mould", func(g program) bool { return !g.bare }, func(a, b program) bool { return a.total < b.total })
	}
	return names, out
}

// choices are the schedule that was found and up to two that trade time for
// gentleness; none where nothing does what is wanted.
func (p *planner) choices(ctx context.Context, best program, r *Result, exact bool) (out []Choice, err error) {
	if !best.stands || best.tg < p.target {
		return nil, nil
	}
	shortest := Choice{"shortest", r.Schedule, r.OffMould, r.Total, r.Tg, r.Peak, r.Chosen}
	if !best.hot && !best.warm() {
		return []Choice{shortest}, nil
	}
	out = append(out, shortest)
	names, others := p.others(best)
	because := map[string]string{"gentlest": ": the coolest that does", "on the mould": ": the shortest that keeps it on its mould to the end"}
	for i, g := range others {
		c := Choice{Name: names[i], Tg: kelvin(g.tg), Peak: kelvin(g.top())}
		if !exact {
			var w *watch
			if g, w, err = p.fit(ctx, g); err != nil {
				return nil, err
			}
			if c.Tg = p.in.Law.Glass.Transition(w.least(&w.now)); float64(c.Tg) < p.target || exotherm(w).Code != "" {
				continue
			}
			c.Peak = kelvin(w.hottest())
		}
		ps := pieces(g.curve(*p), p.in.Before, p.in.Shop)
		c.Why = p.course(g) + because[c.Name]
		c.Schedule, c.Total = line(ps), si.Time(ps[len(ps)-1].t1)
		if g.bare {
			off := g.off(*p)
			c.OffMould = seconds(&off)
		}
		out = append(out, c)
	}
	return out, nil
}

// noSchedule says what would have to change where no schedule does.
func (p *planner) noSchedule(g program) (f fault.Finding, err error) {
	if g.stands && g.tg >= p.target || p.in.Spec.In == Room {
		return f, nil
	}
	f = fault.Finding{Severity: fault.Caution, Code: "no-schedule"}
	if !g.stands {
		f.What = "No schedule within all limits makes the part stand by itself."
		f.Why, f.Do, err = p.wantsWarmth()
		return f, err
	}
	f.What = fmt.Sprintf("No schedule within all limits brings the glass transition to the %.0f degC wanted.", celsius(p.target))
	f.Why, f.Do, err = p.wantsHeat(g)
	return f.Against(celsius(g.tg), celsius(p.target), "degC"), err
}

// tooHot is past every hold that is looked at for what would do, K.
const tooHot = 273.15 + 180

// wantsHeat finds the coolest post-cure that would do if oven and part stood it.
func (p *planner) wantsHeat(g program) (why, do string, err error) {
	full := float64(p.in.Law.Glass.Full)
	if full < p.target+reach {
		return fmt.Sprintf("This resin ends at %.0f degC however it is cured.", celsius(full)),
			fmt.Sprintf("Take a resin whose glass transition goes to %.0f degC or more, or keep the part cooler in service.", celsius(p.target+shy)), nil
	}
	g.bare = true
	for temp := nextStep(math.Max(p.bound, p.free)); temp <= math.Min(full, tooHot); temp += tempStep {
		hot, firm, err := p.try(g, g.degree, temp)
		if err != nil {
			return "", "", err
		}
		if !firm || hot.tg < p.target {
			continue
		}
		why = fmt.Sprintf("It takes %.3g h at %.0f degC, off the mould.", hot.hold/3600, celsius(temp))
		if float64(p.in.Spec.Hottest) < temp {
			return why, fmt.Sprintf("Take an oven that holds %.0f degC; this one is counted on for %.0f degC (cure.hottest).", celsius(temp), p.in.Spec.Hottest.Celsius()), nil
		}
		name, limit := p.weakLayer()
		return why, fmt.Sprintf("Take another material for %s, which stands %.0f degC, or a resin that is content with less.", name, celsius(limit)), nil
	}
	return fmt.Sprintf("Up to its full %.0f degC no ramp of a kelvin an hour or more stays behind this resin's glass transition.", celsius(full)),
		fmt.Sprintf("Take a resin whose glass transition goes well past %.0f degC.", celsius(p.target+shy)), nil
}

// weakLayer is the laminate's layer that stands least.
func (p *planner) weakLayer() (name string, limit float64) {
	limit = math.Inf(1)
	for _, l := range p.in.Layers {
		if l.Limit > 0 && float64(l.Limit) < limit {
			name, limit = l.Name, float64(l.Limit)
		}
	}
	return name, limit
}

// wantsWarmth finds the coolest first hold within patience that would do.
func (p *planner) wantsWarmth() (why, do string, err error) {
	for wet := nextStep(p.room); wet <= tooHot; wet += tempStep {
		g, err := p.from(wet, patience)
		if err != nil {
			return "", "", err
		}
		if !g.stands {
			continue
		}
		why = fmt.Sprintf("It takes a first hold of %.3g h at %.0f degC.", g.first/3600, celsius(wet))
		switch {
		case wet > float64(p.in.Spec.Hottest):
			return why, fmt.Sprintf("Take an oven that holds %.0f degC, or a resin that hardens cooler.", celsius(wet)), nil
		case wet > p.bound:
			return why, fmt.Sprintf("Take a mould and a bag that stand %.0f degC, or a resin that hardens cooler.", celsius(wet+limitHand)), nil
		}
		return why + " There the laminate heats itself or lags too far.", "Lay it in two goes, each half as thick, or take a slower resin.", nil
	}
	return fmt.Sprintf("Not even %.0f degC harden it in %.0f h.", celsius(tooHot), patience/3600), "Look at the resin's constants and their units; else take another resin.", nil
}

// PostCure is the same post-cure for an oven that can't ramp: steps of temperature
// and time, each short of the glass transition.
type PostCure struct {
	Lead    si.TemperatureDifference `json:"lead_K"`       // least that the glass transition is ahead
	Fastest float64                  `json:"ramp_K_per_s"` // of even ramps that keep it
	Steps   []ladder.Step            `json:"steps"`        // after the first hold
	Total   si.Time                  `json:"steps_s"`
}

// postCure returns the ladder of a schedule that was found; nil where it has no
// post-cure.
func (p *planner) postCure(g program) (*PostCure, error) {
	if !g.hot {
		return nil, nil
	}
	c, _, err := ladder.Ramp(&p.in.Law, g.degree, kelvin(g.wet), kelvin(g.temp), g.rate)
	if err != nil {
		return nil, err
	}
	if err = c.Follow(0, si.Time(g.hold), kelvin(g.temp), kelvin(g.temp), nil); err != nil {
		return nil, err
	}
	tg := p.in.Law.Glass.Transition(c.Degree()) // of a thin part, by a hold that a lagging one asked for
	steps, ok, err := ladder.Steps(&p.in.Law, g.degree, kelvin(g.wet), kelvin(g.temp), g.lead(), p.ramp(), tg)
	if err != nil || !ok {
		return nil, err
	}
	return &PostCure{Lead: si.TemperatureDifference(g.lead()), Fastest: g.rate, Steps: steps, Total: ladder.Total(steps)}, nil
}

// offer adds what the search has beside its schedule: other choices, the post-cure
// in steps, and what to change where nothing does.
func (p *planner) offer(ctx context.Context, best program, r *Result, exact bool) (err error) {
	if r.PostCure, err = p.postCure(best); err != nil {
		return err
	}
	if r.Choices, err = p.choices(ctx, best, r, exact); err != nil {
		return err
	}
	f, err := p.noSchedule(best)
	if f.Stage = "cure"; f.Code != "" {
		r.Findings = append(r.Findings, f)
	}
	return err
}

// slower says how fast the rise in which the oven overtakes the part may be.
func slower(in Input, ps []piece, w *watch) string {
	for _, p := range ps {
		if !(p.t0 < w.leadAt && w.leadAt <= p.t1) || !(p.slope() > 0) {
			continue
		}
		a := num.Linear(w.history.time, w.history.cure, p.t0)
		rate, _, ok, err := ladder.Fastest(&in.Law, a, kelvin(p.a), kelvin(p.b), keepAhead, p.slope())
		if err == nil && ok {
			return fmt.Sprintf("Ramp from %.0f to %.0f degC at no more than %.3g K an hour", celsius(p.a), celsius(p.b), rate*3600)
		}
		return fmt.Sprintf("Hold cooler than %.0f degC first: no even ramp up to there stays behind", celsius(p.b))
	}
	return "Ramp slower or hold half-way"
}
