package pdf

import (
	"math"
	"strconv"

	"codeberg.org/go-pdf/fpdf"
	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/draw"
)

// encoder writes items into the page's content stream. PDF's own axes are y up
// from the lower left, as in doc/draw, so nothing is turned over; a matrix sets
// the unit to the millimetre.
type encoder struct {
	f   *fpdf.Fpdf
	h   float64
	buf []byte
}

// inMM sets the millimetre as the unit: 72/25.4.
const inMM = "2.83464567 0 0 2.83464567 0 0 cm "

// Decimals of a millimetre: lines to 1 µm, facets of a picture to 10 µm, which
// is finer than any printer and half the bytes.
const (
	lineDecimals  = 3
	facetDecimals = 2
)

// overlap is the stroke round a facet that hides the hairline which readers
// leave between neighbours, in mm.
const overlap = 0.12

func (e *encoder) items(items []draw.Item) {
	for _, it := range items {
		switch v := it.(type) {
		case draw.Path:
			e.path(v)
		case draw.Circle:
			e.circle(v)
		case draw.Facets:
			e.facets(v)
		case draw.Text:
			e.text(v)
		}
	}
}

func (e *encoder) op(s string) { e.buf = append(append(e.buf, s...), '\n') }

func (e *encoder) num(x float64, decimals int) {
	e.buf = append(appendFixed(e.buf, x, decimals), ' ')
}

// appendFixed writes x with at most the decimals and without trailing noughts.
func appendFixed(b []byte, x float64, decimals int) []byte {
	unit := math.Pow10(decimals)
	return strconv.AppendFloat(b, math.Round(x*unit)/unit+0, 'f', -1, 64)
}

func (e *encoder) point(p r2.Vec, decimals int, op string) {
	e.num(p.X, decimals)
	e.num(p.Y, decimals)
	e.op(op)
}

func (e *encoder) colour(c draw.Colour, op string) {
	r, g, b := c.Parts()
	for _, v := range [3]uint8{r, g, b} {
		e.num(float64(v)/255, 3)
	}
	e.op(op)
}

// begin and flush bracket the operators of one item, so that no state leaks
// into the words that the library writes.
func (e *encoder) begin() {
	e.buf = append(e.buf[:0], "q "...)
	e.op(inMM)
}

func (e *encoder) flush() {
	e.buf = append(e.buf, 'Q')
	e.f.RawWriteStr(string(e.buf))
}

// paint sets pen and fill; op is the painting operator for a path, or empty
// where nothing is to be painted.
func (e *encoder) paint(pen draw.Pen, fill draw.Colour, closed bool) (op string) {
	stroke, filled := pen.Width > 0 && !pen.Colour.None(), closed && !fill.None()
	if stroke {
		e.num(pen.Width, lineDecimals)
		e.op("w 1 J 1 j")
		e.colour(pen.Colour, "RG")
		if len(pen.Dash) > 0 {
			e.buf = append(e.buf, '[')
			for _, d := range pen.Dash {
				e.num(d, lineDecimals)
			}
			e.op("] 0 d 0 J")
		}
	}
	if filled {
		e.colour(fill, "rg")
	}
	switch {
	case stroke && filled:
		return "b"
	case filled:
		return "f"
	case stroke && closed:
		return "s"
	case stroke:
		return "S"
	}
	return ""
}

func (e *encoder) path(p draw.Path) {
	e.begin()
	op := e.paint(p.Pen, p.Fill, p.Closed)
	if op == "" || len(p.Points) < 2 {
		return
	}
	for i, pt := range p.Points {
		e.point(pt, lineDecimals, [...]string{"l", "m"}[b2i(i == 0)])
	}
	e.op(op)
	e.flush()
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

// quarterHandle is the handle length of a Bézier quarter circle of radius 1,
// 4/3·(√2 − 1); it leaves the circle by 0.03 % of the radius.
const quarterHandle = 4.0 / 3 * (math.Sqrt2 - 1)

func (e *encoder) circle(c draw.Circle) {
	e.begin()
	op := e.paint(c.Pen, c.Fill, true)
	if op == "" {
		return
	}
	at := func(x, y float64) r2.Vec { return r2.Vec{X: c.At.X + c.R*x, Y: c.At.Y + c.R*y} }
	k := quarterHandle
	e.point(at(1, 0), lineDecimals, "m")
	for _, q := range [4][3]r2.Vec{
		{at(1, k), at(k, 1), at(0, 1)}, {at(-k, 1), at(-1, k), at(-1, 0)},
		{at(-1, -k), at(-k, -1), at(0, -1)}, {at(k, -1), at(1, -k), at(1, 0)},
	} {
		for i, p := range q {
			e.num(p.X, lineDecimals)
			e.num(p.Y, lineDecimals)
			if i == 2 {
				e.op("c")
			}
		}
	}
	e.op(op)
	e.flush()
}

// facets writes a batch in order, naming a colour only where it changes.
func (e *encoder) facets(f draw.Facets) {
	e.begin()
	e.num(overlap, lineDecimals)
	e.op("w 1 j")
	var now draw.Colour
	for i, t := range f.Tris {
		if c := f.Colours[i]; c != now {
			now = c
			e.colour(c, "rg")
			e.colour(c, "RG")
		}
		e.point(t[0], facetDecimals, "m")
		e.point(t[1], facetDecimals, "l")
		e.point(t[2], facetDecimals, "l b")
	}
	e.flush()
}

// text places one line with a matrix of its own and lets the library write the
// letters, since it has to note which of them the file needs.
func (e *encoder) text(t draw.Text) {
	s := draw.Writable(t.String, t.Face)
	if s == "" || t.Size <= 0 {
		return
	}
	e.f.SetFont(family(t.Face), "", t.Size)
	r, g, b := t.Inked().Parts()
	e.f.SetTextColor(int(r), int(g), int(b))
	at, along := t.Base()
	e.buf = append(e.buf[:0], "q "...)
	if !t.Clip.Empty() {
		size := t.Clip.Size()
		for _, v := range [4]float64{t.Clip.Min.X, t.Clip.Min.Y, size.X, size.Y} {
			e.num(v/draw.Point, lineDecimals)
		}
		e.op("re W n")
	}
	for _, v := range [4]float64{along.X, along.Y, -along.Y, along.X} {
		e.num(v, 6)
	}
	e.num(at.X/draw.Point, lineDecimals)
	e.num(at.Y/draw.Point, lineDecimals)
	e.op("cm")
	e.f.RawWriteStr(string(e.buf))
	e.f.Text(0, e.h, s)
	e.f.RawWriteStr("Q")
}
