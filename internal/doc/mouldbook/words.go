package mouldbook

import (
	"fmt"
	"math"
	"strings"

	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/job"
)

// words writes numbers in the job's units.
type words struct{ us bool }

func wordsOf(p job.Plan) words { return words{p.Spec.Show == si.US} }

const inch = 0.0254 // m

// number writes a length in millimetres, as the drawings have it, to a tenth.
func number(m float64) string { return strip(draw.Number(math.Round(1e4*m)/10, 1)) }

// strip takes needless noughts off a number, and the sign off nought.
func strip(s string) string {
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "−0" || s == "-0" {
		return "0"
	}
	return s
}

// length writes a length in millimetres, for who thinks in inches in these first.
func (w words) length(l si.Length) string {
	if w.us {
		return strip(draw.Number(float64(l)/inch, 2)) + " in (" + mm(float64(l)) + ")"
	}
	return mm(float64(l))
}

// size writes a length by a width.
func (w words) size(l, b si.Length) string {
	both := number(float64(l)) + " × " + number(float64(b)) + " mm"
	if w.us {
		return strip(draw.Number(float64(l)/inch, 1)) + " × " + strip(draw.Number(float64(b)/inch, 1)) + " in (" + both + ")"
	}
	return both
}

// mm writes a length in millimetres with its unit.
func mm(m float64) string { return number(m) + " mm" }

func litres(v si.Volume) string { return fmt.Sprintf("%s l", draw.Short(1000*float64(v))) }

// kilograms writes a mass as the shop's scale shows it.
func (w words) kilograms(m si.Mass) string {
	if m < 1 {
		return fmt.Sprintf("%.0f g", 1000*float64(m))
	}
	if w.us {
		return fmt.Sprintf("%.1f kg (%.1f lb)", float64(m), float64(m)/0.45359237)
	}
	return fmt.Sprintf("%.1f kg", float64(m))
}

// heading begins a sentence.
func heading(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
