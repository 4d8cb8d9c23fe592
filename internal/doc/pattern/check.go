package pattern

import (
	"fmt"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/doc/draw"
)

// checkSide is the side of the check square in mm, where there is room.
const checkSide = 100

// squareClear is kept free round a check square in mm.
const squareClear = 4

// squareChoices is what a page carries, the first that has room: a large square is
// measured more surely, and one off the piece is not cut by mistake.
var squareChoices = [...]struct {
	side float64 // mm
	off  bool    // off the piece
}{{checkSide, true}, {50, true}, {checkSide, false}, {50, false}, {25, true}, {25, false}}

// findSquare returns where a check square can stand, and its side.
func (o *occupancy) findSquare(outlines []geom.Polygon) (at r2.Vec, side float64, ok bool) {
	off := *o
	off.full = slices.Clone(o.full)
	for _, piece := range outlines {
		off.fill(piece, true)
	}
	for _, c := range squareChoices {
		room := o
		if c.off {
			room = &off
		}
		if spot, ok := room.find(c.side+2*squareClear, c.side+2*squareClear); ok {
			return r2.Add(spot, r2.Vec{X: squareClear, Y: squareClear}), c.side, true
		}
	}
	return at, 0, false
}

// inInches is what a rule of inches shows of a check square's side: true to 0.02 mm.
var inInches = map[float64]string{checkSide: "(3 15/16 in)", 50: "(1 31/32 in)", 25: "(63/64 in)"}

// checkSquare draws the square by which a print is measured, from its lower
// left corner.
func checkSquare(at r2.Vec, side float64) []draw.Item {
	box := r2.Box{Min: at, Max: r2.Add(at, r2.Vec{X: side, Y: side})}
	items := []draw.Item{draw.Rect(box, draw.InkPen(draw.Medium), 0)}
	says := []string{fmt.Sprintf("%.0f mm check square", side), inInches[side], "Measure both ways before cutting.", fmt.Sprintf("Not %.0f mm? Print again at 100 %%.", side)}
	size := draw.Shop
	if side < checkSide {
		says, size = says[:2], draw.Small
	}
	var words []string
	for _, s := range says {
		words = append(words, draw.Wrap(s, draw.Bold, size, side-3)...)
	}
	gap := 1.6 * draw.Leading(size)
	y := box.Center().Y + gap*float64(len(words)-1)/2
	for i, s := range words {
		t := draw.Text{At: r2.Vec{X: box.Center().X, Y: y - gap*float64(i)}, String: s, Size: size, Align: draw.Centre, Rise: draw.MidHeight, Colour: draw.Ink}
		if i == 0 || side < checkSide {
			t.Face = draw.Bold
		}
		items = append(items, t)
	}
	return items
}

// cornerIn is how far the check corner stands in from the page's edges, in mm:
// what every printer reaches, and outside the pattern.
const cornerIn = 7

// checkCorner draws two sides of the check square in the page's upper left corner,
// outside the pattern: what a page carries that is full of lines.
func checkCorner(high float64) []draw.Item {
	at := r2.Vec{X: cornerIn, Y: high - cornerIn}
	right, below := r2.Add(at, r2.Vec{X: checkSide}), r2.Sub(at, r2.Vec{Y: checkSide})
	const tick = 1.5
	pen := draw.InkPen(draw.Medium)
	return []draw.Item{
		draw.Line(pen, below, at, right),
		draw.Line(pen, r2.Vec{X: right.X, Y: right.Y - tick}, r2.Vec{X: right.X, Y: right.Y + tick}),
		draw.Line(pen, r2.Vec{X: below.X - tick, Y: below.Y}, r2.Vec{X: below.X + tick, Y: below.Y}),
		draw.Text{At: r2.Vec{X: right.X + 2, Y: right.Y}, String: "two sides of a 100 mm (3 15/16 in) check square: measure both", Size: draw.Small, Rise: draw.MidHeight, Colour: draw.Ink},
	}
}
