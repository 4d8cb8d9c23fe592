package tracefile

import (
	"math"
	"strconv"
)

func trimmed(x float64) string { return strconv.FormatFloat(x, 'g', 4, 64) }

// shortBack is how far a time may go back, in s: a logger's own jitter.
const shortBack = 2

// clerk reads the rows.
type clerk struct {
	*table
	times    []float64
	values   [][]float64
	shift    float64 // s, of midnights passed
	twins    int     // rows at the time of the one before
	over     int     // rows passed over
	nights   int
	twinTime bool // several rows share a time as a rule
}

// read reads all rows from the first on.
func (t *table) read() error {
	k := &clerk{table: t, values: make([][]float64, len(t.temps))}
	for i := t.first; i < len(t.lines); i++ {
		line := t.lines[i]
		if blank(line) || isComment(line) {
			continue
		}
		if len(k.times) == maxRows {
			return refuse(i+1, "log less often", "there are more than %d rows", maxRows)
		}
		if err := k.row(i+1, cellsOf(line, t.mark)); err != nil {
			return err
		}
	}
	return k.finish()
}

// row reads one. One without any number is a remark of the logger's.
func (k *clerk) row(line int, cells []string) error {
	if remark(cells) {
		k.over++
		return nil
	}
	for c := k.width; c < len(cells); c++ {
		if cells[c] != "" {
			return refuse(line, "where decimals have commas, save it with semicolons between the cells",
				"holds %d cells, the rows before it %d", len(cells), k.width)
		}
	}
	at, err := k.time(line, cells)
	if err != nil {
		return err
	}
	row := make([]float64, len(k.temps))
	for i, p := range k.temps {
		c := cell(cells, p.at)
		x, _, ok := numberIn(c, k.comma)
		switch {
		case ok:
			row[i] = toKelvin(x, p.unit)
		case isMissing(c):
			row[i] = math.NaN()
		default:
			return refuse(line, "write a temperature, or leave the cell empty where there is none", "%q is no number", c)
		}
	}
	if n := len(k.times); n > 0 && at <= k.times[n-1] {
		if at < k.times[n-1] || !k.sharedTimes() {
			k.twins++
			return nil
		}
	}
	k.times = append(k.times, at)
	for i, x := range row {
		k.values[i] = append(k.values[i], x)
	}
	return nil
}

// remark tells a row of words.
func remark(cells []string) bool {
	for _, c := range cells {
		if k := kindOf(c); k != word && k != missing {
			return false
		}
	}
	return true
}

// time returns a row's time in seconds.
func (k *clerk) time(line int, cells []string) (float64, error) {
	w := k.when
	text := cell(cells, w.at)
	bad := func() error {
		return refuse(line, "write it as in the rows before", "%q is no time", text)
	}
	at, ok := 0.0, false
	switch w.kind {
	case number:
		at, _, ok = numberIn(text, k.comma)
		at *= w.size
	case clock:
		at, ok = clockOf(text, w.minutes)
		if ok && w.day >= 0 {
			text = cell(cells, w.day)
			at, ok = k.dated(text, at)
		}
	default:
		date, hour := parts(text)
		if hour == "" && date != "" { // some write no clock at midnight
			hour = "0:00"
		}
		if at, ok = clockOf(hour, false); ok {
			at, ok = k.dated(date, at)
		}
	}
	if !ok || at-at != 0 {
		return 0, bad()
	}
	n := len(k.times)
	if w.kind == clock && w.day < 0 && n > 0 {
		at = k.midnight(at)
	}
	if n > 0 && at < k.times[n-1]-shortBack {
		return 0, refuse(line, "put the rows in order, and keep one run of the logger in a file",
			"goes back in time by %s s", trimmed(k.times[n-1]-at))
	}
	return at, nil
}

func (k *clerk) dated(text string, at float64) (float64, bool) {
	d, ok := dayOf(text)
	if !ok {
		return 0, false
	}
	n, ok := d.number(k.when.order)
	return at + 86400*float64(n), ok
}

// midnight carries a clock over midnight, and one of twelve hours over noon.
func (k *clerk) midnight(at float64) float64 {
	const half, longBack, soon = 43200.0, 6 * 3600.0, 2 * 3600.0
	last := k.times[len(k.times)-1]
	if at+k.shift >= last-longBack {
		return at + k.shift
	}
	if ahead := at + k.shift + half - last; ahead > 0 && ahead < soon {
		k.shift += half
	} else {
		k.shift += 2 * half
		k.nights++
	}
	return at + k.shift
}

// sharedTimes tells whether several rows share a time as a rule: a clock without
// seconds, read more often than each minute.
func (k *clerk) sharedTimes() bool {
	if k.twinTime || k.when.kind == number {
		return k.twinTime
	}
	same := 0
	for i, row := range k.sample[1:] {
		if cell(row, k.when.at) == cell(k.sample[i], k.when.at) {
			same++
		}
	}
	const often = 5 // one row in so many
	k.twinTime = same*often > len(k.sample)
	return k.twinTime
}

func (k *clerk) finish() error {
	if len(k.times) < 2 {
		return refuse(0, "write a time and a temperature on each line", "it holds %d readings, a trace needs two or more", len(k.times))
	}
	if k.twinTime {
		k.spread()
		k.say("Several rows share a time; they are spread evenly up to the next.")
	}
	if first := k.times[0]; k.log.Clock || first > 1e6 {
		k.log.Clock = true
		for i := range k.times {
			k.times[i] -= first
		}
	}
	for _, x := range k.times {
		if !(x >= -864000 && x <= 120*86400) {
			return refuse(0, "write the unit of the times as cure.trace.time", "the times run to %s h", trimmed(x/3600))
		}
	}
	if k.nights > 0 {
		k.say("The clock passes midnight %s.", times(k.nights))
	}
	if k.twins > 0 {
		k.say("%d rows at the time of the row before are passed over.", k.twins)
	}
	if k.over > 0 {
		k.say("%d rows hold words only and are passed over.", k.over)
	}
	k.log.Times = k.times
	for i, p := range k.temps {
		k.log.Channels = append(k.log.Channels, Channel{Name: p.name, Values: k.values[i]})
	}
	k.say("%d readings over %s h.", len(k.times), trimmed((k.times[len(k.times)-1]-k.times[0])/3600))
	return nil
}

func times(n int) string {
	if n == 1 {
		return "once"
	}
	return itoa(n) + " times"
}

// spread shares the span to the next time out among rows that have the same.
func (k *clerk) spread() {
	for i := 0; i < len(k.times); {
		j := i
		for j < len(k.times) && k.times[j] == k.times[i] {
			j++
		}
		const minute = 60 // all that a clock without seconds leaves open
		span := float64(minute)
		switch {
		case j < len(k.times):
			span = k.times[j] - k.times[i]
		case i > 0:
			span = (k.times[i] - k.times[i-1]) * float64(j-i)
		}
		for n := i; n < j; n++ {
			k.times[n] += span * float64(n-i) / float64(j-i)
		}
		i = j
	}
}
