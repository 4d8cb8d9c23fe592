package pattern

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/doc/draw"
)

// Board is a flat piece sawn from board, a template or gauge, or a piece of a sheet that
// has no warp: its saw or knife line, what is marked on it and what is drilled. Metres, y
// up, seen from above or, for what stands upright, from the side that it says.
type Board struct {
	Part   string
	Name   string // "03"
	Head   string // "Board 03 of 04"
	Number string // written large on it; may be empty
	Facts  []string
	Goods  string // what is cut; empty: "board"
	Saw    []geom.Region
	Knife  [][]r2.Vec // cut inside it
	Marks  []BoardLine
	Drill  []Drill
	Grain  r2.Vec // zero: none
	Datum  *Datum // nil: none
	Legend []string
	Notes  []string
}

// BoardLine is a line marked on a board.
type BoardLine struct {
	Points []r2.Vec
	Closed bool
	Kind   BoardKind
	Label  string
}

// BoardKind says how a mark on a board is drawn.
type BoardKind uint8

// Upper is the shape at the board's upper face, Lower at its lower one, Inner at a
// height between; Shape is the finished shape over a former, or the part's edge on a
// sheet; Meets meets the mark of the same label.
const (
	Upper BoardKind = iota
	Lower
	Inner
	Shape
	Meets
)

// Drill is a hole.
type Drill struct {
	At    r2.Vec
	R     float64 // m
	Blind bool    // drilled from below, so drawn dashed
	Label string
}

// Datum is where the two lines cross that boards are laid together by, with what is
// written at their ends.
type Datum struct {
	X, Y     float64
	AtX, AtY string // "x = 0": along the upright line and the level one
}

// Layers of a board beside those of package draw.
const (
	DatumLayer = "datum" // the lines that boards are laid together by
	DrillLayer = "drill" // holes
)

func lowerPen() draw.Pen {
	return draw.Pen{Width: 0.3, Colour: draw.Ink, Dash: []float64{6, 1.5, 1, 1.5}}
}
func upperPen() draw.Pen { return draw.Pen{Width: 0.3, Colour: draw.Ink, Dash: []float64{3, 1.5}} }
func innerPen() draw.Pen { return draw.Pen{Width: 0.25, Colour: draw.Ink, Dash: []float64{1, 1.2}} }
func datumPen() draw.Pen { return draw.Pen{Width: 0.18, Colour: draw.Soft} }

func (k BoardKind) pen() draw.Pen {
	switch k {
	case Upper:
		return upperPen()
	case Lower:
		return lowerPen()
	case Inner:
		return innerPen()
	case Meets:
		return markPen()
	}
	return netPen()
}

// check refuses a board that can't be drawn true.
func (b Board) check() error {
	field := "pattern." + b.Name
	if len(b.Saw) == 0 {
		return &fault.Input{Field: field, What: "there is nothing to saw", Do: "leave the piece out"}
	}
	size := b.bounds().Size()
	return fault.Check(field+".size", max(size.X, size.Y), leastSide, longestSide, " m", "what a bench can take")
}

// bounds is the box round the saw line, m.
func (b Board) bounds() r2.Box {
	var all geom.Polygon
	for _, r := range b.Saw {
		all = append(all, r.Outer...)
	}
	return all.Bounds()
}

// BoardSheet draws a board at full size on one sheet: for DXF, SVG or a plotter.
func BoardSheet(b Board) (draw.Page, error) {
	if err := b.check(); err != nil {
		return draw.Page{}, err
	}
	return b.plot().sheet(), nil
}

// BoardTiles draws a board at full size on pages of ordinary paper, as [Tiles] does;
// false where it would take more pages than can be joined true.
func BoardTiles(b Board, paper draw.Sheet) ([]draw.Page, bool, error) {
	if err := b.check(); err != nil {
		return nil, false, err
	}
	p := b.plot()
	if tl := bestTiling(p, paper); tl.rows*tl.cols > mostTiles {
		return nil, false, nil
	}
	pages, err := p.tiles(paper)
	return pages, true, err
}

func (b Board) plot() plot {
	p := plot{art: b.art(), field: "pattern." + b.Name, head: b.Head, part: b.Part, facts: b.words(), legend: b.Legend, notes: b.Notes, goods: cmp.Or(b.Goods, "board")}
	for _, r := range b.Saw {
		p.outlines = append(p.outlines, draw.FromMetres().All(r.Outer))
	}
	return p
}

// words are what stands on the piece.
func (b Board) words() []string {
	out := append([]string{b.Head}, b.Facts...)
	if b.Part != "" {
		out = append([]string{b.Part}, out...)
	}
	return out
}

// art draws the board alone, full size, in millimetres about its own datum.
func (b Board) art() *draw.Page {
	full := draw.FromMetres()
	pg := draw.NewPage(b.Head, 0, 0)
	for _, r := range b.Saw {
		for _, ring := range append([]geom.Polygon{r.Outer}, r.Holes...) {
			pg.Add(draw.Cut, draw.Ring(cutPen(), full.All(ring)))
		}
	}
	for _, k := range b.Knife {
		pg.Add(KnifeLayer, draw.Line(knifePen(), full.All(k)...))
	}
	for _, m := range b.Marks {
		pg.Add(draw.Mark, draw.Path{Points: full.All(m.Points), Closed: m.Closed, Pen: m.Kind.pen()})
	}
	for _, h := range b.Drill {
		pg.Add(DrillLayer, h.items()...)
	}
	if b.Datum != nil {
		pg.Add(DatumLayer, b.Datum.lines(b.bounds())...)
	}
	b.write(pg)
	return pg
}

// items draws a hole with its middle.
func (h Drill) items() []draw.Item {
	at, r := draw.FromMetres().Do(h.At), 1000*h.R
	d := func(x, y float64) r2.Vec { return r2.Add(at, r2.Vec{X: x * r * 1.6, Y: y * r * 1.6}) }
	ring := draw.Circle{At: at, R: r, Pen: markPen()}
	if h.Blind {
		ring.Pen.Dash = []float64{1.5, 1}
	}
	return []draw.Item{ring, draw.Line(draw.InkPen(draw.Fine), d(-1, 0), d(1, 0)), draw.Line(draw.InkPen(draw.Fine), d(0, -1), d(0, 1))}
}

// beyond is how far datum lines run out over the saw line, mm.
const beyond = 8

func (d Datum) lines(box r2.Box) []draw.Item {
	lo, hi := r2.Scale(1000, box.Min), r2.Scale(1000, box.Max)
	x, y := 1000*d.X, 1000*d.Y
	return []draw.Item{draw.Line(datumPen(), r2.Vec{X: x, Y: lo.Y - beyond}, r2.Vec{X: x, Y: hi.Y + beyond}),
		draw.Line(datumPen(), r2.Vec{X: lo.X - beyond, Y: y}, r2.Vec{X: hi.X + beyond, Y: y})}
}

// Size of the number on a board, points, and of the words at its datum lines.
const (
	numberSize  = 64.0
	leastNumber = 16.0 // as large as the words
	datumSize   = 9
)

// write puts number, grain and words where there is room.
func (b Board) write(pg *draw.Page) {
	var drawn []draw.Item
	for _, l := range pg.Layers {
		drawn = append(drawn, l.Items...)
	}
	biggest := slices.MaxFunc(b.Saw, func(x, y geom.Region) int { return int(math.Copysign(1, x.Area()-y.Area())) })
	outline := geom.Polygon(draw.FromMetres().All(biggest.Outer))
	f := newField(outline, drawn)
	for _, h := range biggest.Holes {
		f.free.fill(draw.FromMetres().All(h), true)
	}
	if b.Datum != nil {
		pg.Add(draw.Words, b.datumWords()...)
	}
	for _, h := range b.Drill {
		pg.Add(draw.Words, f.beside([]r2.Vec{draw.FromMetres().Do(h.At)}, h.Label)...)
	}
	for _, m := range b.Marks {
		if m.Label != "" {
			pg.Add(draw.Words, f.beside(draw.FromMetres().All(m.Points), m.Label)...)
		}
	}
	near := f.free.roomiest(outline.Centroid())
	if t, ok := f.number(b.Number, near, leastNumber); ok {
		pg.Add(draw.Words, t)
		f.free.block([]draw.Item{t})
	}
	words := f.label([][]string{b.words(), append([]string{b.Head}, b.Facts...), {b.Head}, {b.Name}}, near)
	pg.Add(draw.Words, words...)
	f.free.block(words)
	if b.Grain != (r2.Vec{}) {
		arrow := f.grain(b.Grain, near)
		pg.Add(draw.Warp, arrow...)
	}
}

// number writes a number or a name as large as there is room, down to a least size.
func (f *field) number(s string, near r2.Vec, least float64) (draw.Text, bool) {
	if s == "" {
		return draw.Text{}, false
	}
	for size := numberSize; size >= least; size *= 0.8 {
		w, h := blockSize([]string{s}, size)
		if at, ok := f.free.nearest(w+3, h+3, near); ok {
			return draw.Text{At: at, String: s, Size: size, Face: draw.Bold, Align: draw.Centre, Rise: draw.MidHeight, Colour: draw.Ink}, true
		}
	}
	return draw.Text{}, false
}

// Measures of the grain's arrow in mm.
const (
	grainLong = 60
	grainRoom = 9
)

// grain draws an arrow with two heads along the grain, where there is room.
func (f *field) grain(dir, near r2.Vec) []draw.Item {
	for _, long := range [...]float64{grainLong, grainLong / 2} {
		w, h := long, float64(grainRoom)
		if math.Abs(dir.Y) > math.Abs(dir.X) {
			w, h = h, w
		}
		at, ok := f.free.nearest(w, h, near)
		if !ok {
			continue
		}
		turn := draw.Turn(math.Atan2(dir.Y, dir.X)).Then(draw.Move(at))
		half := long/2 - 2
		head := func(x, s float64) draw.Path {
			return draw.Path{Points: []r2.Vec{{X: x}, {X: x - s*headLength/1.5, Y: headHalf / 1.5}, {X: x - s*headLength/1.5, Y: -headHalf / 1.5}}, Closed: true, Pen: weftPen(), Fill: draw.Ink}
		}
		items := []draw.Item{draw.Line(warpPen(), r2.Vec{X: -half}, r2.Vec{X: half}), head(half, 1), head(-half, -1),
			draw.Text{At: r2.Vec{Y: 1.2}, String: "grain", Size: datumSize, Align: draw.Centre, Colour: draw.Ink}}
		return draw.MoveAll(turn, items)
	}
	return nil
}

// datumWords names the datum lines at their ends, outside the saw line.
func (b Board) datumWords() []draw.Item {
	box := b.bounds()
	lo, hi := r2.Scale(1000, box.Min), r2.Scale(1000, box.Max)
	return []draw.Item{
		draw.Text{At: r2.Vec{X: 1000*b.Datum.X + 1, Y: hi.Y + beyond}, String: b.Datum.AtX, Size: datumSize, Rise: draw.Below, Colour: draw.Ink},
		draw.Text{At: r2.Vec{X: lo.X - 1.5, Y: 1000*b.Datum.Y + 1}, String: b.Datum.AtY, Size: datumSize, Align: draw.End, Colour: draw.Ink},
	}
}
