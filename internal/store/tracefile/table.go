package tracefile

import (
	"strings"
)

// table is a file on its way to a log.
type table struct {
	asked Asked
	log   Log

	lines []string
	mark  rune // between cells
	comma bool // the decimal mark is a comma
	first int  // the first row of readings, an index of lines
	width int
	heads []string // by column; empty: none
	head  int      // the line they stand in, from 1; 0: none
	above []string // lines over the headings

	sample [][]string
	seen   [][kinds]int // how often a column looks like what

	when  when
	temps []column
}

// column is one of temperatures.
type column struct {
	at   int
	name string
	unit string
}

// sampled is how many rows the layout is found from.
const sampled = 400

// split finds separator, decimal mark, the first row and the headings.
func (t *table) split(text string) error {
	t.lines = linesOf(text)
	for i, line := range t.lines {
		if len(line) > maxLine {
			return refuse(i+1, "export one reading a line", "is longer than %d characters", maxLine)
		}
	}
	best := 0
	name := ""
	for _, s := range separators {
		if n := t.rowsBy(s.mark); n > best {
			best, t.mark, name = n, s.mark, s.name
		}
	}
	if best == 0 {
		return refuse(0, "write a time and a temperature on each line, such as 10,21.5 under a heading min,degC", "it holds no row of a time and a temperature")
	}
	if err := t.firstRow(); err != nil {
		return err
	}
	t.decimalMark()
	t.headings()
	if t.commasTwice() {
		return refuse(t.first+1, "save it with semicolons between the cells", "holds more cells than there are headings, and commas both between them and for decimals")
	}
	marks := "points"
	if t.comma {
		marks = "commas"
	}
	t.say("Cells are parted by %s, decimals by %s.", name, marks)
	switch {
	case t.head > 0:
		t.say("Line %d holds the headings, readings begin in line %d.", t.head, t.first+1)
	default:
		t.say("There are no headings, readings begin in line %d.", t.first+1)
	}
	return nil
}

func isComment(line string) bool {
	line = strings.TrimSpace(line)
	return strings.HasPrefix(line, "#") || strings.HasPrefix(line, "%") || strings.HasPrefix(line, "//")
}

func blank(line string) bool { return strings.Trim(line, " \t,;|") == "" }

// rowsBy counts the rows of readings among the first lines, were they parted so.
func (t *table) rowsBy(mark rune) (n int) {
	looked := 0
	for _, line := range t.lines {
		if blank(line) || isComment(line) {
			continue
		}
		if looked++; looked > sampled {
			break
		}
		if isRow(cellsOf(line, mark)) {
			n++
		}
	}
	return n
}

// isRow tells whether cells are a row of readings: a time or a count, and one
// thing more that is a number or stands where one would.
func isRow(cells []string) bool {
	if len(cells) < 2 || len(cells) > maxColumns {
		return false
	}
	var seen [kinds]int
	lead := kinds
	for _, c := range cells {
		k := kindOf(c)
		seen[k]++
		if lead == kinds && k != missing {
			lead = k
		}
	}
	values := seen[number] + seen[clock] + seen[date] + seen[moment]
	if seen[broken] > 0 || values == 0 || lead == word && values < 2 {
		return false
	}
	return values+seen[missing] >= 2 && seen[number]+seen[missing] >= 1
}

// firstRow finds how wide rows are and where they begin, and takes the sample.
func (t *table) firstRow() error {
	widths := map[int]int{}
	var rows []int
	for i, line := range t.lines {
		if len(rows) >= sampled {
			break
		}
		if blank(line) || isComment(line) {
			continue
		}
		if cells := cellsOf(line, t.mark); isRow(cells) {
			widths[len(cells)]++
			rows = append(rows, i)
		}
	}
	for w, n := range widths {
		if n > widths[t.width] || n == widths[t.width] && w > t.width {
			t.width = w
		}
	}
	t.first = -1
	lead := missing
	for _, i := range rows {
		if cells := cellsOf(t.lines[i], t.mark); len(cells) == t.width {
			lead = kindOf(cells[0])
			break
		}
	}
	for _, i := range rows {
		cells := cellsOf(t.lines[i], t.mark)
		if t.first < 0 && len(cells) != t.width && (len(cells) > t.width || kindOf(cells[0]) != lead) {
			continue // a line of the logger's own data
		}
		if t.first < 0 {
			t.first, t.seen = i, make([][kinds]int, t.width)
		}
		t.sample = append(t.sample, cells)
		for c := range min(len(cells), t.width) {
			t.seen[c][kindOf(cells[c])]++
		}
	}
	if t.width < 2 {
		return refuse(t.first+1, "write a time and a temperature on each line", "holds one number only")
	}
	return nil
}

// decimalMark counts the numbers with a comma against those with a point.
func (t *table) decimalMark() {
	commas, points := 0, 0
	for _, row := range t.sample {
		for _, c := range row {
			if kindOf(c) != number {
				continue
			}
			commas += strings.Count(c, ",")
			points += strings.Count(c, ".")
		}
	}
	t.comma = commas > points
}

// headings takes the line over the readings, and the one over that where the
// first holds only units. It may stand behind a comment mark.
func (t *table) headings() {
	t.heads = make([]string, t.width)
	var units []string
	for i := t.first - 1; i >= 0; i-- {
		if blank(t.lines[i]) {
			continue
		}
		cells, ok := t.asHeadings(t.lines[i])
		switch {
		case !ok:
			t.above = t.lines[:i+1]
			return
		case units == nil && onlyUnits(cells):
			units, t.head = cells, i+1
			copy(t.heads, cells)
			continue
		}
		t.head, t.above = i+1, t.lines[:i]
		for c := range t.heads {
			t.heads[c] = cells[c]
			if units != nil && units[c] != "" {
				t.heads[c] += " [" + strings.Trim(units[c], "[]()") + "]"
			}
		}
		return
	}
}

// asHeadings parts a line into headings, one a column.
func (t *table) asHeadings(line string) ([]string, bool) {
	if isComment(line) {
		line = strings.TrimLeft(strings.TrimSpace(line), "#%/ ")
	}
	for _, mark := range []rune{t.mark, gaps, '\t', ',', ';'} {
		cells := cellsOf(line, mark)
		for len(cells) > t.width && cells[len(cells)-1] == "" {
			cells = cells[:len(cells)-1]
		}
		if len(cells) < t.width && len(cells) > 1 && mark == t.mark && mark != spaces {
			cells = append(cells, make([]string, t.width-len(cells))...)
		}
		if len(cells) != t.width {
			continue
		}
		told := 0
		for _, c := range cells {
			if k := kindOf(c); k == word {
				told++
			}
		}
		if told > 0 {
			return cells, true
		}
	}
	return nil, false
}

// commasTwice tells of rows such as 5,20,5 under two headings.
func (t *table) commasTwice() bool {
	if t.mark != ',' || t.head == 0 || t.heads[t.width-1] != "" {
		return false
	}
	for _, row := range t.sample {
		if strings.ContainsAny(strings.Join(row, ""), ".,") || cell(row, t.width-1) == "" {
			return false
		}
	}
	return true
}

func onlyUnits(cells []string) bool {
	some := false
	for _, c := range cells {
		c = strings.Trim(c, "[]()")
		if c == "" || c == "-" {
			continue
		}
		if temperatureUnit(c) == "" && timeUnit(c) == "" && !says(c, otherWords) && kindOf(c) != clock && !strings.Contains(c, ":") {
			return false
		}
		some = true
	}
	return some
}

// named is how sentences call a column.
func (t *table) named(c int) string {
	if t.heads[c] == "" {
		return "column " + itoa(c+1)
	}
	return "column " + itoa(c+1) + " '" + t.heads[c] + "'"
}

// mostly returns what a column's cells look like, empty ones aside.
func (t *table) mostly(c int) kind {
	best := missing
	for k := word; k < kinds; k++ {
		if t.seen[c][k] > t.seen[c][best] || best == missing && t.seen[c][k] > 0 {
			best = k
		}
	}
	return best
}

// cell returns a row's cell, empty past its end.
func cell(row []string, c int) string {
	if c >= len(row) {
		return ""
	}
	return row[c]
}
