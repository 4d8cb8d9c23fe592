package cutting

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/pattern"
)

// pieceDrawing is a piece as it lies on the roll, along to the right and across
// upwards, with its corners numbered and its warp.
func pieceDrawing(p pattern.Piece, sides []side, box r2.Box) []draw.Item {
	room := draw.Inset(box, 6)
	room.Min.Y += 4
	fit := draw.FromMetres().Then(draw.Fit(geom.Polygon(draw.FromMetres().All(p.Outline)).Bounds(), room))
	items := []draw.Item{draw.Path{Points: fit.All(p.Outline), Closed: true, Pen: draw.InkPen(draw.Medium), Fill: draw.Ground}}
	for _, ring := range p.Holes {
		items = append(items, draw.Path{Points: fit.All(ring), Closed: true, Pen: draw.InkPen(draw.Medium), Fill: draw.White})
	}
	for _, l := range append(append([][]r2.Vec(nil), p.Knife...), p.Notches...) {
		items = append(items, draw.Line(draw.InkPen(draw.Fine), fit.All(l)...))
	}
	items = append(items, warpArrow(p.Warp, r2.Vec{X: box.Min.X + 2, Y: box.Min.Y + 2})...)
	return append(items, numbered(sides, fit)...)
}

// numbered puts a dot on each corner and its number beside it, outside the piece
// where it can be. A number that would lie on another is left out: those before and
// after tell it.
func numbered(sides []side, fit draw.Affine) (items []draw.Item) {
	var taken []r2.Box
	n := len(sides)
	for i, s := range sides {
		at := fit.Do(s.from)
		items = append(items, draw.Circle{At: at, R: 0.6, Fill: draw.Ink})
		in, out := r2.Unit(r2.Sub(s.from, sides[(i+n-1)%n].from)), r2.Unit(r2.Sub(s.to, s.from))
		away := r2.Add(r2.Vec{X: in.Y, Y: -in.X}, r2.Vec{X: out.Y, Y: -out.X}) // to the right of both sides
		if r2.Norm(away) < 0.1 {
			away = in
		}
		word := draw.Text{At: r2.Add(at, r2.Scale(3, r2.Unit(away))), String: fmt.Sprint(i + 1), Size: draw.Small, Face: draw.Bold, Align: draw.Centre, Rise: draw.MidHeight, Colour: draw.Accent}
		if b := word.Bounds(); !meetsAny(b, taken) {
			taken = append(taken, b)
			items = append(items, word)
		}
	}
	return items
}

func meetsAny(b r2.Box, others []r2.Box) bool {
	for _, o := range others {
		if b.Min.X < o.Max.X && o.Min.X < b.Max.X && b.Min.Y < o.Max.Y && o.Min.Y < b.Max.Y {
			return true
		}
	}
	return false
}

// warpArrow shows which way the piece's warp points, from a place at its lower left.
func warpArrow(warp, at r2.Vec) []draw.Item {
	const long, head, half = 14.0, 3.0, 1.1
	dir := r2.Unit(warp)
	side := r2.Vec{X: -dir.Y, Y: dir.X}
	mid := r2.Add(at, r2.Vec{X: long / 2, Y: 0})
	on := func(u, v float64) r2.Vec { return r2.Add(mid, r2.Add(r2.Scale(u, dir), r2.Scale(v, side))) }
	items := []draw.Item{draw.Line(draw.InkPen(draw.Medium), on(-long/2, 0), on(long/2, 0)),
		draw.Path{Points: []r2.Vec{on(long/2, 0), on(long/2-head, half), on(long/2-head, -half)}, Closed: true, Fill: draw.Ink}}
	for u := -long/2 + 3; u < long/2-head; u += 2.5 {
		items = append(items, draw.Line(draw.InkPen(draw.Fine), on(u, -1), on(u, 1)))
	}
	return append(items, draw.Text{At: r2.Vec{X: at.X + long + 2, Y: at.Y}, String: "warp", Size: draw.Small, Rise: draw.MidHeight, Colour: draw.Soft})
}
