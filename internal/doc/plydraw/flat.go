package plydraw

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/geom"
	"laywright/internal/doc/draw"
	"laywright/internal/job"
	"laywright/internal/stage/flat"
)

// Flat draws the flat pieces of a kind of ply, small, all to one scale: knife
// lines, trim line, marks, threads and seed, and where the seams of the other
// plies lie on them.
func Flat(p job.Plan, k Kind) Picture {
	pieces := k.First.Pieces
	grounds := groundsOf(k.First)
	others := otherSeams(p, k)
	aspect := 0.62
	if len(pieces) == 1 {
		size := flat.Polygon(pieces[0].Outline).Bounds().Size()
		aspect = min(0.9, max(0.3, 1.05*size.Y/size.X))
	}
	note := ""
	if len(pieces) > 1 {
		note = "All pieces to one scale."
	}
	return Picture{Name: k.stem() + "-flat", Caption: fmt.Sprintf("%s laid flat, %s", k.Label(), k.Cloth()), Aspect: aspect,
		Note: note, Table: pieceTable(p, k),
		Key: "Full line: cut. Dashed: edge of the finished part. Small round: end of a slit. Arrow: warp, which runs to the right in every piece. " +
			"Thin dashed lines with numbers: seams of other plies. Seen from the free side.",
		draw: func(box r2.Box) (out []draw.Item) {
			for _, it := range flatPieces(pieces, grounds, others, box) {
				out = append(out, it.Clipped(box)...) // marks may go on beyond a piece
			}
			return out
		}}
}

// otherSeams are the seams of the kinds that are not k.
func otherSeams(p job.Plan, k Kind) (out []seamLine) {
	for _, l := range Kinds(p) {
		if l.First.Number == k.First.Number {
			continue
		}
		for _, s := range l.First.Seams {
			out = append(out, seamLine{at: points(s.Line), sign: l.sign()})
		}
	}
	return out
}

// pieceTable gives each piece's size.
func pieceTable(p job.Plan, k Kind) draw.Table {
	w := wordsOf(p)
	t := draw.Table{Size: draw.Small, Columns: []draw.Column{{Head: "Piece", Share: 1}, {Head: "Along the warp", Share: 1.4, Align: draw.End}, {Head: "Across", Share: 1.2, Align: draw.End},
		{Head: "Inside the trim line", Share: 1.7, Align: draw.End}, {Head: "In laps", Share: 1.2, Align: draw.End}, {Head: "Carrier film", Share: 1.8, Align: draw.End}}}
	for _, piece := range k.First.Pieces {
		size := flat.Polygon(piece.Outline).Bounds().Size()
		t.Rows = append(t.Rows, []string{piece.Name, w.length(size.X), w.length(size.Y), w.area(float64(piece.Area)), w.area(float64(piece.LapArea)), w.film(piece)})
	}
	return t
}

// film is the size of the film that a piece is cut on.
func (w words) film(p flat.Piece) string {
	if len(p.Carrier) == 0 {
		return ""
	}
	size := flat.Polygon(p.Carrier).Bounds().Size()
	return w.length(size.X) + " × " + w.length(size.Y)
}

// pieceGap parts pieces on paper, and signRoom is kept free round them, in mm.
const (
	pieceGap = 6
	signRoom = 5
)

// flatPieces lays the pieces out in rows, as large as fits the box.
func flatPieces(pieces []flat.Piece, grounds []*ground, others []seamLine, box r2.Box) (out []draw.Item) {
	var outlines []geom.Polygon
	for _, p := range pieces {
		outlines = append(outlines, flat.Polygon(p.Outline))
	}
	l := labels{room: box}
	for i, fit := range inRows(outlines, draw.Inset(box, signRoom)) {
		out = append(out, onePiece(pieces[i], fit)...)
		for _, g := range grounds {
			if g.piece == pieces[i].Name && !g.patch {
				out = append(out, seamsInFlat(g, others, fit, &l)...)
			}
		}
	}
	return out
}

// inRows places boxes of outlines side by side in the number of rows that makes
// them largest, all to one scale.
func inRows(outlines []geom.Polygon, box r2.Box) []draw.Affine {
	n := len(outlines)
	best, rows := 0.0, 1
	for r := 1; r <= n; r++ {
		if k := rowScale(outlines, r, box.Size()); k > best {
			best, rows = k, r
		}
	}
	each := (n + rows - 1) / rows
	out := make([]draw.Affine, n)
	y := box.Max.Y
	for from := 0; from < n; from += each {
		row := outlines[from:min(from+each, n)]
		wide, high := rowSize(row)
		x := box.Center().X - (best*wide+pieceGap*float64(len(row)-1))/2
		for i, o := range row {
			b := o.Bounds()
			at := r2.Vec{X: x - best*b.Min.X, Y: y - best*high/2 - best*b.Center().Y}
			out[from+i] = draw.Scale(best).Then(draw.Move(at))
			x += best*b.Size().X + pieceGap
		}
		y -= best*high + pieceGap
	}
	return out
}

// rowScale is the scale at which outlines fit in so many rows; nought where the
// gaps alone take the room.
func rowScale(outlines []geom.Polygon, rows int, room r2.Vec) float64 {
	each := (len(outlines) + rows - 1) / rows
	k, high, used := math.Inf(1), 0.0, 0
	for from := 0; from < len(outlines); from += each {
		row := outlines[from:min(from+each, len(outlines))]
		wide, h := rowSize(row)
		k = min(k, (room.X-pieceGap*float64(len(row)-1))/wide)
		high += h
		used++
	}
	return max(0, min(k, (room.Y-pieceGap*float64(used-1))/high))
}

// rowSize is the width of outlines side by side and the height of the highest.
func rowSize(row []geom.Polygon) (wide, high float64) {
	for _, o := range row {
		size := o.Bounds().Size()
		wide, high = wide+size.X, max(high, size.Y)
	}
	return wide, high
}

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

// apart is how much longer a step may be in the flat than on the surface before
// a line that runs over a slit is broken there.
const apart = 2.5

// seamsInFlat draws where seams of other plies lie on a piece.
func seamsInFlat(g *ground, others []seamLine, fit draw.Affine, l *labels) (out []draw.Item) {
	for _, seam := range others {
		pen := draw.Pen{Width: draw.Medium, Colour: draw.Soft, Dash: []float64{1, 0.8}}
		runs := g.inFlat(seam.at)
		for _, run := range runs {
			out = append(out, draw.Line(pen, fit.All(run)...))
		}
		if n := len(runs); n > 0 {
			last := runs[n-1]
			tip := last[len(last)-1]
			out = append(out, l.name(fit.Do(tip), r2.Sub(tip, last[0]), seam.sign)...)
		}
	}
	return out
}

// inFlat carries a line on the surface to the flat, broken where a slit runs
// through.
func (g *ground) inFlat(line []r3.Vec) (runs [][]r2.Vec) {
	var run []r2.Vec
	end := func() {
		if len(run) > 1 {
			runs = append(runs, run)
		}
		run = nil
	}
	for i, p := range line {
		q, ok := g.place(p)
		if n := len(run); n > 0 && (!ok || r2.Norm(r2.Sub(q, run[n-1])) > apart*r3.Norm(r3.Sub(p, line[i-1]))+1e-4) {
			end()
		}
		if ok {
			run = append(run, q)
		}
	}
	end()
	return runs
}
