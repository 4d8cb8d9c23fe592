package mouldbook

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/geom"
	"laywright/internal/doc/draw"
	"laywright/internal/stage/mould/carve"
)

// stack is the picture of the order of gluing.
func (w *writer) stack() {
	if w.build.Stack == nil {
		return
	}
	w.Heading("Order of gluing")
	w.framed("From the bottom up, in the order of the numbers. Small rings are dowel holes, dashes the way the dowels go.", w.stackHigh(), w.exploded)
}

// stackHigh is the picture's height, mm: the more boards, the higher, up to a page.
func (w *writer) stackHigh() float64 {
	return min(80+14*float64(len(w.build.Stack.Boards)), 200)
}

// onPaper is the parallel view of [draw.Isometric].
func onPaper(p r3.Vec) r2.Vec {
	return r2.Vec{X: (p.X + p.Y) / math.Sqrt2, Y: (p.Y - p.X + 2*p.Z) / math.Sqrt(6)}
}

// lifted is a board drawn at a height.
type lifted struct {
	carve.Board
	low, high float64
}

// exploded draws the boards apart over one another.
func (w *writer) exploded(box r2.Box) []draw.Item {
	var all []lifted
	var points []r2.Vec
	lift := 0.0
	for i, b := range w.build.Stack.Boards {
		if i > 0 {
			lift += w.apart()
		}
		l := lifted{b, lift, lift + b.Thickness}
		lift += b.Thickness
		all = append(all, l)
		for _, p := range b.Pieces {
			for _, q := range p.Outline.Outer {
				points = append(points, onPaper(r3.Vec{X: q.X, Y: q.Y, Z: l.low}), onPaper(r3.Vec{X: q.X, Y: q.Y, Z: l.high}))
			}
		}
	}
	const side = 34 // mm, for the numbers
	room := r2.Box{Min: r2.Vec{X: box.Min.X + side, Y: box.Min.Y}, Max: box.Max}
	fit := draw.Fit(geom.Polygon(points).Bounds(), room)
	var out []draw.Item
	for i, l := range all {
		if i > 0 {
			out = append(out, l.dowels(all[i-1], fit)...)
		}
		out = append(out, l.items(fit)...)
		out = append(out, w.tag(l, fit, box)...)
	}
	return out
}

// apart is how far the boards are drawn apart, m.
func (w *writer) apart() float64 {
	var all geom.Polygon
	for _, b := range w.build.Stack.Boards {
		for _, p := range b.Pieces {
			all = append(all, p.Outline.Outer...)
		}
	}
	size := all.Bounds().Size()
	return 0.22 * r2.Norm(size)
}

// items draws one board: the sides that face the eye, then its upper face.
func (l lifted) items(fit draw.Affine) (out []draw.Item) {
	at := func(q r2.Vec, z float64) r2.Vec { return fit.Do(onPaper(r3.Vec{X: q.X, Y: q.Y, Z: z})) }
	for _, p := range l.Pieces {
		outer := p.Outline.Outer.Anticlockwise()
		for i, a := range outer {
			b := outer[(i+1)%len(outer)]
			if d := r2.Sub(b, a); d.Y+d.X <= 0 { // its outward normal (dy, −dx) looks away from the eye (1, −1, 1)
				continue
			}
			out = append(out, draw.Path{Points: []r2.Vec{at(a, l.low), at(b, l.low), at(b, l.high), at(a, l.high)}, Closed: true, Fill: draw.Faint, Pen: draw.Pen{Width: 0.1, Colour: draw.Faint}})
		}
		ring := func(of geom.Polygon, fill draw.Colour, pen draw.Pen) draw.Path {
			pts := make([]r2.Vec, len(of))
			for i, q := range of {
				pts[i] = at(q, l.high)
			}
			return draw.Path{Points: pts, Closed: true, Fill: fill, Pen: pen}
		}
		out = append(out, ring(outer, draw.White, draw.InkPen(draw.Medium)))
		for _, h := range p.Outline.Holes {
			out = append(out, ring(h, draw.Wash, draw.InkPen(draw.Medium)))
		}
		if n := len(l.Levels); n > 0 {
			for _, r := range l.Levels[n-1].Cut {
				if len(l.Pieces) == 1 || outer.Contains(r.Outer[0]) {
					out = append(out, ring(r.Outer, 0, draw.Pen{Width: draw.Fine, Colour: draw.Ink, Dash: []float64{1.5, 0.8}}))
				}
			}
		}
	}
	for _, h := range l.Holes {
		if h.Below {
			continue
		}
		c := draw.Circle{R: float64(h.Diameter) / 2}.Polygon(0).Points
		for i, q := range c {
			c[i] = at(r2.Add(q, r2.Vec{X: h.At[0], Y: h.At[1]}), l.high)
		}
		out = append(out, draw.Path{Points: c, Closed: true, Fill: draw.Soft, Pen: draw.InkPen(draw.Fine)})
	}
	return out
}

// dowels draws the way of the dowels from the board below.
func (l lifted) dowels(below lifted, fit draw.Affine) (out []draw.Item) {
	pen := draw.Pen{Width: draw.Fine, Colour: draw.Soft, Dash: []float64{1, 1}}
	for _, h := range l.Holes {
		for _, g := range below.Holes {
			if h.At == g.At && !h.Above {
				p := r3.Vec{X: h.At[0], Y: h.At[1], Z: below.high}
				q := p
				q.Z = l.low
				out = append(out, draw.Line(pen, fit.Do(onPaper(p)), fit.Do(onPaper(q))))
			}
		}
	}
	return out
}

// tag writes a board's number beside it, with its heights.
func (w *writer) tag(l lifted, fit draw.Affine, box r2.Box) []draw.Item {
	left := r2.Vec{X: math.Inf(1)}
	for _, p := range l.Pieces {
		for _, q := range p.Outline.Outer {
			if at := fit.Do(onPaper(r3.Vec{X: q.X, Y: q.Y, Z: (l.low + l.high) / 2})); at.X < left.X {
				left = at
			}
		}
	}
	if math.IsInf(left.X, 1) {
		return nil
	}
	name := fmt.Sprint(l.Number)
	if l.Number == 0 {
		name = "base"
	}
	words := number(float64(l.Foot)) + " to " + number(float64(l.Head)) + " mm"
	at := r2.Vec{X: box.Min.X, Y: left.Y}
	return []draw.Item{
		draw.Text{At: r2.Add(at, r2.Vec{Y: 0.8}), String: name, Size: draw.Head, Face: draw.Bold, Colour: draw.Ink},
		draw.Text{At: r2.Add(at, r2.Vec{Y: -0.8}), String: words, Size: draw.Small, Rise: draw.Below, Colour: draw.Soft},
		draw.Line(draw.Pen{Width: draw.Fine, Colour: draw.Faint}, at, r2.Vec{X: left.X - 1, Y: left.Y}),
	}
}

// boards is the list.
func (w *writer) boards() {
	if w.build.Stack == nil {
		return
	}
	w.Heading("Boards")
	from := "over the base plane"
	if w.cavity() {
		from = "over the bench"
	}
	w.Lead("Sizes are those of the saw line; heights are " + from + ". Holes are measured from the datum lines, " + w.build.Axes[0] + " first.")
	var rows [][]string
	for _, b := range w.build.Stack.Boards {
		for _, p := range b.Pieces {
			grain := "any way"
			if b.Grain != "" {
				grain = "along " + b.Grain
			}
			rows = append(rows, []string{p.Name, number(float64(p.Length)) + " × " + number(float64(p.Width)), number(float64(b.Foot)) + " to " + number(float64(b.Head)), grain, w.holes(b, p), draw.Tick})
		}
	}
	w.Table(draw.Table{Columns: []draw.Column{{Head: "Piece", Share: 1, Face: draw.Bold}, {Head: "Size, mm", Share: 2.2}, {Head: "Height, mm", Share: 2.2}, {Head: "Grain", Share: 1.4}, {Head: "Dowel holes at, mm", Share: 5}, {Head: "Sawn", Share: 0.9, Align: draw.Centre}}, Rows: rows})
	if loose := w.build.Stack.Loose; len(loose) > 0 {
		w.Para("No room for two dowels under " + strings.Join(loose, ", ") + ": lay it by the datum lines, and hold it with pins that are drawn out when the glue has taken.")
	}
}

func (w *writer) holes(b carve.Board, p carve.Piece) string {
	var out []string
	for _, h := range b.Holes {
		if !p.Outline.Contains(r2.Vec{X: h.At[0], Y: h.At[1]}) {
			continue
		}
		s := "(" + number(h.At[0]) + ", " + number(h.At[1]) + ")"
		if h.Below {
			s += " from below " + number(float64(h.Depth)) + " deep"
		} else if h.Above {
			s += " " + number(float64(h.Depth)) + " deep"
		}
		out = append(out, s)
	}
	if len(out) == 0 {
		return "none"
	}
	return strings.Join(out, "; ")
}
