package tracefile

import (
	"math"
	"strconv"
	"strings"
)

// kind is what a cell looks like.
type kind int

const (
	missing kind = iota // empty, or a logger's word for no reading
	word
	number
	clock
	date
	moment // date and clock
	broken // begins like a number and goes on as none
	kinds
)

// noReading holds what loggers write where they have none.
var noReading = wordSet(`nan na n/a n.a. null none nil ol 0l o/l o.l. open over under ovfl ovld overload overrange underrange
	over-range under-range err error fail fault inf -inf +inf infinity short open/short burnout disconnected invalid bad void
	#n/a #value! #num! #ref! #div/0! ? missing off oor tc_open opentc no_probe "no probe" "no data"`)

func wordSet(words string) map[string]bool {
	out := map[string]bool{"no probe": true, "no data": true, "open tc": true, "not connected": true, "out of range": true}
	for _, w := range strings.Fields(words) {
		out[w] = true
	}
	return out
}

func isMissing(cell string) bool {
	bare := strings.Trim(cell, "-_*. ")
	return bare == "" || noReading[strings.ToLower(cell)] || noReading[strings.ToLower(bare)]
}

// kindOf looks at a cell.
func kindOf(cell string) kind {
	if isMissing(cell) {
		return missing
	}
	if _, _, ok := numberIn(cell, strings.Contains(cell, ",")); ok {
		return number
	}
	day, hour := parts(cell)
	_, isDate := dayOf(day)
	_, isClock := clockOf(hour, false)
	switch {
	case day != "" && hour != "" && isDate && isClock:
		return moment
	case hour == "" && isDate:
		return date
	case day == "" && isClock:
		return clock
	case cell[0] >= '0' && cell[0] <= '9' || len(cell) > 1 && (cell[0] == '-' || cell[0] == '+') && cell[1] >= '0' && cell[1] <= '9':
		return broken
	}
	return word
}

// numberIn reads a number with, perhaps, a unit behind it. Where comma is set it
// is the decimal mark.
func numberIn(cell string, comma bool) (x float64, unit string, ok bool) {
	end := 0
	for end < len(cell) {
		c := cell[end]
		digit := c >= '0' && c <= '9'
		sign := (c == '-' || c == '+') && (end == 0 || cell[end-1] == 'e' || cell[end-1] == 'E')
		mark := c == '.' || c == ',' && comma
		power := (c == 'e' || c == 'E') && end > 0 && end+1 < len(cell) && strings.IndexByte("0123456789+-", cell[end+1]) >= 0
		if !digit && !sign && !mark && !power {
			break
		}
		end++
	}
	digits := cell[:end]
	if comma {
		digits = strings.Replace(digits, ",", ".", 1)
	}
	x, err := strconv.ParseFloat(digits, 64)
	if err != nil || math.IsInf(x, 0) {
		return 0, "", false
	}
	if rest := strings.TrimSpace(cell[end:]); rest != "" {
		if unit = temperatureUnit(rest); unit == "" {
			if unit = timeUnit(rest); unit == "" {
				return 0, "", false
			}
		}
	}
	return x, unit, true
}
