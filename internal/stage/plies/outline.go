package plies

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
)

// smooth is how far a drawn outline may leave the laid-flat rim, m: a tenth of
// what a knife follows.
const smooth = 5e-5

// cut makes the pieces of a ply, one a part of the surface, largest number of
// letters last: P01, or P01A, P01B where there are several.
func (w *work) cut(p PlyIn, s *sheets) Ply {
	ply := Ply{Number: p.Number, Fabric: p.Name, Angle: p.Angle, Seams: []Seam{}, Pieces: []Piece{}, Laid: s.laid}
	for i := range w.parts {
		name := fmt.Sprintf("P%02d", p.Number)
		if len(w.parts) > 1 {
			name += letters(i)
		}
		b := s.beds[i]
		if len(b.slits) == 0 {
			ply.Pieces = append(ply.Pieces, w.piece(name, b))
			continue
		}
		piece, _ := w.slitPiece(name, b)
		ply.Pieces = append(ply.Pieces, piece)
		ply.Seams = append(ply.Seams, b.seams(w.lap(), 1)...)
	}
	return ply
}

func letters(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return letters(i/26-1) + letters(i%26)
}

// piece draws the flat piece of a part.
func (w *work) piece(name string, b *bed) Piece {
	flat := b.flat
	out := Piece{Name: name, Lap: or(w.in.Spec.Lap, usualLap), Area: b.flatArea()}
	var loops []geom.Polygon
	outer := 0
	for _, loop := range b.top.RimLoops() {
		var ring geom.Polygon
		for _, v := range b.top.LoopVertices(loop) {
			ring = append(ring, flat[v])
		}
		if ring = ring.Clean(1e-9); len(ring) < 3 {
			continue
		}
		loops = append(loops, ring)
		if math.Abs(ring.Area()) > math.Abs(loops[outer].Area()) {
			outer = len(loops) - 1
		}
	}
	for i, ring := range loops {
		if i == outer {
			net := tidy(ring)
			out.Net, out.Outline = pairs(net), pairs(grown(net, float64(or(w.in.Spec.TrimAllowance, usualAllowance))))
		} else {
			out.Cutouts = append(out.Cutouts, pairs(tidy(ring)))
		}
	}
	return out
}

// tidy drops corners that the outline does not need, unless it would then cross
// itself.
func tidy(ring geom.Polygon) geom.Polygon {
	if t := geom.Simplify(ring, smooth); t.Valid() == nil {
		return t
	}
	return ring
}

// grown moves an outline outwards by d; one that crosses itself is left as it
// is, since a finding stops the job there.
func grown(ring geom.Polygon, d float64) geom.Polygon {
	if d == 0 || ring.Valid() != nil {
		return ring
	}
	parts, err := geom.Offset(ring, d)
	if err != nil || len(parts) == 0 {
		return ring
	}
	largest := parts[0]
	for _, p := range parts[1:] {
		if math.Abs(p.Area()) > math.Abs(largest.Area()) {
			largest = p
		}
	}
	return tidy(largest)
}

func pairs(p []r2.Vec) [][2]float64 {
	out := make([][2]float64, len(p))
	for i, v := range p {
		out[i] = [2]float64{v.X, v.Y}
	}
	return out
}

func ringOf(p [][2]float64) geom.Polygon {
	out := make(geom.Polygon, len(p))
	for i, v := range p {
		out[i] = r2.Vec{X: v[0], Y: v[1]}
	}
	return out
}
