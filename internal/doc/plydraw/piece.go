package plydraw

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/doc/draw"
	"laywright/internal/stage/flat"
)

// knifePen draws what is cut.
func knifePen() draw.Pen { return draw.InkPen(0.35) }

// onePiece draws a piece; fit carries metres to paper.
func onePiece(p flat.Piece, fit draw.Affine) (out []draw.Item) {
	line := func(pts [][2]float64) []r2.Vec { return fit.All(flat.Polygon(pts)) }
	dashed := draw.Pen{Width: draw.Fine, Colour: draw.Soft, Dash: []float64{1.5, 0.8}}
	out = append(out, draw.Path{Points: line(p.Outline), Closed: true, Pen: knifePen(), Fill: draw.White})
	for _, g := range p.Gaps {
		out = append(out, draw.Path{Points: line(g.Outline), Closed: true, Pen: dashed, Fill: draw.Blush})
	}
	for _, h := range p.Holes {
		out = append(out, draw.Path{Points: line(h), Closed: true, Pen: knifePen(), Fill: draw.Ground})
	}
	if len(p.Net) > 2 {
		out = append(out, draw.Ring(dashed, line(p.Net)))
	}
	for _, c := range p.Cutouts {
		out = append(out, draw.Ring(dashed, line(c)))
	}
	for _, m := range p.Marks {
		out = append(out, draw.Line(draw.InkPen(draw.Fine), line(m.Line)...))
	}
	for _, k := range append(p.Knife[:len(p.Knife):len(p.Knife)], p.Notches...) {
		out = append(out, draw.Line(knifePen(), line(k)...))
	}
	for _, s := range p.Stops {
		at := fit.Do(r2.Vec{X: s.At[0], Y: s.At[1]})
		out = append(out, draw.Circle{At: at, R: max(leastStop, fit.Scale()*float64(s.Radius)), Pen: draw.InkPen(draw.Medium), Fill: draw.White})
	}
	return append(out, pieceSigns(p, fit)...)
}

// leastStop is the least radius that the round end of a slit is drawn with, in mm.
const leastStop = 0.6

// smallPiece is the side on paper, in mm, below which a piece has its name under
// it and no threads.
const smallPiece = 16

// pieceSigns draws a piece's seed, threads and name.
func pieceSigns(p flat.Piece, fit draw.Affine) (out []draw.Item) {
	outline := flat.Polygon(p.Outline)
	box := geom.Polygon(fit.All(outline)).Bounds()
	name := draw.Text{String: p.Name, Size: draw.Small, Face: draw.Bold, Align: draw.Centre, Rise: draw.Below, Colour: draw.Ink}
	if size := box.Size(); min(size.X, size.Y) < smallPiece {
		name.At = r2.Vec{X: box.Center().X, Y: box.Min.Y - 1.5}
		return append(out, name)
	}
	if !p.Patch && outline.Contains(r2.Vec{}) {
		out = append(out, seedSign(fit.Do(r2.Vec{}))...)
	}
	at := fit.Do(roomiest(p, outline))
	name.At = r2.Vec{X: at.X, Y: at.Y - 2.5}
	return append(append(out, threadSign(at, box.Size().X/5)...), name)
}

// roomCells is how finely a piece is looked at for a place for its name, and
// seedRoom what the seed keeps free round it, as a share of the piece's size.
const (
	roomCells = 32
	seedRoom  = 0.06
)

// roomiest is a place inside a piece far from all its lines and from the seed,
// lower where the name hangs under it.
func roomiest(p flat.Piece, outline geom.Polygon) (at r2.Vec) {
	var lines [][]r2.Vec
	for _, ring := range append([][][2]float64{p.Outline}, append(p.Holes, p.Cutouts...)...) {
		c := flat.Polygon(ring)
		lines = append(lines, append(c, c[0]))
	}
	for _, k := range p.Knife {
		lines = append(lines, flat.Polygon(k))
	}
	for _, m := range p.Marks {
		lines = append(lines, flat.Polygon(m.Line))
	}
	b := outline.Bounds()
	size := b.Size()
	best := math.Inf(-1)
	for i := range roomCells {
		for j := range roomCells {
			q := r2.Vec{X: b.Min.X + (float64(i)+0.5)/roomCells*size.X, Y: b.Min.Y + (float64(j)+0.5)/roomCells*size.Y}
			if !outline.Contains(q) {
				continue
			}
			free := r2.Norm(q) - seedRoom*max(size.X, size.Y)
			for _, l := range lines {
				free = min(free, offLine(q, l))
			}
			if free > best {
				best, at = free, q
			}
		}
	}
	return at
}

func offLine(q r2.Vec, line []r2.Vec) float64 {
	best := math.Inf(1)
	for i := 1; i < len(line); i++ {
		best = min(best, geom.SegmentDistance(q, line[i-1], line[i]))
	}
	return best
}

// threadSign is an arrow along the warp with short lines across for the weft.
func threadSign(at r2.Vec, long float64) []draw.Item {
	long = min(max(long, 8), 24)
	on := func(u, v float64) r2.Vec { return r2.Add(at, r2.Vec{X: u, Y: v}) }
	items := arrow(0.35, on(-long/2, 0), on(long/2, 0))
	for u := -long/2 + 1; u < long/2-headLong-0.5; u += 2.4 {
		items = append(items, draw.Line(draw.InkPen(draw.Fine), on(u, -1.1), on(u, 1.1)))
	}
	return items
}
