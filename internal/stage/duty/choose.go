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

// option is the plant at one number of passes, open and at its best throttle.
type option struct{ open, best working }

// options works the plant at every number of passes. A count that can't be
// worked out ends the table, unless it is the first: then there is no answer.
func (p plant) options() ([]option, error) {
	most := exchanger.MostPasses
	if !p.heater.Flow.Divisible() {
		most = 1
	}
	var out []option
	for n := 1; n <= most; n++ {
		open, err := p.open(n)
		if err == nil {
			var best working
			if best, err = p.throttled(n, open); err == nil {
				out = append(out, option{open, best})
			}
		}
		if err != nil {
			if n == 1 {
				return nil, err
			}
			break
		}
	}
	return out, nil
}

// measure is what passes are chosen by: useful heat at the best throttle, or all
// heat where no cabin temperature is known.
func (p plant) measure(o option) float64 {
	if p.cabin == nil {
		return float64(o.open.Heat)
	}
	return o.best.useful
}

// worth tells whether option b is worth its further pass over a, and whether
// only the box's depth makes it so.
func (p plant) worth(a, b option) (worth, forDepth bool) {
	here, there := p.measure(a), p.measure(b)
	if there > here+worthwhile*math.Abs(here) {
		return true, false
	}
	deep, shallow := p.depthOf(a.open), p.depthOf(b.open)
	forDepth = deep != nil && shallow != nil && there > here+slight*math.Abs(here) && *shallow < *deep*(1-flatter)
	return forDepth, forDepth
}

// choose returns the recommended number of passes and the reason in words: one
// more as long as it is worth it.
func (p plant) choose(all []option) (int, string) {
	n, depth := 1, false
	for n < len(all) {
		worth, forDepth := p.worth(all[n-1], all[n])
		if !worth {
			break
		}
		n, depth = n+1, depth || forDepth
	}
	what := "useful heat"
	if p.cabin == nil {
		what = "heat"
	}
	reason := "one pass is enough"
	if n > 1 {
		reason = fmt.Sprintf("%s passes bring %s %s than one", count(n), percent(p.measure(all[n-1]), p.measure(all[0]), "more", "less"), what)
	}
	if depth {
		reason += fmt.Sprintf(" and a box of %.0f mm inside instead of %.0f mm", 1000*float64(*p.depthOf(all[n-1].open)), 1000*float64(*p.depthOf(all[0].open)))
	}
	if n == len(all) {
		return n, reason + "; more are not looked at"
	}
	return n, reason + "; " + p.against(all[n-1], all[n])
}

// against says what one more pass would do.
func (p plant) against(here, more option) string {
	next := count(len(more.open.Passes)) + " would bring "
	change := percent(p.measure(more), p.measure(here), "more", "less")
	switch {
	case p.measure(more) < p.measure(here) && p.supply.flow == 0:
		return next + change + ", since at the pressure there is they cost more flow than they win in temperature"
	case p.measure(more) < p.measure(here):
		return next + change
	case here.open.boxLoss() > 0:
		return next + fmt.Sprintf("only %s, for %.1f times the loss of the box", change, more.open.boxLoss()/here.open.boxLoss())
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
