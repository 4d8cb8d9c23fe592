package dxf

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/draw"
)

func (e *encoder) item(layer string, it draw.Item) {
	switch v := it.(type) {
	case draw.Path:
		e.path(layer, v)
	case draw.Circle:
		e.begin("CIRCLE", layer, v.Pen)
		e.point(10, v.At)
		e.real(30, 0)
		e.real(40, v.R)
	case draw.Text:
		e.text(layer, v)
	}
}

func (e *encoder) begin(kind, layer string, pen draw.Pen) {
	e.group(0, kind)
	e.group(8, layer)
	if len(pen.Dash) > 0 {
		e.group(6, "DASHED")
	}
}

// path writes two points as a LINE and more as a POLYLINE. A path without a
// pen is only a fill and is left out.
func (e *encoder) path(layer string, p draw.Path) {
	if p.Pen.Width <= 0 || len(p.Points) < 2 {
		return
	}
	if len(p.Points) == 2 {
		e.begin("LINE", layer, p.Pen)
		e.point(10, p.Points[0])
		e.real(30, 0)
		e.point(11, p.Points[1])
		e.real(31, 0)
		return
	}
	e.begin("POLYLINE", layer, p.Pen)
	e.int(66, 1) // vertices follow
	e.point(10, r2.Vec{})
	e.real(30, 0)
	closed := 0
	if p.Closed {
		closed = 1
	}
	e.int(70, closed)
	for _, pt := range p.Points {
		e.group(0, "VERTEX")
		e.group(8, layer)
		e.point(10, pt)
		e.real(30, 0)
	}
	e.group(0, "SEQEND")
	e.group(8, layer)
}

// text writes one line of words; the height counts the capitals.
func (e *encoder) text(layer string, t draw.Text) {
	s := Encode(draw.Writable(t.String, t.Face))
	if s == "" {
		return
	}
	at, _ := t.Base()
	e.begin("TEXT", layer, draw.Pen{})
	e.point(10, at)
	e.real(30, 0)
	e.real(40, draw.CapHeight(t.Size))
	e.group(1, s)
	if t.Angle != 0 {
		e.real(50, t.Angle*180/math.Pi)
	}
	e.group(7, "STANDARD")
	if t.Align != draw.Start || t.Rise != draw.OnBase {
		e.int(72, int(t.Align)) // 0 left, 1 centre, 2 right
		e.point(11, t.At)
		e.real(31, 0)
		e.int(73, [...]int{draw.OnBase: 0, draw.MidHeight: 2, draw.Below: 3}[t.Rise])
	}
}

// typed is what a typewriter makes of print: a reader of release 12 that does
// not know \U+XXXX would show the code.
var typed = strings.NewReplacer("·", "-", "×", "x", "−", "-", "–", "-", "²", "^2", "³", "^3", "…", "...")

// Encode writes words in the seven-bit letters of release 12: %%d is the degree
// sign, %%p plus-minus, %%c the diameter sign, and \U+XXXX any other letter that
// a typewriter lacks.
func Encode(s string) string {
	var b strings.Builder
	s = typed.Replace(s)
	for i, r := range s {
		switch {
		case r == '°':
			b.WriteString("%%d")
		case r == '±':
			b.WriteString("%%p")
		case r == 'Ø' || r == '⌀':
			b.WriteString("%%c")
		case r == '%' && (strings.HasPrefix(s[i+1:], "%") || strings.HasSuffix(s[:i], "%")):
			b.WriteString("%%%") // one of a pair, which would begin a code
		case r > '~' || r < ' ':
			fmt.Fprintf(&b, `\U+%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}
