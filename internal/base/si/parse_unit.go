package si

import (
	"math"
	"strings"
	"unicode"
	"unicode/utf8"
)

// unit reads a product of units: "m", "oz/yd^2", "W/(m K)", "1/K".
func (p *parser) unit(k Kind) (unit, error) {
	p.space()
	p.rest = strings.Replace(p.rest, "fl oz", "fl_oz", 1)
	if p.rest == "" || strings.HasPrefix(p.rest, "±") || strings.HasPrefix(p.rest, "+") {
		return none, nil
	}
	return p.product(k, 0)
}

const maxNesting = 8

func (p *parser) product(k Kind, depth int) (unit, error) {
	if depth > maxNesting {
		return unit{}, p.fail("too many brackets in the unit")
	}
	at := *p
	out, err := p.factor(k, depth)
	if err != nil {
		return unit{}, err
	}
	for {
		sign, more := p.operator()
		if !more {
			return out, nil
		}
		f, err := p.factor(k, depth)
		if err != nil {
			return unit{}, err
		}
		if out.scale || f.scale {
			return unit{}, at.fail("a thermometer scale can't stand in a compound unit; write K or delta_degF")
		}
		out.dim = out.dim.times(f.dim, sign)
		out.size *= math.Pow(f.size, float64(sign))
	}
}

// operator takes what joins two factors; a space joins as a product.
func (p *parser) operator() (sign int8, more bool) {
	before := p.rest
	p.space()
	switch {
	case p.eat("/"):
		sign = -1
	case p.eat("*", "·", "⋅"):
		sign = 1
	case p.rest != before && p.rest != "" && startsUnit(p.rest):
		return 1, true
	default:
		p.rest = before
		return 0, false
	}
	p.space()
	return sign, true
}

func startsUnit(s string) bool {
	r, _ := utf8.DecodeRuneInString(s)
	return unicode.IsLetter(r) || r == '(' || r == '%' || r == '°'
}

func (p *parser) factor(k Kind, depth int) (unit, error) {
	at := *p
	var u unit
	switch {
	case p.eat("("):
		inner, err := p.product(k, depth+1)
		if err != nil {
			return unit{}, err
		}
		p.space()
		if !p.eat(")") {
			return unit{}, p.fail("a closing bracket is missing in the unit")
		}
		u = inner
	case strings.HasPrefix(p.rest, "1/"):
		p.rest = p.rest[1:]
		return none, nil
	default:
		name := p.name()
		found, ok := units[name]
		if !ok {
			return unit{}, at.unknown(name, k)
		}
		u = found
	}
	power, err := p.power()
	if err != nil {
		return unit{}, err
	}
	if power == 1 {
		return u, nil
	}
	if u.scale {
		return unit{}, at.fail("a thermometer scale can't stand in a compound unit; write K or delta_degF")
	}
	return unit{dim: Dim{}.times(u.dim, power), size: math.Pow(u.size, float64(power))}, nil
}

// name takes a unit's name: letters, µ, °, % and, for inH2O, the digit inside.
func (p *parser) name() string {
	if strings.HasPrefix(p.rest, "inH2O") {
		p.rest = p.rest[5:]
		return "inH2O"
	}
	n := 0
	for n < len(p.rest) {
		r, size := utf8.DecodeRuneInString(p.rest[n:])
		if !unicode.IsLetter(r) && !strings.ContainsRune("°%_", r) {
			break
		}
		n += size
	}
	name := p.rest[:n]
	p.rest = p.rest[n:]
	return name
}

func (p *parser) unknown(name string, k Kind) error {
	if name == "" {
		return p.fail("a unit must stand here; write the value like %q", k.Example)
	}
	return p.fail("%q is not a unit known here; this is %s, write it like %q", name, an(k.Name), k.Example)
}

const maxPower = 6

// power reads "^2", "^-1", "²", "³" or a bare digit as in "m2".
func (p *parser) power() (int8, error) {
	if p.eat("²") {
		return 2, nil
	}
	if p.eat("³") {
		return 3, nil
	}
	caret := p.eat("^")
	if !caret && !isDigits(p.rest) {
		return 1, nil
	}
	at := *p
	sign := int8(1)
	if caret && p.eat("-") {
		sign = -1
	}
	if !isDigits(p.rest) {
		return 0, at.fail("a power is a whole number, like m^2")
	}
	n := int8(p.rest[0] - '0')
	p.rest = p.rest[1:]
	if n > maxPower || isDigits(p.rest) {
		return 0, at.fail("a power is at most %d", maxPower)
	}
	return sign * n, nil
}
