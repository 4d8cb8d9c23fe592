package draw

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Chart is a line chart with linear axes. The ends of an axis come from the
// data where they are not given.
type Chart struct {
	Title  string
	X, Y   Axis
	Right  *Axis // a second scale on the right; nil: none
	Series []Series
	Limits []Limit
	Bands  []Band
}

// Series is one line. A point that is not a number breaks it.
type Series struct {
	Label   string
	X, Y    []float64
	Pen     Pen  // zero: the next of the chart's own pens
	OnRight bool // read against the right axis
	Dots    bool // a dot at every point: measured values
}

// Limit is a line across the chart at one value.
type Limit struct {
	At       float64
	Label    string
	Vertical bool // at an x; else at a y
	OnRight  bool // a y of the right axis
	Plain    bool // an event, in soft ink, and not a limit
}

// Band shades the chart between two values of x, or of y.
type Band struct {
	From, To float64
	Label    string
	Level    bool // between two values of y
}

// seriesPen tells lines apart by lightness and dash first and by hue last; the
// accent is left to limits.
func seriesPen(i int) Pen {
	sea := RGB(0x2f, 0x7f, 0x86)
	return [...]Pen{
		{Width: 0.55, Colour: Ink},
		{Width: 0.55, Colour: sea},
		{Width: 0.45, Colour: Soft, Dash: []float64{2.2, 1.1}},
		{Width: 0.45, Colour: sea, Dash: []float64{0.6, 0.9}},
		{Width: 0.35, Colour: Ink, Dash: []float64{4, 0.8, 0.8, 0.8}},
	}[i%5]
}

// plot is a chart whose scales and frame are settled.
type plot struct {
	Chart
	frame r2.Box
	items []Item
}

// Draw draws the chart in the box. Words are Small; a box under about 60 by 40
// mm is too small to read.
func (c Chart) Draw(box r2.Box) []Item {
	p := &plot{Chart: c}
	for i := range p.Series {
		if p.Series[i].Pen.Width == 0 {
			p.Series = append([]Series(nil), p.Series...)
			p.Series[i].Pen = seriesPen(i)
		}
	}
	p.settle(box)
	p.bands()
	p.grid()
	p.heads(box)
	for _, s := range p.Series {
		p.line(s)
	}
	p.limits()
	return p.items
}

// Least distances between ticks in mm.
const (
	tickX = 15
	tickY = 11
)

// tickCount is how many ticks suit a length in mm.
func tickCount(length, each float64) int { return max(2, int(length/each)) }

// limitRoom stretches an axis beyond a limit, so that the limit is seen inside
// the chart and not taken for its border.
const limitRoom = 1.06

// settle fixes the ends of the axes and the frame inside the box.
func (p *plot) settle(box r2.Box) {
	var xs, left, right []float64
	for _, s := range p.Series {
		xs = append(xs, s.X...)
		if s.OnRight {
			right = append(right, s.Y...)
		} else {
			left = append(left, s.Y...)
		}
	}
	for _, l := range p.Limits {
		switch {
		case l.Vertical:
		case l.OnRight:
			right = append(right, limitRoom*l.At)
		default:
			left = append(left, limitRoom*l.At)
		}
	}
	rows := p.legendRows(box.Size().X)
	top := box.Max.Y - 4.5*float64(len(rows)) - 5
	if p.Title != "" {
		top -= 6
	}
	ny := tickCount(top-box.Min.Y-9, tickY)
	p.Y = p.Y.over(left, ny)
	p.X = p.X.over(xs, tickCount(box.Size().X-20, tickX))
	p.frame = r2.NewBox(box.Min.X+labelWidth(p.Y, ny)+2.5, box.Min.Y+9, box.Max.X-3, top)
	if p.Right != nil {
		a := p.Right.over(right, ny)
		p.Right = &a
		p.frame.Max.X = box.Max.X - labelWidth(a, ny) - 2.5
	}
}

func labelWidth(a Axis, n int) float64 {
	w := 0.0
	values, d := a.ticks(n)
	for _, v := range values {
		w = max(w, Width(Number(v, d), Regular, Small))
	}
	return w
}

// legendRows breaks the series' labels into rows that fit the width.
func (p *plot) legendRows(width float64) [][]int {
	var rows [][]int
	x := 0.0
	for i, s := range p.Series {
		if s.Label == "" {
			continue
		}
		w := legendEntry(s.Label)
		if len(rows) == 0 || x+w > width {
			rows, x = append(rows, nil), 0
		}
		rows[len(rows)-1] = append(rows[len(rows)-1], i)
		x += w
	}
	return rows
}

// legendEntry is the room of one label with its sample of line.
func legendEntry(label string) float64 { return 9 + Width(label, Regular, Small) + 5 }

func (p *plot) add(items ...Item) { p.items = append(p.items, items...) }

func (p *plot) x(v float64) float64 {
	return p.frame.Min.X + (v-p.X.Low)/(p.X.High-p.X.Low)*p.frame.Size().X
}

func (p *plot) y(v float64, right bool) float64 {
	a := p.Y
	if right && p.Right != nil {
		a = *p.Right
	}
	return p.frame.Min.Y + (v-a.Low)/(a.High-a.Low)*p.frame.Size().Y
}

// words returns small soft words.
func words(x, y float64, s string, align Align, rise Rise) Text {
	return Text{At: r2.Vec{X: x, Y: y}, String: s, Size: Small, Align: align, Rise: rise, Colour: Soft}
}

// heads draws the title, the legend and the labels of the upright axes.
func (p *plot) heads(box r2.Box) {
	y := box.Max.Y
	if p.Title != "" {
		p.add(Text{At: r2.Vec{X: box.Min.X, Y: y}, String: p.Title, Size: Body, Face: Bold, Rise: Below, Colour: Ink})
		y -= 6
	}
	for _, row := range p.legendRows(box.Size().X) {
		x := box.Min.X
		for _, i := range row {
			s := p.Series[i]
			p.add(Line(s.Pen, r2.Vec{X: x, Y: y - 1.2}, r2.Vec{X: x + 7, Y: y - 1.2}))
			t := words(x+9, y-1.2, s.Label, Start, MidHeight)
			t.Colour = Ink
			p.add(t)
			x += legendEntry(s.Label)
		}
		y -= 4.5
	}
	p.add(words(box.Min.X, p.frame.Max.Y+2, withUnit(p.Y.Label, p.Y.Unit), Start, OnBase))
	if p.Right != nil {
		p.add(words(box.Max.X, p.frame.Max.Y+2, withUnit(p.Right.Label, p.Right.Unit), End, OnBase))
	}
	p.add(words(p.frame.Max.X, p.frame.Min.Y-5.4, withUnit(p.X.Label, p.X.Unit), End, Below))
}

// grid draws ticks, faint grid lines and the frame.
func (p *plot) grid() {
	f := p.frame
	faint := Pen{Width: Fine, Colour: Faint}
	nx, ny := tickCount(f.Size().X, tickX), tickCount(f.Size().Y, tickY)
	values, d := p.X.ticks(nx)
	for _, v := range values {
		x := p.x(v)
		p.add(Line(faint, r2.Vec{X: x, Y: f.Min.Y}, r2.Vec{X: x, Y: f.Max.Y}))
		p.add(words(x, f.Min.Y-1.6, Number(v, d), Centre, Below))
	}
	values, d = p.Y.ticks(ny)
	for _, v := range values {
		y := p.y(v, false)
		p.add(Line(faint, r2.Vec{X: f.Min.X, Y: y}, r2.Vec{X: f.Max.X, Y: y}))
		p.add(words(f.Min.X-1.5, y, Number(v, d), End, MidHeight))
	}
	if p.Right != nil {
		values, d = p.Right.ticks(ny)
		for _, v := range values {
			y := p.y(v, true)
			p.add(Line(Pen{Width: Fine, Colour: Soft}, r2.Vec{X: f.Max.X, Y: y}, r2.Vec{X: f.Max.X + 1, Y: y}))
			p.add(words(f.Max.X+1.6, y, Number(v, d), Start, MidHeight))
		}
	}
	p.add(Rect(f, Pen{Width: Medium, Colour: Soft}, 0))
}

func (p *plot) bands() {
	for _, b := range p.Bands {
		box := r2.NewBox(p.x(b.From), p.frame.Min.Y, p.x(b.To), p.frame.Max.Y)
		if b.Level {
			box = r2.NewBox(p.frame.Min.X, p.y(b.From, false), p.frame.Max.X, p.y(b.To, false))
		}
		for _, it := range Rect(box, Pen{}, Wash).Clipped(p.frame) {
			p.add(it)
		}
		p.add(words(max(box.Min.X, p.frame.Min.X)+1, min(box.Max.Y, p.frame.Max.Y)-1, b.Label, Start, Below))
	}
}

// line draws one series, cut to the frame.
func (p *plot) line(s Series) {
	var run []r2.Vec
	flush := func() {
		if len(run) > 1 {
			for _, it := range Line(s.Pen, run...).Clipped(p.frame) {
				p.add(it)
			}
		}
		run = nil
	}
	for i := range min(len(s.X), len(s.Y)) {
		at := r2.Vec{X: p.x(s.X[i]), Y: p.y(s.Y[i], s.OnRight)}
		if math.IsNaN(at.X + at.Y) {
			flush()
			continue
		}
		run = append(run, at)
		if s.Dots && inside(at, p.frame) {
			p.add(Circle{At: at, R: 0.8, Fill: s.Pen.Colour})
		}
	}
	flush()
}

// limits draws lines across with their words: above a level line, beside an
// upright one.
func (p *plot) limits() {
	f := p.frame
	for _, l := range p.Limits {
		pen, ink := LimitPen(), Accent
		if l.Plain {
			pen, ink = Pen{Width: 0.3, Colour: Soft, Dash: []float64{1, 1}}, Soft
		}
		t := words(0, 0, l.Label, End, OnBase)
		t.Colour, t.Face = ink, Bold
		if l.Vertical {
			x := p.x(l.At)
			if x < f.Min.X || x > f.Max.X {
				continue
			}
			p.add(Line(pen, r2.Vec{X: x, Y: f.Min.Y}, r2.Vec{X: x, Y: f.Max.Y}))
			t.At, t.Angle = r2.Vec{X: x - 1, Y: f.Max.Y - 1.5}, math.Pi/2
		} else {
			y := p.y(l.At, l.OnRight)
			if y < f.Min.Y || y > f.Max.Y {
				continue
			}
			p.add(Line(pen, r2.Vec{X: f.Min.X, Y: y}, r2.Vec{X: f.Max.X, Y: y}))
			t.At = r2.Vec{X: f.Max.X - 1.5, Y: y + 1}
			if y+1+CapHeight(Small) > f.Max.Y {
				t.At.Y, t.Rise = y-1, Below
			}
		}
		p.add(halo(t), t)
	}
}

// halo is a scrap of white paper under words that stand across lines.
func halo(t Text) Path {
	at, along := t.Base()
	up := r2.Vec{X: -along.Y, Y: along.X}
	w, h := Width(t.String, t.Face, t.Size), CapHeight(t.Size)
	corner := func(x, y float64) r2.Vec {
		return r2.Add(at, r2.Add(r2.Scale(x, along), r2.Scale(y, up)))
	}
	return Path{Closed: true, Fill: White, Points: []r2.Vec{
		corner(-0.6, -0.7), corner(w+0.6, -0.7), corner(w+0.6, h+0.7), corner(-0.6, h+0.7)}}
}
