package cure

import (
	"fmt"
	"math"
	"strings"

	"laywright/internal/base/fault"
	"laywright/internal/base/num"
	"laywright/internal/base/resin"
	"laywright/internal/base/si"
	"laywright/internal/stage/probes"
)

// findings judges the log, and says how it stands and what to do.
func (l *logged) findings(r *Result) ([]fault.Finding, error) {
	late, err := l.behind(r)
	if err != nil {
		return nil, err
	}
	out := []fault.Finding{l.howRead(), l.standIn(), l.standing(r), l.doNext(r), late, l.apart(), l.gaps(r), l.spikes()}
	out = append(out, l.bad()...)
	kept := out[:0]
	for _, f := range out {
		if f.Code != "" {
			f.Stage = "cure"
			kept = append(kept, f)
		}
	}
	return kept, nil
}

func hours(s float64) string { return fmt.Sprintf("%.3g h", s/3600) }

func (l *logged) howRead() fault.Finding {
	log := l.in.Log
	f := fault.Finding{Severity: fault.Note, Code: "log-read",
		What: fmt.Sprintf("%s holds %d readings of %s over %s.", log.File, len(log.Times), fault.Count(len(log.Channels), "probe", "probes"), hours(log.Times[len(log.Times)-1]-log.Times[0])),
		Why:  strings.Join(log.Read, " "),
		Do:   "Look whether it was meant so; the keys unit, time, starts and probes of cure.trace say otherwise."}
	if len(log.Doubts) > 0 {
		f.Severity, f.Code = fault.Caution, "log-guessed"
		f.What = f.What[:len(f.What)-1] + "; what its units are is guessed from the numbers."
		f.Why = strings.Join(log.Doubts, " ")
		f.Do = "Look whether that is so, and write cure.trace.unit and cure.trace.time to be sure."
	}
	return f
}

// standIn tells where no probe is on the part.
func (l *logged) standIn() fault.Finding {
	if l.stands == probes.Part {
		return fault.Finding{}
	}
	f := fault.Finding{Severity: fault.Caution, Code: "no-probe-on-part",
		What: fmt.Sprintf("No probe is on the part: the %s's stands for it.", l.stands),
		Why:  "The part lags behind the air and the mould, and warms itself.",
		Do:   "Put a probe on the part's coldest place; if one is there, name it under cure.trace.probes."}
	if !l.exact {
		f.Severity = fault.Note
		f.What = "No probe is on the part: its temperature is reckoned from the measured air, through mould, laminate and bag."
		f.Why = "The air is what was measured."
	}
	return f
}

// standing says how the part stands and when it comes off at this temperature.
func (l *logged) standing(r *Result) fault.Finding {
	s, fc := r.State, r.Forecast
	is := "is still liquid somewhere"
	switch {
	case s.Firm:
		is = "holds its shape without the mould"
	case s.Gelled:
		is = "has gelled and does not yet hold its shape without the mould"
	}
	f := fault.Finding{Severity: fault.Note, Code: "where-it-stands",
		What: fmt.Sprintf("%s after mixing, where the log ends, the resin %s: degree of cure %.2f, glass transition %.0f degC, part at %.0f degC.",
			hours(float64(s.At)), is, s.Degree, s.Tg.Celsius(), s.Coldest.Celsius()),
		Why: "The cure was followed through the measured temperatures."}
	way := "on the rest of the schedule"
	if fc.Hold != nil {
		way = fmt.Sprintf("if it stays at %.0f degC", fc.Hold.Celsius())
	}
	var next []string
	if fc.Gel != nil {
		next = append(next, "gels in "+hours(float64(*fc.Gel)))
	}
	if fc.Demould != nil {
		next = append(next, "may come off the mould in "+hours(float64(*fc.Demould)))
	}
	switch {
	case len(next) > 0:
		f.Do = fmt.Sprintf("Wait: %s it %s.", way, strings.Join(next, " and "))
	case s.Firm:
		f.Do = "It may come off the mould as far as this goes."
	default:
		f.Do = fmt.Sprintf("Do not take it off the mould: %s it does not come to hold its shape.", way)
	}
	return f
}

// doNext says which hold brings what is wanted.
func (l *logged) doNext(r *Result) fault.Finding {
	fc, target := r.Forecast, wanted(l.in)
	stands := r.State.Firm || fc.Demould != nil
	if fc.GoOn == nil {
		tg := float64(l.in.Law.Glass.Transition(r.Degree))
		if stands && tg >= target || l.in.Spec.In != Room && r.Demould != nil && tg >= target {
			return fault.Finding{}
		}
		f := fault.Finding{Severity: fault.Caution, Code: "no-hold-helps",
			What: fmt.Sprintf("No hold that oven, mould, bag and part stand brings the glass transition to the %.0f degC wanted.", celsius(target)),
			Why:  "What is wanted is the service temperature with margin, or what a usual post-cure gives.",
			Do:   "Let it harden as it is, then take it off the mould and post-cure it where it may get hotter."}
		if l.in.Spec.In == Room {
			if stands {
				return fault.Finding{}
			}
			f.What, f.Why, f.Do = "It does not come to hold its shape at this temperature.", "The job has it in a room, without heat.",
				"Warm it: a tent and a fan heater away from the bag, or an oven; write cure.in for what there is."
		}
		return f
	}
	g := fc.GoOn
	f := fault.Finding{Severity: fault.Note, Code: "go-on", What: fmt.Sprintf("%.1f h at %.0f degC bring it to a glass transition of %.0f degC.", float64(g.Hold)/3600, g.Temperature.Celsius(), g.Tg.Celsius()),
		Why: "Shortest of the holds that oven, mould, bag and part stand, by the same rules as a schedule that is searched for."}
	do := []string{}
	if g.Wait > 0 {
		do = append(do, fmt.Sprintf("leave it as it is for %s", hours(float64(g.Wait))))
	}
	if up := g.Temperature - r.State.Coldest; up > 1 || fc.Hold == nil {
		do = append(do, fmt.Sprintf("warm it by no more than %.3g K an hour to %.0f degC", float64(g.Ramp), g.Temperature.Celsius()))
	}
	do = append(do, fmt.Sprintf("hold %.1f h at the coldest probe", float64(g.Hold)/3600))
	text := strings.Join(do, ", then ")
	f.Do = strings.ToUpper(text[:1]) + text[1:] + "."
	if !stands {
		f.Severity = fault.Caution
		f.Why = "At its present temperature it does not come to hold its shape in a bearable time."
	}
	return f.Against(g.Tg.Celsius(), celsius(target), "degC")
}

// behind holds the measured course against what it was meant to follow: the
// schedule, or the measured air.
func (l *logged) behind(r *Result) (fault.Finding, error) {
	slow := l.slowest()
	var meant Curve
	what := "the schedule"
	switch s := l.in.Spec.Schedule; {
	case s.Given:
		meant = s.Value
	case l.air != nil:
		what = "the air"
		for i := range l.air.X {
			meant.X, meant.Y = append(meant.X, si.Time(l.air.X[i])), append(meant.Y, kelvin(l.air.Y[i]))
		}
	default:
		return fault.Finding{}, nil
	}
	end := float64(r.State.At)
	lag, most := l.lag(slow.line, meant, end)
	a, err := l.cured(until(meant, end))
	if err != nil {
		return fault.Finding{}, err
	}
	const (
		early = 0.02 // of the degree of cure: less is within what probes and law allow
		cold  = 3.0  // K
	)
	if !(lag > cold) || !(a > r.State.Degree+early) {
		return fault.Finding{}, nil
	}
	t := slow.now.now.temp[slow.now.middle()]
	c := l.in.Law.StartWithin(r.State.Degree, coarse)
	at, ok, err := c.Until(func(g resin.Glimpse) float64 { return g.Degree - a }, 0, longestRoom, kelvin(t), kelvin(t))
	if err != nil {
		return fault.Finding{}, err
	}
	f := fault.Finding{Severity: fault.Caution, Code: "behind-" + strings.TrimPrefix(what, "the "),
		What: fmt.Sprintf("The part lags %s by %.0f K in the mean, %.0f K at most: its degree of cure is %.2f, a part that follows at once would have %.2f.", what, lag, most, r.State.Degree, a),
		Why:  "Mould and laminate take up heat, and an oven has cold corners.",
		Do:   fmt.Sprintf("Hold longer: at %.0f degC it takes %s more to make up for it.", celsius(t), hours(float64(at)))}
	if !ok {
		f.Do = fmt.Sprintf("Warm it: at %.0f degC it never makes up for it.", celsius(t))
	}
	return f.Against(r.State.Degree, a, ""), nil
}

// lag returns by how much a line is colder than another, in the mean of the time
// that the other is warmer than the shop by 5 K, and at most.
func (l *logged) lag(got, meant Curve, end float64) (mean, most float64) {
	const warm, looks = 5, 600
	gx, gy := bare(got)
	mx, my := bare(meant)
	n := 0.0
	for i := range looks {
		t := end * (float64(i) + 0.5) / looks
		m := num.Linear(mx, my, t)
		if m < float64(l.in.Shop)+warm {
			continue
		}
		d := m - num.Linear(gx, gy, t)
		mean, most, n = mean+d, math.Max(most, d), n+1
	}
	if n == 0 {
		return 0, 0
	}
	return mean / n, most
}

// apart tells of probes on the part that differ for long.
func (l *logged) apart() fault.Finding {
	if l.stands != probes.Part || len(l.courses) < 2 {
		return fault.Finding{}
	}
	var cold, warm *course
	var low, high float64
	for i := range l.courses {
		c := &l.courses[i]
		x, y := bare(c.line)
		sum := 0.0
		for k := 1; k < len(x); k++ {
			sum += (y[k] + y[k-1]) / 2 * (x[k] - x[k-1])
		}
		m := sum / (x[len(x)-1] - x[0])
		if cold == nil || m < low {
			cold, low = c, m
		}
		if warm == nil || m > high {
			warm, high = c, m
		}
	}
	const far = 5 // K in the mean: some half more or less of rate
	if !(high-low > far) {
		return fault.Finding{}
	}
	return fault.Finding{Severity: fault.Caution, Code: "probes-apart",
		What: fmt.Sprintf("Probe '%s' is %.0f K colder than probe '%s' in the mean.", cold.probe.Name, high-low, warm.probe.Name),
		Why:  "The coldest place says when the part has set, the warmest what mould, core and bag stand.",
		Do:   "Turn the part or shield the warm side, look whether the cold probe still touches, and wait for the coldest."}.
		Against(high-low, far, "K")
}

func (l *logged) gaps(r *Result) fault.Finding {
	var told []string
	for _, c := range l.courses {
		for _, g := range c.probe.Gaps {
			told = append(told, fmt.Sprintf("'%s' for %.0f min from %s", c.probe.Name, (g.To-g.From)/60, hours(g.From+l.starts)))
		}
	}
	if len(told) == 0 {
		return fault.Finding{}
	}
	f := fault.Finding{Severity: fault.Note, Code: "log-gap", What: "The log has gaps: " + some(told) + ".",
		Why: "A straight line was laid across them.",
		Do:  "Look that the logger's battery and leads are sound."}
	if s := r.State; s.Low != nil && *s.High-*s.Low > 0.02 {
		f.Severity = fault.Caution
		f.Why = fmt.Sprintf("A straight line was laid across them; had it gone as cold or as warm in between as it can, the degree of cure would be %.2f or %.2f.", *s.Low, *s.High)
		f.Do = "Go by the lower one: hold longer, and try hardness at the coldest place before it comes off."
		return f.Against(*s.Low, *s.High, "")
	}
	return f
}

// some lists up to four things.
func some(told []string) string {
	const most = 4
	if len(told) > most {
		return strings.Join(told[:most], ", ") + fmt.Sprintf(" and %d more", len(told)-most)
	}
	return strings.Join(told, ", ")
}

func (l *logged) spikes() fault.Finding {
	var told []string
	for _, p := range l.all {
		if n := p.Spikes + p.Open; n > 0 && p.Bad == "" && p.Role != probes.Out {
			told = append(told, fmt.Sprintf("%d of '%s'", n, p.Name))
		}
	}
	if len(told) == 0 {
		return fault.Finding{}
	}
	return fault.Finding{Severity: fault.Note, Code: "log-spikes", What: "Readings that no probe on a part can have were dropped: " + some(told) + ".",
		Why: "They leap from the readings beside them and come back faster than heat moves, or are an open lead's.",
		Do:  "Look at the plugs and at cables beside the oven's relay."}
}

func (l *logged) bad() (out []fault.Finding) {
	for _, p := range l.all {
		if p.Bad == "" || p.Role == probes.Out {
			continue
		}
		out = append(out, fault.Finding{Severity: fault.Caution, Code: "probe-dead",
			What: fmt.Sprintf("Probe '%s' %s; it is not followed.", p.Name, p.Bad),
			Why:  "A broken lead, a loose plug or a logger's free channel reads like this.",
			Do:   "Mend it; if it is a free channel, write it as left-out under cure.trace.probes."})
	}
	return out
}
