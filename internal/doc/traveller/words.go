package traveller

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"laywright/internal/base/si"
	"laywright/internal/job"
)

// words writes quantities as the job wants them shown.
type words struct{ system si.System }

func wordsOf(p job.Plan) words {
	if p.Spec.Show == si.US {
		return words{si.US}
	}
	return words{si.Metric}
}

func show[Q si.Quantity](w words, q Q) string { return pretty(si.Show(q, w.system, 3)) }

// grams writes a mass as a scale shows it.
func grams(m si.Mass) string { return fmt.Sprintf("%.1f g", 1000*float64(m)) }

// minutes writes a time as a wall clock would tell it.
func minutes(t si.Time) string {
	m := int(float64(t)/60 + 0.5)
	switch {
	case m < 90:
		return fmt.Sprintf("%d min", m)
	case m < 48*60:
		return fmt.Sprintf("%d h %02d", m/60, m%60)
	}
	return fmt.Sprintf("%d d %d h", m/1440, m%1440/60)
}

// pretty writes units as print does.
func pretty(s string) string {
	return strings.NewReplacer("delta_degF", "°F", "degC", "°C", "degF", "°F", "^2", "²", "^3", "³", "*", "·").Replace(s)
}

// sentence begins with a capital, ends with a full stop and has units as print
// does.
func sentence(s string) string {
	s = pretty(s)
	if s == "" {
		return ""
	}
	r, n := utf8.DecodeRuneInString(s)
	s = string(unicode.ToUpper(r)) + s[n:]
	if strings.HasSuffix(s, ".") {
		return s
	}
	return s + "."
}

func seconds(s float64) si.Time { return si.Time(s) }
