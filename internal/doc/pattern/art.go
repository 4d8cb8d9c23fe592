package pattern

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/doc/draw"
)

// cutPen and its fellows draw a full-size pattern. The knife line has its middle
// on the true outline.
func cutPen() draw.Pen  { return draw.InkPen(0.35) }
func netPen() draw.Pen  { return draw.Pen{Width: 0.25, Colour: draw.Soft, Dash: []float64{4, 2}} }
func markPen() draw.Pen { return draw.InkPen(0.3) }
func warpPen() draw.Pen { return draw.InkPen(0.4) }
func weftPen() draw.Pen { return draw.InkPen(0.2) }

// art draws the piece alone, full size, in millimetres about its own origin.
func (p Piece) art() *draw.Page {
	full := draw.FromMetres()
	pg := draw.NewPage(p.headline(), 0, 0)
	outline := geom.Polygon(full.All(p.Outline))
	pg.Add(draw.Cut, draw.Ring(cutPen(), outline))
	for _, h := range p.Holes {
		pg.Add(draw.Cut, draw.Ring(cutPen(), full.All(h)))
	}
	for _, k := range p.Knife {
		pg.Add(draw.Cut, draw.Line(cutPen(), full.All(k)...))
	}
	if len(p.Net) > 2 {
		pg.Add(draw.Mark, draw.Ring(netPen(), full.All(p.Net)))
	}
	if p.Seed != nil {
		pg.Add(draw.Mark, seedCross(full.Do(*p.Seed))...)
	}
	for _, m := range p.Marks {
		pg.Add(draw.Mark, draw.Line(markPen(), full.All(m.Points)...))
	}
	f := newField(outline, append(slices.Clone(pg.Layer(draw.Cut)), pg.Layer(draw.Mark)...))
	for _, m := range p.Marks {
		pg.Add(draw.Words, f.beside(full.All(m.Points), m.Label)...)
	}
	warp, at := f.threads(r2.Unit(p.Warp))
	pg.Add(draw.Warp, warp...)
	f.free.block(warp)
	pg.Add(draw.Words, f.label(p, at)...)
	return pg
}

// seedArm is half the seed cross in mm.
const seedArm = 8

// seedCross marks where laying begins: a cross in a circle.
func seedCross(at r2.Vec) []draw.Item {
	d := func(x, y float64) r2.Vec { return r2.Add(at, r2.Vec{X: x, Y: y}) }
	return []draw.Item{
		draw.Line(markPen(), d(-seedArm, 0), d(seedArm, 0)),
		draw.Line(markPen(), d(0, -seedArm), d(0, seedArm)),
		draw.Circle{At: at, R: seedArm / 2, Pen: markPen()},
	}
}

// Thread figure, all in mm: the long line is the warp, the short cross lines
// are the weft.
const (
	threadShare   = 0.6 // of the clear chord through the piece
	threadLongest = 260
	weftLength    = 9
	weftEach      = 12
	headLength    = 6
	headHalf      = 2.2
	threadWord    = 12 // points
)

// threads draws the thread directions about the roomiest place of the piece
// and returns the figure's middle.
func (f *field) threads(dir r2.Vec) (items []draw.Item, mid r2.Vec) {
	at := f.spot
	ahead, behind := f.reach(at, dir), f.reach(at, r2.Scale(-1, dir))
	mid = r2.Add(at, r2.Scale((ahead-behind)/2, dir))
	length := min(threadShare*(ahead+behind), threadLongest)
	across := r2.Vec{X: -dir.Y, Y: dir.X}
	on := func(u, v float64) r2.Vec {
		return r2.Add(mid, r2.Add(r2.Scale(u, dir), r2.Scale(v, across)))
	}
	half := length / 2
	head := min(headLength, length/4)
	wing := headHalf * head / headLength
	items = []draw.Item{
		draw.Line(warpPen(), on(-half, 0), on(half, 0)),
		draw.Path{Points: []r2.Vec{on(half, 0), on(half-head, wing), on(half-head, -wing)}, Closed: true, Pen: weftPen(), Fill: draw.Ink},
	}
	weft := min(weftLength, length/4) / 2
	n := max(1, int((length-2*head)/weftEach))
	for i := range n {
		u := -half + head + (length-2*head)*(float64(i)+0.5)/float64(n)
		items = append(items, draw.Line(weftPen(), on(u, -weft), on(u, weft)))
	}
	if length >= 40 {
		word := warpWord(on(0.6*half, weft+1.5), dir)
		for _, share := range [...]float64{0.3, 0, -0.3, -0.6} { // along the thread, to where no mark is
			if f.free.empty(word.Bounds()) {
				break
			}
			word = warpWord(on(share*half, weft+1.5), dir)
		}
		items = append(items, word)
	}
	return items, mid
}

// warpWord writes "warp" along the thread, never upside down.
func warpWord(at, dir r2.Vec) draw.Text {
	t := draw.Text{At: at, String: "warp", Size: threadWord, Align: draw.Centre, Colour: draw.Ink, Angle: math.Atan2(dir.Y, dir.X)}
	if dir.X < -1e-9 || math.Abs(dir.X) <= 1e-9 && dir.Y < 0 {
		t.Angle = math.Atan2(-dir.Y, -dir.X)
		t.Rise = draw.Below // the far side of the line is above it now
	}
	return t
}
