package si

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// measures finds one number or several that share a unit: "15 mm", "3 to 5 mm",
// "20 × 30 mm". The unit must be one that [Localise] knows.
var measures = regexp.MustCompile(`(` + numeral + `(?:(?:\s?[–×x]\s?|-| to | and | or | by )` + numeral + `)*)\s?` +
	`(kg/m²|kg/m\^2|g/m²|g/m\^2|cm²|cm\^2|m²|m\^2|m/s|degC|°C|mm|cm|kPa|MPa|GPa|kg|m|K|W|N)`)

var numerals = regexp.MustCompile(numeral)

const numeral = `[−-]?\d+(?:\.\d+)?`

// Sentence rewrites the measures in a text for people, written in metric units, in
// those of the system: "lap it 15 mm" reads "lap it 0.59 in". A number keeps its
// significant digits, at least 2 and at most 3. Places, (0, 12, 50) mm, stay as they
// are, and so do units without another name in the system, and grams: scales in
// shops of both systems read them.
func Sentence(text string, s System) string {
	if s != US {
		return text
	}
	var out strings.Builder
	done := 0
	for _, at := range measures.FindAllStringSubmatchIndex(text, -1) {
		if partOfWord(text, at[0], at[1]) {
			continue
		}
		unit := strings.NewReplacer("°", "deg", "²", "^2").Replace(text[at[4]:at[5]])
		to := unit
		list := numerals.ReplaceAllStringFunc(text[at[2]:at[3]], func(number string) string {
			x, err := strconv.ParseFloat(strings.Replace(number, "−", "-", 1), 64)
			if err != nil {
				return number
			}
			x, to = Localise(x, unit, s)
			return strings.Replace(round(x, kept(number)), "-", number[:len(number)-len(strings.TrimLeft(number, "−-"))], 1)
		})
		out.WriteString(text[done:at[0]])
		out.WriteString(join(list, Typeset(to)))
		done = at[1]
	}
	out.WriteString(text[done:])
	return out.String()
}

// partOfWord tells whether what stands from start to end goes on at either side, as
// the 01 of P01 does.
func partOfWord(text string, start, end int) bool {
	before, _ := utf8.DecodeLastRuneInString(text[:start])
	after, _ := utf8.DecodeRuneInString(text[end:])
	joins := func(r rune) bool {
		return unicode.IsLetter(r) || unicode.IsNumber(r) || strings.ContainsRune("^·*/_", r)
	}
	return joins(before) || before == '.' || joins(after)
}

// kept is how many significant digits of a written number are worth keeping.
func kept(number string) int {
	digits := len(strings.TrimLeft(strings.Replace(strings.TrimLeft(number, "−-"), ".", "", 1), "0"))
	return int(math.Min(3, math.Max(2, float64(digits))))
}
