package traveller

import (
	"fmt"
	"strings"

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

func show[Q si.Quantity](w words, q Q) string { return si.Typeset(si.Show(q, w.system, 3)) }

// length writes what is measured off with a tape: millimetres or inches, and
// metres or feet from ten of them on.
func length(w words, l si.Length) string {
	switch {
	case w.system == si.US && l < 10*0.3048:
		return fmt.Sprintf("%.1f in", float64(l)/0.0254)
	case w.system == si.Metric && l < 10:
		return fmt.Sprintf("%.0f mm", 1000*float64(l))
	}
	return show(w, l)
}

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
	h := (m + 30) / 60
	return fmt.Sprintf("%d d %d h", h/24, h%24)
}

// times says how often.
func times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

// layers counts layers.
func layers(n int) string {
	if n == 1 {
		return "1 layer"
	}
	return fmt.Sprintf("%d layers", n)
}

// withUnit puts the unit behind a number; a degree sign stands close.
func withUnit(number, unit string) string {
	switch unit {
	case "":
		return number
	case "deg":
		return number + "°"
	}
	return number + " " + si.Typeset(unit)
}

// withoutStop drops a full stop at the end, to go on with the sentence.
func withoutStop(s string) string { return strings.TrimSuffix(s, ".") }
