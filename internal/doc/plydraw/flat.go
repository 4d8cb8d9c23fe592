package plydraw

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/doc/draw"
	"laywright/internal/job"
	"laywright/internal/stage/flat"
)

// Flat draws the flat pieces of a kind of ply, small, all to one scale: knife
// lines, trim line, marks, threads and seed, and where the seams of the other
// plies lie on them.
func (a *Album) Flat(k Kind) Picture {
	pieces := k.First.Pieces
	grounds, others := a.groundsOf(k), a.otherSeams(k)
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
		Sort: "Laid flat", Note: note, Table: pieceTable(a.plan, k),
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
func (a *Album) otherSeams(k Kind) (out []seamLine) {
	for _, l := range a.kinds {
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
