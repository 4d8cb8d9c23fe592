package tracefile

import (
	"slices"
	"strconv"
	"strings"
)

func itoa(n int) string { return strconv.Itoa(n) }

// when is how a row tells its time.
type when struct {
	kind    kind
	at      int     // the column
	day     int     // the column of its date, -1: none
	size    float64 // s in a unit, of numbers
	minutes bool    // a clock of two numbers is minutes and seconds
	order   order   // of a date that leaves it open
}

// findTime finds the column, or the two, that a row's time stands in.
func (t *table) findTime() error {
	w := &t.when
	w.day = -1
	moments, clocks, dates := t.columns(moment), t.columns(clock), t.columns(date)
	switch {
	case len(moments) > 0:
		w.kind, w.at = moment, t.preferred(moments)
		t.dateOrder(w.at)
	case len(clocks) > 0 && len(dates) > 0:
		w.kind, w.at, w.day = clock, t.preferred(clocks), dates[0]
		t.dateOrder(w.day)
	case len(clocks) > 0:
		w.kind, w.at = clock, t.preferred(clocks)
	default:
		return t.findNumbers()
	}
	t.log.Clock = true
	name := capital(t.named(w.at))
	switch {
	case w.kind == moment:
		t.say("%s is date and time.", name)
	case w.day >= 0:
		t.say("%s is the time, %s its date.", name, t.named(w.day))
	default:
		t.clockForm(name)
	}
	return nil
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

func (t *table) columns(k kind) (out []int) {
	for c := range t.width {
		if t.mostly(c) == k {
			out = append(out, c)
		}
	}
	return out
}

// preferred takes the column that speaks of time, else the first.
func (t *table) preferred(columns []int) int {
	for _, c := range columns {
		if says(t.heads[c], timeWords) {
			return c
		}
	}
	return columns[0]
}

// clockForm tells hours and minutes from minutes and seconds.
func (t *table) clockForm(name string) {
	w := &t.when
	most, two := 0.0, true
	for _, row := range t.sample {
		c := cell(row, w.at)
		if kindOf(c) != clock {
			continue
		}
		two = two && strings.Count(c, ":") == 1
		if s, ok := clockOf(c, false); ok {
			most = max(most, s/3600)
		}
	}
	head := strings.ToLower(t.heads[w.at])
	const twoDays = 48
	switch {
	case !two:
		t.say("%s is the time of day or since the start, in hours, minutes and seconds.", name)
	case strings.Contains(head, "mm:ss") || strings.Contains(head, "m:s"):
		w.minutes = true
		t.say("%s is the time in minutes and seconds, from its heading.", name)
	case strings.Contains(head, "h"+":") || strings.Contains(head, "hh"):
		t.say("%s is the time in hours and minutes, from its heading.", name)
	case most >= twoDays:
		w.minutes = true
		t.doubt("%s is taken for minutes and seconds, as its first number passes 48.", name)
	default:
		t.say("%s is the time of day in hours and minutes.", name)
	}
}

// dateOrder settles whether the day or the month stands first.
func (t *table) dateOrder(c int) {
	w := &t.when
	first, second, open := false, false, false
	var days []day
	for _, row := range t.sample {
		text, _ := parts(cell(row, c))
		d, ok := dayOf(text)
		if !ok || d.order != either {
			continue
		}
		open = true
		first, second = first || d.n[0] > 12, second || d.n[1] > 12
		if len(days) == 0 || days[len(days)-1] != d {
			days = append(days, d)
		}
	}
	if !open {
		return
	}
	name := t.named(c)
	w.order = dayFirst
	switch {
	case second && !first:
		w.order = monthFirst
		t.say("In %s the month stands before the day, as the second number passes 12.", name)
	case first && !second:
		t.say("In %s the day stands before the month, as the first number passes 12.", name)
	case len(days) == 1:
		t.say("In %s day and month can't be told apart; all rows are of one day, so that it does not matter.", name)
	case length(days, monthFirst) < length(days, dayFirst):
		w.order = monthFirst
		t.say("In %s the month stands before the day: the other way the log would span %s.", name, span(length(days, dayFirst)))
	default:
		t.say("In %s the day stands before the month: the other way the log would span %s.", name, span(length(days, monthFirst)))
	}
}

func span(days int) string {
	if days >= never {
		return "no dates at all"
	}
	return itoa(days) + " days"
}

// never is longer than any log.
const never = 1 << 40

// length is how many days a log spans; never, where a date can't be read so.
func length(days []day, o order) int {
	low, high := never, -never
	for _, d := range days {
		n, ok := d.number(o)
		if !ok {
			return never
		}
		low, high = min(low, n), max(high, n)
	}
	return high - low
}

// findNumbers finds a column of numbers that rise as a time does.
func (t *table) findNumbers() error {
	found, spoken := -1, false
	for _, c := range t.columns(number) {
		name, unit := unitOf(t.heads[c], timeUnit)
		counts := says(t.heads[c], countWords) && !says(name, timeWords)
		tells := (unit != "" || says(t.heads[c], timeWords)) && !says(t.heads[c], otherWords)
		if counts && unit == "" || !tells && !t.rises(c) {
			continue
		}
		if found < 0 || tells && !spoken {
			found, spoken = c, tells
		}
	}
	if found < 0 {
		return refuse(t.first+1, "give each row a time that rises from row to row, such as minutes since the start, or date and clock", "no column rises as a time does")
	}
	w := &t.when
	w.kind, w.at = number, found
	unit := t.numbersUnit(found)
	w.size = timeSizes[unit]
	return nil
}

// rises tells whether a column never falls and moves at all.
func (t *table) rises(c int) bool {
	last, firstValue, some := 0.0, 0.0, false
	for _, row := range t.sample {
		x, _, ok := numberIn(cell(row, c), t.comma)
		if !ok {
			continue
		}
		if some && x < last-0.02*(last-firstValue) {
			return false
		}
		if !some {
			firstValue = x
		}
		last, some = x, true
	}
	return some && (last > firstValue || len(t.sample) == 1)
}

// numbersUnit says which unit a column of times has.
func (t *table) numbersUnit(c int) string {
	name := capital(t.named(c))
	if t.asked.Time != "" {
		t.say("%s is the time in %s, as the job file says.", name, t.asked.Time)
		return t.asked.Time
	}
	if _, unit := unitOf(t.heads[c], timeUnit); unit != "" {
		t.say("%s is the time in %s, from its heading.", name, unit)
		return unit
	}
	for _, w := range words(t.heads[c]) {
		if unit := timeUnit(w); unit != "" && len(w) > 1 {
			t.say("%s is the time in %s, from its heading.", name, unit)
			return unit
		}
	}
	for _, row := range t.sample {
		if _, unit, ok := numberIn(cell(row, c), t.comma); ok && timeSizes[unit] > 0 {
			t.say("%s is the time in %s, which stands behind the numbers.", name, unit)
			return unit
		}
	}
	unit, why := t.guessTime(c)
	t.doubt("%s is taken for the time in %s, as %s.", name, unit, why)
	return unit
}

// guessTime guesses the unit from the numbers: loggers write whole seconds or
// minutes, and a cure lasts hours (judgement).
func (t *table) guessTime(c int) (unit, why string) {
	var x, steps []float64
	for _, row := range t.sample {
		if v, _, ok := numberIn(cell(row, c), t.comma); ok {
			if n := len(x); n > 0 && v > x[n-1] {
				steps = append(steps, v-x[n-1])
			}
			x = append(x, v)
		}
	}
	if len(steps) == 0 {
		return "s", "nothing speaks against it"
	}
	slices.Sort(steps)
	step, end := steps[len(steps)/2], x[len(x)-1]
	rows := float64(len(t.lines)-t.first) * step // of the whole file, about
	text := strconv.FormatFloat(step, 'g', 3, 64)
	switch {
	case end > 1e12:
		return "ms", "it counts milliseconds of a computer's clock"
	case end > 1e9:
		return "s", "it counts seconds of a computer's clock"
	case x[0] > 20_000 && x[0] < 80_000 && step < 0.5:
		return "d", "it counts days as a table program does"
	case step < 0.25 && rows < 300:
		return "h", "its steps are of " + text
	case step >= 120 || rows > 12_000:
		return "s", "its steps are of " + text
	case (step == 10 || step == 15 || step == 20 || step == 30 || step == 60) && rows >= 1800:
		return "s", "its steps are of " + text
	}
	return "min", "its steps are of " + text
}
