package tracefile

import (
	"slices"
	"strings"
)

// findTemperatures takes the columns of temperatures and leaves the others out.
func (t *table) findTemperatures() error {
	var plain []column // by no word a temperature
	for c := range t.width {
		if c == t.when.at || c == t.when.day {
			continue
		}
		if why := t.noTemperature(c); why != "" {
			if why != "empty" {
				t.say("%s is left out: %s.", capital(t.named(c)), why)
			}
			continue
		}
		name, unit := unitOf(t.heads[c], temperatureUnit)
		plain = append(plain, column{at: c, name: name, unit: unit})
	}
	if len(plain) == 0 {
		return refuse(t.first+1, "give each row one or more temperatures beside its time", "no column is a temperature")
	}
	t.temps = plain
	t.nameProbes()
	return t.findUnits()
}

// noTemperature says why a column is none; empty: it may be one.
func (t *table) noTemperature(c int) string {
	k := t.mostly(c)
	_, unit := unitOf(t.heads[c], temperatureUnit)
	switch {
	case k == missing && t.heads[c] == "":
		return "empty"
	case k == missing && unit == "":
		return "it holds no reading"
	case k == word || k == broken:
		return "it holds words"
	case k == clock || k == date || k == moment:
		return "the time is taken from " + t.named(t.when.at)
	case says(t.heads[c], otherWords):
		return "its heading speaks of something else than a temperature of the part"
	case says(t.heads[c], coldWords):
		return "it is the logger's own temperature"
	case says(t.heads[c], countWords) && unit == "" && !strings.Contains(strings.ToLower(t.heads[c]), "temp"):
		return "it counts rows"
	case unit == "" && (says(t.heads[c], elapsedWords) || isTimeUnit(t.heads[c])) && t.rises(c):
		return "the time is taken from " + t.named(t.when.at)
	case k == number && unit == "" && t.heads[c] == "" && c < t.when.at && t.rises(c) && t.counts(c):
		return "it counts rows"
	}
	if v := t.values(c); len(v) > 0 {
		const low, high = -60, 700 // in any unit
		if m := v[len(v)/2]; !(m > low && m < high) && !openLead(m) {
			return "its values are no temperatures"
		}
	}
	return ""
}

var elapsedWords = list("time elapsed seconds minutes hours zeit")

func isTimeUnit(heading string) bool {
	_, unit := unitOf(heading, timeUnit)
	return unit != ""
}

// openLead tells what loggers write for an open thermocouple.
func openLead(x float64) bool {
	return x < -200 || x > 1300 && x < 1400 || x > 2400 && x < 2550 || x >= 3276 && x < 3277 || x >= 9999 || x == 999 || x == 850
}

// counts tells whether a column goes up by one from row to row.
func (t *table) counts(c int) bool {
	for i, row := range t.sample[1:] {
		a, _, _ := numberIn(cell(t.sample[i], c), t.comma)
		b, _, _ := numberIn(cell(row, c), t.comma)
		if b-a != 1 {
			return false
		}
	}
	return len(t.sample) > 1
}

// values returns a column's sampled numbers in order of size.
func (t *table) values(c int) (out []float64) {
	for _, row := range t.sample {
		if x, _, ok := numberIn(cell(row, c), t.comma); ok {
			out = append(out, x)
		}
	}
	slices.Sort(out)
	return out
}

// nameProbes gives each column a name of its own.
func (t *table) nameProbes() {
	used := map[string]int{}
	for i := range t.temps {
		p := &t.temps[i]
		if p.name == "" || len(t.temps) > 1 && strings.EqualFold(p.name, "temperature") {
			p.name = "probe " + itoa(i+1)
		}
		if used[p.name]++; used[p.name] > 1 {
			p.name += ", column " + itoa(p.at+1)
		}
	}
}

// findUnits gives each column its unit, and says where it is from.
func (t *table) findUnits() error {
	elsewhere, where := t.unitElsewhere()
	for i := range t.temps {
		p := &t.temps[i]
		from := "from its heading"
		switch {
		case t.asked.Temperature != "":
			p.unit, from = t.asked.Temperature, "as the job file says"
		case p.unit == "K" && t.tooColdForKelvin(p.at):
			p.unit = "degC"
			t.doubt("Column %d is probe '%s', taken for degC: the K of its heading must be the type of thermocouple.", p.at+1, p.name)
			continue
		case p.unit != "":
		case t.unitInCells(p.at) != "":
			p.unit, from = t.unitInCells(p.at), "which stands behind the numbers"
		case elsewhere != "":
			p.unit, from = elsewhere, where
		default:
			unit, why := t.guessUnit()
			p.unit = unit
			t.doubt("Column %d is probe '%s', taken for %s, as %s.", p.at+1, p.name, unit, why)
			continue
		}
		t.say("Column %d is probe '%s' in %s, %s.", p.at+1, p.name, p.unit, from)
	}
	return nil
}

func (t *table) tooColdForKelvin(c int) bool {
	v := t.values(c)
	return len(v) > 0 && v[len(v)/2] < 200
}

func (t *table) unitInCells(c int) string {
	for _, row := range t.sample {
		if _, unit, ok := numberIn(cell(row, c), t.comma); ok && unit != "" {
			return temperatureUnit(unit)
		}
	}
	return ""
}

// unitElsewhere looks in other columns' headings, in a column of units and in the
// lines over the headings.
func (t *table) unitElsewhere() (unit, where string) {
	for _, p := range t.temps {
		if p.unit != "" {
			return p.unit, "as another column's heading says"
		}
	}
	for c := range t.width {
		if t.mostly(c) == word {
			if unit = temperatureUnit(cell(t.sample[0], c)); unit != "" {
				return unit, "which stands in column " + itoa(c+1)
			}
		}
	}
	for i, line := range t.above {
		low := strings.ToLower(line)
		for _, w := range []struct{ word, unit string }{{"°c", "degC"}, {"degc", "degC"}, {"celsius", "degC"}, {"°f", "degF"}, {"degf", "degF"}, {"fahrenheit", "degF"}, {"kelvin", "K"}} {
			if strings.Contains(low, w.word) {
				return w.unit, "as line " + itoa(i+1) + " says"
			}
		}
		if strings.Contains(low, "unit") {
			for _, w := range strings.FieldsFunc(line, func(r rune) bool { return strings.ContainsRune(" ,;:=\t", r) }) {
				if unit = temperatureUnit(w); unit != "" {
					return unit, "as line " + itoa(i+1) + " says"
				}
			}
		}
	}
	return "", ""
}

// guessUnit goes by where the log begins, which is in a shop: 45 stands between
// the coldest of shops in degF and the hottest in degC (judgement).
func (t *table) guessUnit() (unit, why string) {
	var starts []float64
	for _, p := range t.temps {
		for _, row := range t.sample {
			if x, _, ok := numberIn(cell(row, p.at), t.comma); ok && !openLead(x) {
				starts = append(starts, x)
				break
			}
		}
	}
	if len(starts) == 0 {
		return "degC", "it holds no reading"
	}
	slices.Sort(starts)
	start := starts[(len(starts)-1)/2]
	why = "the log begins at " + trimmed(start)
	switch {
	case start > 240 && start < 340:
		return "K", why
	case start >= 45 && start < 240:
		return "degF", why
	}
	return "degC", why
}
