package cure

import (
	"fmt"
	"math"

	"laywright/internal/base/si"
)

// program is a schedule of the searched-for shape. Times in s, rate in K/s.
type program struct {
	wet    float64 // temperature of the first hold, K
	up     float64 // ramp to it; 0 at room temperature
	first  float64 // first hold
	degree float64 // of cure after it
	stands bool    // the part stands by itself after it
	hot    bool
	bare   bool // the post-cure is done off the mould
	rate   float64
	temp   float64 // of the hot hold, K
	hold   float64
	tg     float64 // at the end of the last hold
	total  float64 // after in.Before
}

// lead is how far the glass transition must stay ahead of the post-cure's ramp, K.
func (g program) lead() float64 {
	if g.bare {
		return freeAhead
	}
	return keepAhead
}

// warm reports whether the wet laminate is heated.
func (g program) warm() bool { return g.up > 0 }

func (g program) curve(p planner) Curve {
	c := Curve{X: []si.Time{0}, Y: []si.Temperature{kelvin(p.room)}}
	add := func(dt, t float64) {
		c.X, c.Y = append(c.X, c.X[len(c.X)-1]+si.Time(dt)), append(c.Y, kelvin(t))
	}
	last := g.wet
	if g.warm() {
		add(g.up, g.wet)
	}
	add(g.first, g.wet)
	if g.hot {
		last = g.temp
		add((g.temp-g.wet)/g.rate, g.temp)
		add(g.hold, g.temp)
	}
	if g.hot || g.warm() {
		add(p.cooling(last), float64(p.in.Shop))
	}
	return c
}

// off returns when the part is taken off its mould, from the first mixing.
func (g program) off(p planner) float64 {
	if !g.bare {
		return math.Inf(1)
	}
	return float64(p.in.Before) + g.up + g.first
}

// course tells the steps of a schedule in words.
func (p *planner) course(g program) string {
	text := fmt.Sprintf("%.3g h at %.0f degC until it stands by itself", g.first/3600, celsius(g.wet))
	if g.warm() {
		text = fmt.Sprintf("%.3g K an hour to %.0f degC under the bag and %s", p.ramp()*3600, celsius(g.wet), text)
	}
	if !g.hot {
		return text
	}
	if g.bare {
		text += ", then off the mould, which with its bag stands no more than " + fmt.Sprintf("%.0f degC", celsius(p.bound))
	}
	return text + fmt.Sprintf(", then %.3g K an hour to %.0f degC and %.3g h there", g.rate*3600, celsius(g.temp), g.hold/3600)
}

// why says how the schedule was chosen.
func (p *planner) why(g program) string {
	if !g.stands {
		return p.whyNot(g)
	}
	text, ceiling := p.course(g), p.bound
	if g.warm() {
		text = p.slow() + ": " + text
	}
	if g.bare {
		ceiling = p.free
	}
	switch {
	case !g.hot && p.target > 0 && g.tg < p.target && p.in.Spec.In == Room:
		return text + fmt.Sprintf("; there is no heat here for a post-cure to the %.0f degC of glass transition wanted", celsius(p.target))
	case !g.hot && g.tg < p.target:
		return text + fmt.Sprintf("; no hold up to %.0f degC brings the glass transition to the %.0f degC wanted", celsius(math.Max(p.bound, p.free)), celsius(p.target))
	case !g.hot && g.warm():
		return text + fmt.Sprintf(" and its glass transition has come to the %.0f degC wanted", celsius(p.target))
	case !g.hot:
		return text + "; no post-cure is needed"
	case g.tg < p.target:
		return text + fmt.Sprintf("; no hold up to %.0f degC brings the glass transition to the %.0f degC wanted", celsius(ceiling), celsius(p.target))
	}
	return text + fmt.Sprintf(": the shortest of the holds up to %.0f degC that bring the glass transition to %.0f degC", celsius(ceiling), celsius(p.target))
}

// slow says why the first hold is not at room temperature.
func (p *planner) slow() string {
	switch {
	case !p.standsCold:
		return fmt.Sprintf("at %.0f degC it would not stand by itself in %.0f days", celsius(p.room), longestRoom/86400)
	case p.cold > patience:
		return fmt.Sprintf("at %.0f degC it would take %.3g h to stand by itself", celsius(p.room), p.cold/3600)
	}
	return fmt.Sprintf("from a first hold at %.0f degC the glass transition wanted stays out of reach", celsius(p.room))
}

// whyNot speaks of a part that never stands by itself.
func (p *planner) whyNot(g program) string {
	if g.warm() && g.wet < p.bound {
		return fmt.Sprintf("no schedule found: %.3g h at %.0f degC do not make it stand by itself, and warmer the laminate heats itself", g.first/3600, celsius(g.wet))
	}
	if g.warm() {
		return fmt.Sprintf("no schedule found: even %.3g h at %.0f degC, the warmest that oven, mould, part and bag stand together, do not make it stand by itself",
			g.first/3600, celsius(g.wet))
	}
	text := fmt.Sprintf("no schedule found: after %.3g h at %.0f degC it does not stand by itself", g.first/3600, celsius(g.wet))
	if p.in.Spec.In == Room {
		return text + ", and there is no heat here"
	}
	return text + ", and mould, part, bag or oven stand no warmer first hold"
}
