package tracefile

import (
	"strconv"
	"strings"
	"time"
)

// order is in which order a date's numbers stand.
type order int

const (
	yearFirst order = iota
	dayFirst
	monthFirst
	either // by slash or stroke: day or month first
)

// day is a date as it is written: its three numbers, and their order.
type day struct {
	n     [3]int
	order order
}

// number returns the day's count, with what an unsettled order is taken to be.
func (d day) number(o order) (int, bool) {
	if d.order != either {
		o = d.order
	}
	y, m, x := d.n[0], d.n[1], d.n[2]
	switch o {
	case dayFirst:
		x, m, y = d.n[0], d.n[1], d.n[2]
	case monthFirst:
		m, x, y = d.n[0], d.n[1], d.n[2]
	}
	if y < 100 {
		y += 2000
	}
	at := time.Date(y, time.Month(m), x, 0, 0, 0, 0, time.UTC)
	if y < 1900 || y > 2200 || at.Day() != x || int(at.Month()) != m {
		return 0, false
	}
	return int(at.Unix() / 86400), true
}

const months = "jan feb mar apr may jun jul aug sep oct nov dec"

// dayOf reads a date: 2024-05-01, 1.5.2024, 5/1/24, 01-May-2024, May 1 2024.
func dayOf(text string) (d day, ok bool) {
	fields := strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune("-/. ,", r) })
	if len(fields) != 3 {
		return d, false
	}
	named := -1
	for i, f := range fields {
		n, err := strconv.Atoi(f)
		if err != nil {
			at := -1
			if len(f) >= 3 && len(f) <= 9 {
				at = strings.Index(months, strings.ToLower(f[:3]))
			}
			if at < 0 || at%4 != 0 || named >= 0 {
				return d, false
			}
			n, named = at/4+1, i
		}
		if n < 0 {
			return d, false
		}
		d.n[i] = n
	}
	switch {
	case named == 2:
		return d, false
	case named == 0:
		d.order = monthFirst
	case len(fields[0]) == 4:
		d.order = yearFirst
	case named == 1 || strings.Count(text, ".") == 2:
		d.order = dayFirst
	case strings.ContainsAny(text, "/-"):
		d.order = either
	default:
		return d, false
	}
	if d.order == either {
		_, a := d.number(dayFirst)
		_, b := d.number(monthFirst)
		return d, a || b
	}
	_, ok = d.number(d.order)
	return d, ok
}

// parts parts a date from its clock; either may be empty.
func parts(cell string) (date, clock string) {
	if i := strings.IndexByte(cell, 'T'); i >= 8 && i+1 < len(cell) && isDigit(cell[i-1]) && isDigit(cell[i+1]) {
		return cell[:i], cell[i+1:]
	}
	colon := strings.IndexByte(cell, ':')
	if colon < 0 {
		return cell, ""
	}
	if space := strings.LastIndexAny(cell[:colon], " "); space >= 0 {
		return strings.TrimSpace(cell[:space]), cell[space+1:]
	}
	return "", cell
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// clockOf reads a clock in seconds: 13:30, 1:30:00 PM, 13:30:00.5Z, 13:30+02:00.
// Elapsed hours may pass 24. minutes reads two numbers as minutes and seconds.
func clockOf(text string, minutes bool) (s float64, ok bool) {
	text = strings.ToUpper(strings.TrimSpace(text))
	noon, half := 0.0, false
	for _, m := range []string{"AM", "PM", "A.M.", "P.M."} {
		if before, found := strings.CutSuffix(text, m); found {
			text, half = strings.TrimSpace(before), true
			if m[0] == 'P' {
				noon = 12
			}
			break
		}
	}
	text = strings.TrimSuffix(text, "Z")
	offset := 0.0
	if i := strings.LastIndexAny(text, "+-"); i > 0 {
		ahead, ok := zone(text[i+1:])
		if !ok {
			return 0, false
		}
		if offset = ahead; text[i] == '-' {
			offset = -ahead
		}
		text = text[:i]
	}
	fields := strings.Split(text, ":")
	if len(fields) < 2 || len(fields) > 3 {
		return 0, false
	}
	var n [3]float64
	for i, f := range fields {
		f = strings.Replace(f, ",", ".", 1)
		if f == "" || !isDigit(f[0]) || strings.ContainsAny(f, "EXP_N") {
			return 0, false
		}
		x, err := strconv.ParseFloat(f, 64)
		if err != nil || i > 0 && x >= 60 || i == 0 && x >= 1e5 {
			return 0, false
		}
		n[i] = x
	}
	if half {
		if n[0] < 1 || n[0] > 12 {
			return 0, false
		}
		if n[0] == 12 {
			n[0] = 0
		}
		n[0] += noon
	}
	if minutes && len(fields) == 2 {
		return n[0]*60 + n[1], true
	}
	return n[0]*3600 + n[1]*60 + n[2] - offset, true
}

// zone reads how far a clock is ahead of Greenwich, in seconds: 02:00, 0200, 02.
func zone(text string) (float64, bool) {
	text = strings.ReplaceAll(text, ":", "")
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 || len(text) != 2 && len(text) != 4 {
		return 0, false
	}
	if len(text) == 2 {
		n *= 100
	}
	return float64(n/100*3600 + n%100*60), n <= 1400
}
