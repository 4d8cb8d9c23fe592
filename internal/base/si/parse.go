package si

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Error is a text that is no quantity: where in the text (column from 1, in
// characters), what is wrong and what to write.
type Error struct {
	Column int
	What   string
}

func (e *Error) Error() string { return e.What }

// Value is a parsed quantity: its size in SI units, and the half-width of its
// tolerance (0 where none was written).
type Value struct {
	SI        float64
	Tolerance float64
}

// Parse reads text such as "2.5 mm", "1 1/4 in", "61 degF ± 4 degF" or
// "0.2 W/(m K)" as a quantity of type Q. The tolerance, if one was written, is
// lost; [ParseKind] keeps it. The error is an [*Error].
func Parse[Q Quantity](text string) (Q, error) {
	var q Q
	v, err := ParseKind(text, q.Kind())
	return Q(v.SI), err
}

// ParseKind reads text as a quantity of kind k, with its tolerance.
func ParseKind(text string, k Kind) (Value, error) {
	p := &parser{rest: text, all: text}
	v, err := p.value(k)
	if err != nil {
		return Value{}, err
	}
	return v, nil
}

type parser struct{ all, rest string }

func (p *parser) fail(format string, a ...any) error {
	at := utf8.RuneCountInString(p.all[:len(p.all)-len(p.rest)])
	return &Error{Column: at + 1, What: fmt.Sprintf(format, a...)}
}

func (p *parser) space() { p.rest = strings.TrimLeft(p.rest, " \t\u00a0\u202f") }

// eat takes the first of the tokens that the text goes on with.
func (p *parser) eat(tokens ...string) bool {
	for _, t := range tokens {
		if strings.HasPrefix(p.rest, t) {
			p.rest = p.rest[len(t):]
			return true
		}
	}
	return false
}

func (p *parser) value(k Kind) (Value, error) {
	whole := *p
	size, err := p.number(k)
	if err != nil {
		return Value{}, err
	}
	at := *p
	u, err := p.unit(k)
	if err != nil {
		return Value{}, err
	}
	v := Value{SI: at.apply(size, u)}
	p.space()
	if p.eat("±", "+/-", "+-") {
		if v.Tolerance, u, err = p.tolerance(k, v, u); err != nil {
			return Value{}, err
		}
		v.SI = at.apply(size, u) // "61 ± 4 degF": the unit may stand only at the end
	}
	p.space()
	if p.rest != "" {
		return Value{}, p.fail("%q is left over after the value; write it like %q", p.rest, k.Example)
	}
	if err := at.check(u, k, size); err != nil {
		return Value{}, err
	}
	if math.IsInf(v.SI, 0) || math.IsNaN(v.SI) {
		return Value{}, whole.fail("%q is not a finite number", p.all)
	}
	return v, nil
}

func (p *parser) apply(size float64, u unit) float64 { return u.toSI(size) + u.zero }

// tolerance reads what follows ±: a number with its own unit, with the value's
// unit, or in percent of the value.
func (p *parser) tolerance(k Kind, v Value, u unit) (float64, unit, error) {
	half, err := p.number(k)
	if err != nil {
		return 0, u, err
	}
	p.space()
	at := *p
	t, err := p.unit(k)
	switch {
	case err != nil:
		return 0, u, err
	case half < 0:
		return 0, u, at.fail("a tolerance is not negative")
	case t == percent && u != percent:
		return percent.toSI(half) * math.Abs(v.SI), u, nil
	case t == none:
		t = u
	case u == none:
		u = t
	case t.dim != u.dim:
		return 0, u, at.fail("the tolerance is %s, the value is not; write both as in %q", an(dimName(t.dim)), k.Example)
	}
	return t.toSI(half), u, nil
}

var (
	none    = unit{size: 1}
	percent = unit{size: 0.01}
)

// check says whether unit u fits kind k, and if not, what to write.
func (p *parser) check(u unit, k Kind, size float64) error {
	p.space()
	switch {
	case u.dim != k.Dim && u == none:
		return p.fail("the unit is missing; this is %s, write it like %q", an(k.Name), k.Example)
	case u.dim != k.Dim:
		return p.fail("this must be %s (%s), not %s; write it like %q", an(k.Name), unitOrPure(k.Unit), an(dimName(u.dim)), k.Example)
	case u.scale && k.Name == kinds[temperatureDifference].Name:
		return p.fail("this is a temperature difference; write it in K or delta_degF, like %q", k.Example)
	case u.delta && k.Name == kinds[temperature].Name:
		return p.fail("this is a difference; a temperature is written like %q", k.Example)
	case k.Name == kinds[temperature].Name && size*u.size+u.zero < 0:
		return p.fail("this is below absolute zero")
	}
	return nil
}

func unitOrPure(u string) string {
	if u == "" {
		return "a pure number"
	}
	return u
}

// an puts the article before a kind's name.
func an(name string) string {
	if strings.ContainsRune("aeiou", rune(name[0])) {
		return "an " + name
	}
	return "a " + name
}

// dimName names a dimension after the first kind that has it.
func dimName(d Dim) string {
	if d == (Dim{}) {
		return "pure number"
	}
	for _, k := range kinds {
		if k.Dim == d {
			return k.Name
		}
	}
	return "quantity of another kind"
}

// number reads a decimal, a fraction "1/4" or a mixed number "1 1/4".
func (p *parser) number(k Kind) (float64, error) {
	p.space()
	at := *p
	negative := p.eat("-", "−")
	if !negative {
		p.eat("+")
	}
	digits, err := p.decimal(k)
	if err != nil {
		p.rest = at.rest
		return 0, at.fail("%s", err)
	}
	x := digits
	if top, bottom, ok := p.fraction(); ok {
		x += top / bottom
	} else if strings.HasPrefix(p.rest, "/") && isDigits(p.rest[1:]) {
		p.rest = p.rest[1:]
		bottom, err := p.decimal(k)
		if err != nil || bottom == 0 {
			return 0, p.fail("a fraction needs a whole number other than 0 below the line, like 1/4")
		}
		x /= bottom
	}
	if negative {
		x = -x
	}
	return x, nil
}

func isDigits(s string) bool { return s != "" && s[0] >= '0' && s[0] <= '9' }

// fraction takes " 1/4" after a whole number, and nothing else.
func (p *parser) fraction() (top, bottom float64, ok bool) {
	rest := strings.TrimLeft(p.rest, " ")
	if len(rest) == len(p.rest) {
		return 0, 0, false
	}
	a, after, found := strings.Cut(rest, "/")
	n := 0
	for n < len(after) && after[n] >= '0' && after[n] <= '9' {
		n++
	}
	top, errTop := strconv.ParseFloat(a, 64)
	bottom, errBottom := strconv.ParseFloat(after[:n], 64)
	if !found || !isDigits(a) || errTop != nil || errBottom != nil || bottom == 0 {
		return 0, 0, false
	}
	p.rest = after[n:]
	return top, bottom, true
}

// decimal takes the longest run that is a number in Go's decimal notation.
func (p *parser) decimal(k Kind) (float64, error) {
	n, dot := 0, false
	for n < len(p.rest) && (p.rest[n] >= '0' && p.rest[n] <= '9' || p.rest[n] == '.' && !dot) {
		dot = dot || p.rest[n] == '.'
		n++
	}
	if n == 0 || p.rest[:n] == "." {
		return 0, fmt.Errorf("a number must stand here; write it like %q", k.Example)
	}
	if n < len(p.rest) && p.rest[n] == ',' {
		return 0, errors.New("a comma can't stand in a number; write 2.5 for two and a half and 4300 for thousands")
	}
	if e := exponent(p.rest[n:]); e > 0 {
		n += e
	}
	x, err := strconv.ParseFloat(p.rest[:n], 64)
	if err != nil {
		return 0, fmt.Errorf("%q is too large for a number", p.rest[:n])
	}
	p.rest = p.rest[n:]
	return x, nil
}

// exponent returns the length of "e-6" at the head of s, 0 if there is none.
func exponent(s string) int {
	if s == "" || s[0] != 'e' && s[0] != 'E' {
		return 0
	}
	n := 1
	if n < len(s) && (s[n] == '+' || s[n] == '-') {
		n++
	}
	if !isDigits(s[n:]) {
		return 0
	}
	for n < len(s) && s[n] >= '0' && s[n] <= '9' {
		n++
	}
	return n
}
