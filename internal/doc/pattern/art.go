package pattern

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/draw"
)

// cutPen and its fellows draw a full-size pattern. The knife line has its middle
// on the true outline.
func cutPen() draw.Pen  { return draw.InkPen(0.35) }
func netPen() draw.Pen  { return draw.Pen{Width: 0.25, Colour: draw.Soft, Dash: []float64{4, 2}} }
func markPen() draw.Pen { return draw.InkPen(0.3) }
func warpPen() draw.Pen { return draw.InkPen(0.4) }
func weftPen() draw.Pen { return draw.InkPen(0.2) }

// knifePen draws slits: as the outline, but told from it by its dashes.
func knifePen() draw.Pen { return draw.Pen{Width: 0.35, Colour: draw.Ink, Dash: []float64{8, 1.5}} }

// lapLinePen and lapToPen draw where the edges of laid cloth come.
func lapLinePen() draw.Pen { return draw.Pen{Width: 0.25, Colour: draw.Ink, Dash: []float64{1, 1.5}} }
func lapToPen() draw.Pen {
	return draw.Pen{Width: 0.25, Colour: draw.Ink, Dash: []float64{6, 1.5, 1, 1.5}}
}

func carrierPen() draw.Pen { return draw.Pen{Width: 0.2, Colour: draw.Soft, Dash: []float64{12, 3}} }

// blankPen draws rough cuts across the roll.
func blankPen() draw.Pen { return draw.Pen{Width: 0.35, Colour: draw.Ink, Dash: []float64{1, 2.5}} }

// Layers of a pattern beside those of package draw.
const (
	KnifeLayer   = "knife"   // slits and snips: cut, but not round the piece
	LapLayer     = "lap"     // where the edges of laid cloth come
	CarrierLayer = "carrier" // the film that the piece is wet out in
)

// art draws the piece alone, full size, in millimetres about its own origin.
func (p Piece) art() *draw.Page {
	pg := p.lines()
	p.write(pg, p.field(pg), [][]string{p.facts(), {p.Headline(), p.clothWords()}, {p.Name}})
	return pg
}

// lines draws all lines of the piece but its threads. What is cut inside it comes
// before the line round it, as a knife takes them.
func (p Piece) lines() *draw.Page {
	full := draw.FromMetres()
	pg := draw.NewPage(p.Headline(), 0, 0)
	for _, h := range p.Holes {
		pg.Add(draw.Cut, draw.Ring(cutPen(), full.All(h)))
	}
	pg.Add(draw.Cut, draw.Ring(cutPen(), full.All(p.Outline)))
	for _, k := range p.Knife {
		pg.Add(KnifeLayer, draw.Line(knifePen(), full.All(k)...))
	}
	for _, k := range p.Notches {
		pg.Add(KnifeLayer, draw.Line(cutPen(), full.All(k)...))
	}
	for _, l := range p.trimLines() {
		pg.Add(draw.Mark, l.Moved(full))
	}
	for _, s := range p.Stops {
		pg.Add(draw.Mark, draw.Circle{At: full.Do(s.At), R: 1000 * s.Radius, Pen: markPen()})
	}
	if p.Seed != nil {
		pg.Add(draw.Mark, seedCross(full.Do(*p.Seed))...)
	}
	for _, m := range p.Marks {
		layer, pen := m.Kind.drawn()
		pg.Add(layer, draw.Line(pen, full.All(m.Points)...))
	}
	return pg
}

// field is the room that the piece's lines leave, holes left out.
func (p Piece) field(lines *draw.Page) *field {
	var drawn []draw.Item
	for _, l := range lines.Layers {
		drawn = append(drawn, l.Items...)
	}
	full := draw.FromMetres()
	f := newField(full.All(p.Outline), drawn)
	for _, h := range p.Holes {
		f.free.fill(full.All(h), true)
	}
	return f
}

// write adds threads and words where there is room: of several choices of words the
// first that fits.
func (p Piece) write(pg *draw.Page, f *field, choices [][]string) {
	for _, m := range p.Marks {
		if m.Kind == Plain || m.Kind == Seam {
			pg.Add(draw.Words, f.beside(draw.FromMetres().All(m.Points), m.Label)...)
		}
	}
	f.spot = f.free.roomiest(f.outline.Centroid()) // off the words too
	warp, at := f.threads(r2.Unit(p.Warp))
	pg.Add(draw.Warp, warp...)
	f.free.block(warp)
	pg.Add(draw.Words, f.label(choices, at)...)
}

// drawn returns the layer and the pen of a mark.
func (k Kind) drawn() (layer string, pen draw.Pen) {
	switch k {
	case LapLine:
		return LapLayer, lapLinePen()
	case LapTo, Seam:
		return LapLayer, lapToPen()
	}
	return draw.Mark, markPen()
}

// trimLines is the edge of the finished part, in metres.
func (p Piece) trimLines() []draw.Path {
	if len(p.Trim) == 0 && len(p.Net) > 2 {
		return []draw.Path{draw.Ring(netPen(), p.Net)}
	}
	var out []draw.Path
	for _, l := range p.Trim {
		out = append(out, draw.Line(netPen(), l...))
	}
	return out
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
	if clear, long, ok := f.clearOf(length, dir, mid); ok {
		mid, length = clear, long
	}
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

// clearOf returns a place near a point at which a thread figure touches no other mark,
// shortened as far as it must: along the x axis the nearest one, else the point itself
// or the roomiest place.
func (f *field) clearOf(length float64, dir, near r2.Vec) (mid r2.Vec, long float64, ok bool) {
	for _, share := range [...]float64{1, 0.8, 0.6, 0.45, 0.3} {
		long = share * length
		weft := min(weftLength, long/4) + 2
		if math.Abs(dir.Y) <= 1e-9 {
			if mid, ok = f.free.nearest(long+2, weft, near); ok {
				return mid, long, true
			}
			continue
		}
		for _, mid = range [...]r2.Vec{near, f.spot} {
			if f.clearAlong(mid, r2.Scale(long/2+1, dir), weft) {
				return mid, long, true
			}
		}
	}
	return mid, 0, false
}

// clearAlong tells whether a band about a line through a place is free: half is the way
// to its end.
func (f *field) clearAlong(mid, half r2.Vec, wide float64) bool {
	n := math.Ceil(r2.Norm(half) / (wide / 2))
	for k := -n; k <= n; k++ {
		at := r2.Add(mid, r2.Scale(k/n, half))
		d := r2.Vec{X: wide / 2, Y: wide / 2}
		if !f.free.empty(r2.Box{Min: r2.Sub(at, d), Max: r2.Add(at, d)}) {
			return false
		}
	}
	return true
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
