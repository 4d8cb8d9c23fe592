package outlines

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
)

// scanner takes numbers and letters off a text.
type scanner struct{ rest string }

func (s *scanner) space() { s.rest = strings.TrimLeft(s.rest, " \t\r\n,") }

// number takes a number: a sign, digits, a point and an exponent, as far as they go.
func (s *scanner) number() (float64, error) {
	s.space()
	i := 0
	digits := func() {
		for i < len(s.rest) && s.rest[i] >= '0' && s.rest[i] <= '9' {
			i++
		}
	}
	sign := func() {
		if i < len(s.rest) && (s.rest[i] == '+' || s.rest[i] == '-') {
			i++
		}
	}
	sign()
	digits()
	if i < len(s.rest) && s.rest[i] == '.' {
		i++
		digits()
	}
	if mark := i; i < len(s.rest) && (s.rest[i] == 'e' || s.rest[i] == 'E') {
		i++
		sign()
		from := i
		if digits(); i == from {
			i = mark // the letter belongs to a unit
		}
	}
	v := parsed(s.rest[:i])
	if math.IsNaN(v) {
		return v, fmt.Errorf("a number is expected at %q", short(s.rest))
	}
	s.rest = s.rest[i:]
	return v, nil
}

// flag takes one digit, 0 or 1: flags may stand without a space between.
func (s *scanner) flag() (bool, error) {
	if s.space(); s.rest == "" || s.rest[0] != '0' && s.rest[0] != '1' {
		return false, fmt.Errorf("0 or 1 is expected at %q", short(s.rest))
	}
	v := s.rest[0] == '1'
	s.rest = s.rest[1:]
	return v, nil
}

// numbers reads a list.
func numbers(text string) (out []float64, err error) {
	s := scanner{text}
	for s.space(); s.rest != ""; s.space() {
		v, err := s.number()
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	return out, nil
}

// transform reads the attribute of that name: its parts from left to right, the last
// done first.
func transform(text string) (m affine, err error) {
	m = identity
	for text = strings.TrimLeft(text, " \t\r\n,"); text != ""; text = strings.TrimLeft(text, " \t\r\n,") {
		name, rest, ok := strings.Cut(text, "(")
		args, after, closed := strings.Cut(rest, ")")
		n, err := numbers(args)
		if !ok || !closed || err != nil {
			return m, fmt.Errorf("the transform %q is not read", short(text))
		}
		next, ok := one(strings.TrimSpace(name), n)
		if !ok {
			return m, fmt.Errorf("the transform %s with %d numbers is not read", name, len(n))
		}
		m, text = m.of(next), after
	}
	return m, nil
}

func one(name string, n []float64) (affine, bool) {
	rad := func(i int) float64 { return n[i] * math.Pi / 180 }
	switch k := len(n); {
	case name == "matrix" && k == 6:
		return affine{n[0], n[1], n[2], n[3], n[4], n[5]}, true
	case name == "translate" && k == 1:
		return shift(n[0], 0), true
	case name == "translate" && k == 2:
		return shift(n[0], n[1]), true
	case name == "scale" && k == 1:
		return scale(n[0], n[0]), true
	case name == "scale" && k == 2:
		return scale(n[0], n[1]), true
	case name == "rotate" && k == 1:
		return turn(rad(0)), true
	case name == "rotate" && k == 3:
		return shift(n[1], n[2]).of(turn(rad(0))).of(shift(-n[1], -n[2])), true
	case name == "skewX" && k == 1:
		return affine{a: 1, c: math.Tan(rad(0)), d: 1}, true
	case name == "skewY" && k == 1:
		return affine{a: 1, b: math.Tan(rad(0)), d: 1}, true
	}
	return identity, false
}

// pen draws a path.
type pen struct {
	scanner
	sag       float64
	out       []sub
	at, start r2.Vec
	handle    r2.Vec // of the curve before, for the smooth ones
	curve     byte   // the curve before: C, Q or neither
}

// arity is how many numbers a letter takes; A takes flags among them.
var arity = map[byte]int{'M': 2, 'L': 2, 'H': 1, 'V': 1, 'C': 6, 'S': 4, 'Q': 4, 'T': 2, 'A': 7, 'Z': 0}

// path reads the data of a path into its lines.
func path(data string, sag float64) ([]sub, error) {
	p := pen{scanner: scanner{data}, sag: sag}
	letter := byte(0)
	for p.space(); p.rest != ""; p.space() {
		if c := p.rest[0]; c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' {
			letter, p.rest = c, p.rest[1:]
		} else if letter == 0 || letter|0x20 == 'z' {
			return nil, fmt.Errorf("a letter is expected at %q", short(p.rest))
		}
		upper := letter &^ 0x20
		n, ok := arity[upper]
		if !ok || len(p.out) == 0 && upper != 'M' {
			return nil, fmt.Errorf("a path does not go on with %q", string(letter))
		}
		v := make([]float64, n)
		for i := range v {
			var err error
			if upper == 'A' && (i == 3 || i == 4) {
				var f bool
				if f, err = p.flag(); f {
					v[i] = 1
				}
			} else {
				v[i], err = p.number()
			}
			if err != nil {
				return nil, err
			}
		}
		p.do(upper, v, letter != upper)
		switch letter { // further pairs after a move are lines
		case 'M':
			letter = 'L'
		case 'm':
			letter = 'l'
		}
	}
	return p.out, nil
}

// do draws one letter with its numbers.
func (p *pen) do(letter byte, v []float64, relative bool) {
	base := r2.Vec{}
	if relative {
		base = p.at
	}
	point := func(i int) r2.Vec { return r2.Add(base, r2.Vec{X: v[i], Y: v[i+1]}) }
	mirrored := func(kind byte) r2.Vec {
		if p.curve == kind {
			return r2.Sub(r2.Scale(2, p.at), p.handle)
		}
		return p.at
	}
	curve := byte(0)
	switch letter {
	case 'M':
		p.at = point(0)
		p.start = p.at
		p.out = append(p.out, sub{points: []r2.Vec{p.at}})
	case 'L':
		p.to(point(0))
	case 'H':
		p.to(r2.Vec{X: base.X + v[0], Y: p.at.Y})
	case 'V':
		p.to(r2.Vec{X: p.at.X, Y: base.Y + v[0]})
	case 'C', 'S':
		first := mirrored('C')
		if letter == 'C' {
			first = point(0)
		}
		k := len(v) - 4
		p.handle, curve = point(k), 'C'
		p.to(cubic([4]r2.Vec{p.at, first, point(k), point(k + 2)}, p.sag)...)
	case 'Q', 'T':
		h := mirrored('Q')
		if letter == 'Q' {
			h = point(0)
		}
		end := point(len(v) - 2)
		p.handle, curve = h, 'Q'
		third := func(a r2.Vec) r2.Vec { return r2.Add(a, r2.Scale(2.0/3, r2.Sub(h, a))) }
		p.to(cubic([4]r2.Vec{p.at, third(p.at), third(end), end}, p.sag)...)
	case 'A':
		p.to(between(p.at, point(5), v, p.sag)...)
	case 'Z':
		p.out[len(p.out)-1].closed = true
		p.at = p.start
	}
	p.curve = curve
}

// to draws on; after a line was closed a new one begins where it closed.
func (p *pen) to(pts ...r2.Vec) {
	if p.out[len(p.out)-1].closed {
		p.out = append(p.out, sub{points: []r2.Vec{p.at}})
	}
	s := &p.out[len(p.out)-1]
	s.points = append(s.points, pts...)
	p.at = pts[len(pts)-1]
}

// between is the elliptic arc between two ends: v holds its radii, the turn of its
// axes in degrees, whether it is the larger and whether it runs with the angle. Radii
// that do not reach are grown until they do. Source: [svg2011], appendix F.6.
func between(a, b r2.Vec, v []float64, sag float64) []r2.Vec {
	rx, ry, phi, large, with := math.Abs(v[0]), math.Abs(v[1]), v[2]*math.Pi/180, v[3] == 1, v[4] == 1
	if rx == 0 || ry == 0 || a == b {
		return []r2.Vec{b}
	}
	sin, cos := math.Sincos(phi)
	half := r2.Scale(0.5, r2.Sub(a, b))
	x, y := cos*half.X+sin*half.Y, -sin*half.X+cos*half.Y
	if grow := x*x/(rx*rx) + y*y/(ry*ry); grow > 1 {
		rx, ry = rx*math.Sqrt(grow), ry*math.Sqrt(grow)
	}
	root := math.Sqrt(max(0, (rx*rx*ry*ry-rx*rx*y*y-ry*ry*x*x)/(rx*rx*y*y+ry*ry*x*x)))
	if large == with {
		root = -root
	}
	cx, cy := root*rx*y/ry, -root*ry*x/rx
	from := math.Atan2((y-cy)/ry, (x-cx)/rx)
	sweep := math.Atan2((-y-cy)/ry, (-x-cx)/rx) - from
	switch {
	case with && sweep < 0:
		sweep += 2 * math.Pi
	case !with && sweep > 0:
		sweep -= 2 * math.Pi
	}
	mid := r2.Scale(0.5, r2.Add(a, b))
	out := moved(arc(rx, ry, from, sweep, sag), shift(mid.X, mid.Y).of(turn(phi)).of(shift(cx, cy)))[1:]
	out[len(out)-1] = b
	return out
}
