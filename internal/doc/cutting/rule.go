package cutting

import (
	"fmt"
	"math"
	"strings"

	"laywright/internal/base/si"
)

// rule is what the person at the table measures with: a metric one, or one of
// inches.
type rule struct{ inches bool }

func ruleOf(s si.System) rule { return rule{s == si.US} }

const inch = 0.0254 // m

// unit names what the rule counts in.
func (r rule) unit() string {
	if r.inches {
		return "in"
	}
	return "mm"
}

// units names it in full.
func (r rule) units() string {
	if r.inches {
		return "inches"
	}
	return "millimetres"
}

// step parts the marks along a straight edge, m.
func (r rule) step() float64 {
	if r.inches {
		return inch
	}
	return 0.025
}

// text is a length in metres as it is read off the rule, without its unit: to half
// a millimetre, or to a thirty-second of an inch.
func (r rule) text(x float64) string {
	if r.inches {
		return fraction(x / inch)
	}
	s := strings.TrimSuffix(fmt.Sprintf("%.1f", math.Round(x*2000)/2+0), ".0")
	return strings.Replace(s, "-", "−", 1)
}

// with is a length with its unit.
func (r rule) with(x float64) string { return r.text(x) + " " + r.unit() }

// parts is how finely an inch is read.
const parts = 32

// fraction writes inches as whole ones and the shortest fraction: "16 7/32".
func fraction(x float64) string {
	n := int(math.Round(math.Abs(x) * parts))
	sign := ""
	if x < 0 && n > 0 {
		sign = "−"
	}
	whole, top, bottom := n/parts, n%parts, parts
	for top > 0 && top%2 == 0 {
		top, bottom = top/2, bottom/2
	}
	switch {
	case top == 0:
		return fmt.Sprintf("%s%d", sign, whole)
	case whole == 0:
		return fmt.Sprintf("%s%d/%d", sign, top, bottom)
	}
	return fmt.Sprintf("%s%d %d/%d", sign, whole, top, bottom)
}
