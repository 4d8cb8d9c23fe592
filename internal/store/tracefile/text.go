package tracefile

import (
	"bytes"
	"encoding/binary"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// decode returns the text of a file in UTF-8, in UTF-16, or, where it is neither,
// in Latin-1, which older loggers write the degree sign in.
func decode(source []byte) (string, error) {
	switch {
	case bytes.HasPrefix(source, []byte{0xff, 0xfe}):
		return wide(source[2:], binary.LittleEndian), nil
	case bytes.HasPrefix(source, []byte{0xfe, 0xff}):
		return wide(source[2:], binary.BigEndian), nil
	}
	source = bytes.TrimPrefix(source, []byte("\xef\xbb\xbf"))
	if bytes.IndexByte(source, 0) >= 0 {
		return "", refuse(0, "export it from the logger's program as CSV text", "this is no text file")
	}
	if utf8.Valid(source) {
		return string(source), nil
	}
	var b strings.Builder
	for _, c := range source {
		b.WriteRune(rune(c))
	}
	return b.String(), nil
}

func wide(source []byte, order binary.ByteOrder) string {
	units := make([]uint16, len(source)/2)
	for i := range units {
		units[i] = order.Uint16(source[2*i:])
	}
	return string(utf16.Decode(units))
}

// linesOf parts the text at every kind of line end.
func linesOf(text string) []string {
	if strings.Contains(text, "\r") {
		text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	}
	return strings.Split(text, "\n")
}

// Separators that are no single rune.
const (
	spaces = ' '      // one or more spaces
	gaps   = '\u2003' // two or more spaces
)

// separators in the order in which they are tried.
var separators = []struct {
	mark rune
	name string
}{{'\t', "tabs"}, {';', "semicolons"}, {'|', "bars"}, {',', "commas"}, {gaps, "wide spaces"}, {spaces, "spaces"}}

// cellsOf parts a line. Cells may stand in double quotes.
func cellsOf(line string, mark rune) []string {
	switch mark {
	case spaces:
		return halves(strings.Fields(line))
	case gaps:
		var out []string
		for _, c := range strings.Split(strings.TrimSpace(line), "  ") {
			if c = strings.TrimSpace(c); c != "" {
				out = append(out, c)
			}
		}
		return out
	}
	if !strings.Contains(line, `"`) {
		out := strings.Split(line, string(mark))
		for i, c := range out {
			out[i] = strings.TrimSpace(c)
		}
		return out
	}
	var out []string
	var b strings.Builder
	quoted := false
	for _, r := range line {
		switch {
		case r == '"':
			quoted = !quoted
		case r == mark && !quoted:
			out = append(out, strings.TrimSpace(b.String()))
			b.Reset()
		default:
			b.WriteRune(r)
		}
	}
	return append(out, strings.TrimSpace(b.String()))
}

// halves joins the half of the day to its clock: "1:30", "PM".
func halves(cells []string) []string {
	out := cells[:0]
	for _, c := range cells {
		if half := strings.ToUpper(c); (half == "AM" || half == "PM") && len(out) > 0 {
			out[len(out)-1] += " " + half
			continue
		}
		out = append(out, c)
	}
	return out
}
