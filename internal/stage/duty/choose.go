package duty

import (
	"fmt"
	"math"

	"laywright/internal/stage/exchanger"
)

// A further pass is worth its separator and seal where it brings worthwhile more
// heat (less is lost in the doubt of UA), or slight more and lets the box be
// shallower by a share of flatter: a single pass wants a plenum so deep that
// few cowls hold it. Assumed.
const (
	worthwhile = 0.05
	slight     = 0.02
	flatter    = 0.30
)

// option is the plant at one number of passes: open, at its best throttle, and as
// it would run, which is one of the two.
type option struct {
	open, best, run working
	holds           bool // the stated limits, as it would run
	mends           bool // they hold at the best throttle
}

func (o option) passes() int { return len(o.open.Passes) }

// options works the plant at every number of passes. A count that can't be
// worked out ends the table, unless it is the first: then there is no answer.
func (p plant) options() ([]option, error) {
	most := exchanger.MostPasses
	if !p.heater.Flow.Divisible() {
		most = 1
	}
	var out []option
	for n := 1; n <= most; n++ {
		o, err := p.openAndBest(n)
		switch {
		case err == nil:
			out = append(out, o)
		case n == 1:
			return nil, err
		default:
			return out, nil
		}
	}
	return out, nil
}

// openAndBest works the plant at one number of passes.
func (p plant) openAndBest(n int) (o option, err error) {
	if o.open, err = p.open(n); err == nil {
		o.best, o.mends, err = p.throttled(n, o.open)
	}
	o.run, o.holds = o.open, p.holds(o.open)
	if p.search {
		o.run, o.holds = o.best, o.mends
	}
	return o, err
}

// measure is what passes are chosen by: useful heat as the box would run, or all
// heat where no cabin temperature is known.
func (p plant) measure(o option) float64 {
	if p.cabin == nil {
		return float64(o.run.Heat)
	}
	return o.run.useful
}

// worth tells whether option b is worth its further pass over a, and whether
// only the box's depth makes it so.
func (p plant) worth(a, b option) (worth, forDepth bool) {
	here, there := p.measure(a), p.measure(b)
	if there > here+worthwhile*math.Abs(here) {
		return true, false
	}
	deep, shallow := p.depthOf(a.run), p.depthOf(b.run)
	forDepth = deep != nil && shallow != nil && there > here+slight*math.Abs(here) && *shallow < *deep*(1-flatter)
	return forDepth, forDepth
}

// choose returns the recommended option and the reason in words: of those that
// hold the stated limits (of all, where none does) the last in the row of which
// each is worth its pass over the one before.
func (p plant) choose(all []option) (option, string) {
	var may []option
	for _, o := range all {
		if o.holds {
			may = append(may, o)
		}
	}
	if len(may) == 0 {
		may = all
	}
	at, depth := 0, false
	for at+1 < len(may) {
		worth, forDepth := p.worth(may[at], may[at+1])
		if !worth {
			break
		}
		at, depth = at+1, depth || forDepth
	}
	return may[at], p.reason(all, may, at, depth)
}

// counted is what the options are measured by, in words.
func (p plant) counted() string {
	if p.cabin == nil {
		return "heat"
	}
	return "useful heat"
}

// reason says why option at of those that may be taken is: against the first of
// them, and against the next.
func (p plant) reason(all, may []option, at int, depth bool) string {
	first, here := may[0], may[at]
	out := count(here.passes()) + " passes bring " + percent(p.measure(here), p.measure(first), "more", "less") + " " + p.counted() + " than " + count(first.passes())
	switch {
	case at == 0 && here.passes() == 1:
		out = "one pass is enough"
	case at == 0:
		out = "fewer than " + count(here.passes()) + " passes " + p.breaks(all[0])
	}
	if depth {
		out += fmt.Sprintf(" and a box of %.0f mm inside instead of %.0f mm", 1000*float64(*p.depthOf(here.run)), 1000*float64(*p.depthOf(first.run)))
	}
	switch next := here.passes(); {
	case next == len(all):
		return out + "; more are not looked at"
	case !all[next].holds && here.holds:
		return out + "; " + count(next+1) + " " + p.breaks(all[next])
	default:
		return out + "; " + p.against(here, all[next])
	}
}

// breaks says which stated limit an option can't hold at any throttle.
func (p plant) breaks(o option) string {
	if p.most != nil && o.open.AirOut > *p.most {
		return fmt.Sprintf("would leave the air above %.0f degC at any throttle", p.most.Celsius())
	}
	if p.least != nil && o.run.LiquidOut < *p.least {
		return fmt.Sprintf("would cool the liquid below %.0f degC", p.least.Celsius())
	}
	return "can't hold the limits on air and liquid together"
}

// against says what one more pass would do.
func (p plant) against(here, more option) string {
	next := count(more.passes()) + " would bring "
	change := percent(p.measure(more), p.measure(here), "more", "less")
	switch {
	case p.measure(more) < p.measure(here) && p.supply.flow == 0:
		return next + change + ", since at the pressure there is they cost more flow than they win in temperature"
	case p.measure(more) < p.measure(here):
		return next + change
	case here.run.boxLoss() > 0:
		return next + fmt.Sprintf("only %s, for %.1f times the loss of the box", change, more.run.boxLoss()/here.run.boxLoss())
	}
	return next + "only " + change
}

func count(n int) string {
	return []string{"no", "one", "two", "three", "four", "five", "six"}[n]
}

// percent says how much a is over or under b.
func percent(a, b float64, more, less string) string {
	if !(b > 0) {
		if a > b {
			return more
		}
		return less
	}
	x := 100 * (a/b - 1)
	word := more
	if x < 0 {
		word, x = less, -x
	}
	digits := 0
	if x < 10 {
		digits = 1
	}
	return fmt.Sprintf("%.*f %% %s", digits, x, word)
}
