package tracefile

import (
	"regexp"
	"strings"
)

// temperatureUnit returns degC, degF or K for a word that means one of them.
func temperatureUnit(w string) string {
	w = strings.ToLower(strings.Trim(w, " .:"))
	w = strings.NewReplacer("°", "deg", "º", "deg", "˚", "deg", "℃", "degc", "℉", "degf", " ", "", "_", "", "degrees", "deg", "degree", "deg", "grad", "deg", "deg.", "deg").Replace(w)
	switch w {
	case "c", "degc", "celsius", "degcelsius", "centigrade":
		return "degC"
	case "f", "degf", "fahrenheit", "degfahrenheit":
		return "degF"
	case "k", "degk", "kelvin":
		return "K"
	}
	return ""
}

// timeUnit returns ms, s, min, h or d for a word that means one of them.
func timeUnit(w string) string {
	switch strings.ToLower(strings.Trim(w, " .:")) {
	case "ms", "msec", "millisecond", "milliseconds", "millis", "millisekunden":
		return "ms"
	case "s", "sec", "secs", "second", "seconds", "sek", "sekunden", "secondes":
		return "s"
	case "m", "min", "mins", "minute", "minutes", "minuten", "mn":
		return "min"
	case "h", "hr", "hrs", "hour", "hours", "std", "stunden", "heures":
		return "h"
	case "d", "day", "days", "tage", "jours":
		return "d"
	}
	return ""
}

var timeSizes = map[string]float64{"ms": 1e-3, "s": 1, "min": 60, "h": 3600, "d": 86400}

func toKelvin(x float64, unit string) float64 {
	switch unit {
	case "degF":
		return (x-32)/1.8 + 273.15
	case "K":
		return x
	}
	return x + 273.15
}

var (
	bracketed = regexp.MustCompile(`[\[({]\s*([^\])}]*?)\s*[\])}]`)
	tail      = regexp.MustCompile(`[\s_/,.:-]+(?:in\s+)?(°?\s?[A-Za-zº˚℃℉]+)$|(°\s?[CFcf]|[℃℉])$`)
)

// unitOf takes a unit out of a heading: "TC1 (degF)", "mould/°C", "time_s", "min".
func unitOf(heading string, known func(string) string) (name, unit string) {
	if unit = known(heading); unit != "" {
		return "", unit
	}
	for _, m := range bracketed.FindAllStringSubmatchIndex(heading, -1) {
		if unit = known(heading[m[2]:m[3]]); unit != "" {
			return tidy(heading[:m[0]] + " " + heading[m[1]:]), unit
		}
	}
	if m := tail.FindStringSubmatchIndex(heading); m != nil {
		from, to := m[2], m[3]
		if from < 0 {
			from, to = m[4], m[5]
		}
		// "Probe C" and "TC K" are names, "Temp C" is none.
		named := to-from == 1 && heading[from-1] == ' ' && !strings.Contains(strings.ToLower(heading), "temp")
		if unit = known(heading[from:to]); unit != "" && !named {
			return tidy(heading[:m[0]]), unit
		}
	}
	return tidy(heading), ""
}

func tidy(s string) string {
	return strings.Trim(strings.Join(strings.Fields(s), " "), " ,;:/_-.#")
}

// words parts a heading into lower-case words: "Oven_Air 2" gives oven, air, 2.
func words(heading string) []string {
	return strings.FieldsFunc(strings.ToLower(heading), func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '%' || r > 127)
	})
}

// Words by which headings speak.
var (
	timeWords  = list("time times elapsed zeit uhrzeit clock timestamp datetime date datum temps heure runtime t tijd hora tempo tid seconds secs sec s minutes minute mins min hours hour hrs h days day ms")
	countWords = list("no nr index idx record rec scan sample samples row n entry counter count number num #")
	otherWords = list("pressure vacuum vac mbar bar kpa hpa pa psi torr inhg mmhg humidity rh % %rh moisture dew volt voltage volts mv v battery batt amps current ma power kw watts" +
		" setpoint sp sv target demand output duty alarm status state flag mode event marker weight mass kg strain rate rpm flow error vakuum druck feuchte soll")
	coldWords = list("cjc junction")
)

func list(s string) map[string]bool {
	out := map[string]bool{}
	for _, w := range strings.Fields(s) {
		out[w] = true
	}
	return out
}

func says(heading string, about map[string]bool) bool {
	for _, w := range words(heading) {
		if about[w] {
			return true
		}
	}
	return false
}
