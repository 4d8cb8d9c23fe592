package draw

import "fmt"

// Colour is opaque red, green and blue in the sRGB space. The zero value means
// none, so that a pen or fill left out draws nothing; black is RGB(0, 0, 0).
type Colour uint32

// opaque is the bit that tells black from none.
const opaque Colour = 1 << 24

// RGB returns a colour from its three parts, 0 to 255.
func RGB(r, g, b uint8) Colour {
	return opaque | Colour(r)<<16 | Colour(g)<<8 | Colour(b)
}

// None reports that nothing is to be drawn.
func (c Colour) None() bool { return c&opaque == 0 }

// Parts returns red, green and blue.
func (c Colour) Parts() (r, g, b uint8) { return uint8(c >> 16), uint8(c >> 8), uint8(c) }

// Hex returns the colour as #rrggbb.
func (c Colour) Hex() string {
	r, g, b := c.Parts()
	return fmt.Sprintf("#%02x%02x%02x", r, g, b)
}

// The look: ink on paper and one accent. The accent is kept for what a person
// must not miss (a limit, a caution, a knife line on a busy sheet).
const (
	White  = opaque | 0xffffff // bare paper
	Ground = opaque | 0xfbf8f1 // paper behind pictures
	Ink    = opaque | 0x1d2730 // words and main lines
	Soft   = opaque | 0x5c666e // second words, axes
	Faint  = opaque | 0xcdc8bc // rules and grids
	Wash   = opaque | 0xefeade // table heads, bands
	Accent = opaque | 0xb53a17 // limits and cautions
	Blush  = opaque | 0xf8e6dd // the accent as a ground
)

// Pen widths in millimetres.
const (
	Fine   = 0.15
	Medium = 0.25
	Strong = 0.5
)

// Text sizes in points. Nothing on paper is smaller than Small; sheets read at
// arm's length on the bench use Shop or more.
const (
	Small = 8.0
	Body  = 9.5
	Shop  = 10.5
	Head  = 13.0
	Title = 20.0
)

// InkPen is a full line in ink.
func InkPen(width float64) Pen { return Pen{Width: width, Colour: Ink} }

// LimitPen is the line that shows a limit.
func LimitPen() Pen { return Pen{Width: 0.4, Colour: Accent, Dash: []float64{2, 1}} }
