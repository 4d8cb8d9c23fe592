package si

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// System is how quantities are shown to a person.
type System string

// The systems a job file may ask for.
const (
	Metric System = "metric"
	US     System = "us"
)

// Text writes q in the named unit with as many digits as bring the same value
// back through [Parse], but for rounding in the last place. The unit must be
// one of q's kind; an unknown one is a bug of the caller and gives the SI unit.
func Text[Q Quantity](q Q, unitText string) string {
	u, ok := unitOf(unitText, q.Kind())
	if !ok {
		u, unitText = none, q.Kind().Unit
	}
	return join(formatExact(u.fromSI(float64(q)-u.zero)), unitText)
}

// Show writes q for a person in the system's own unit of a fitting size, with
// so many significant digits.
func Show[Q Quantity](q Q, s System, digits int) string {
	return ShowKind(float64(q), q.Kind(), s, digits)
}

// ShowKind is [Show] for a size in SI units of kind k.
func ShowKind(size float64, k Kind, s System, digits int) string {
	list := k.Metric
	if s == US {
		list = k.US
	}
	name := list[0]
	for _, candidate := range list {
		u, _ := unitOf(candidate, k)
		if math.Abs(size)/u.size >= 1 {
			name = candidate
		}
	}
	u, _ := unitOf(name, k)
	return join(round(u.fromSI(size-u.zero), digits), strings.Replace(name, "floz", "fl oz", 1))
}

// Typeset writes the units in a text as print does: °C, m², a raised dot.
func Typeset(text string) string {
	return strings.NewReplacer("delta_degF", "°F", "degC", "°C", "degF", "°F", "^2", "²", "^3", "³", "*", "·").Replace(text)
}

// In returns q as a bare number in the named unit; NaN if the unit is not one
// of q's kind.
func In[Q Quantity](q Q, unitText string) float64 {
	u, ok := unitOf(unitText, q.Kind())
	if !ok {
		return math.NaN()
	}
	return u.fromSI(float64(q) - u.zero)
}

// Size returns the SI size of one of the named unit, for lists of numbers that
// share a unit. A thermometer scale has no size alone and is refused.
func Size(unitText string, k Kind) (float64, error) {
	p := &parser{rest: unitText, all: unitText}
	u, err := p.unit(k)
	if err != nil {
		return 0, err
	}
	if u.scale {
		return 0, p.fail("a thermometer scale has no size alone")
	}
	if p.space(); p.rest != "" {
		return 0, p.fail("%q is left over after the unit", p.rest)
	}
	at := parser{rest: unitText, all: unitText}
	return u.size, at.check(u, k, 1)
}

// Convert returns x, a number in the named unit, in SI units.
func Convert(x float64, unitText string, k Kind) (float64, error) {
	p := &parser{rest: unitText, all: unitText}
	u, err := p.unit(k)
	if err != nil {
		return 0, err
	}
	at := parser{rest: unitText, all: unitText}
	if err := at.check(u, k, x); err != nil {
		return 0, err
	}
	return u.toSI(x) + u.zero, nil
}

func unitOf(text string, k Kind) (unit, bool) {
	p := &parser{rest: text, all: text}
	u, err := p.unit(k)
	return u, err == nil && p.rest == "" && u.dim == k.Dim
}

func join(number, unitText string) string {
	if unitText == "" {
		return number
	}
	return number + " " + unitText
}

// round writes x with so many significant digits, without an exponent where a
// person would not write one.
func round(x float64, digits int) string {
	if x == 0 {
		return "0"
	}
	magnitude := int(math.Floor(math.Log10(math.Abs(x))))
	if magnitude < -4 || magnitude > 7 {
		return fmt.Sprintf("%.*g", digits, x)
	}
	s := strconv.FormatFloat(x, 'f', max(0, digits-1-magnitude), 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

func formatExact(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

// localUS is the shop's US unit for a metric one that a finding is written in.
var localUS = map[string]string{"degC": "degF", "K": "delta_degF", "mm": "in", "cm": "in", "m": "ft", "cm^2": "in^2", "m^2": "ft^2",
	"kPa": "psi", "MPa": "ksi", "GPa": "Msi", "g": "oz", "kg": "lb", "g/m^2": "oz/yd^2", "kg/m^2": "oz/yd^2", "W": "BTU/h", "m/s": "kt", "N": "lbf"}

// Localise returns x, a number in the named unit, in the unit that the system's
// shops use for it; as it is where there is none.
func Localise(x float64, unitText string, s System) (float64, string) {
	other, known := localUS[unitText]
	if s != US || !known {
		return x, unitText
	}
	from, to := named(unitText), named(other)
	return to.fromSI(from.toSI(x) + from.zero - to.zero), other
}

// named reads one of this package's own unit texts.
func named(text string) unit {
	u, _ := (&parser{rest: text, all: text}).unit(kinds[fraction])
	return u
}
