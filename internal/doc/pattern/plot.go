package pattern

import (
	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/doc/draw"
)

// plot is one piece drawn at full size, with what stands beside it: what sheets and
// tiled pages need, whatever it is cut from.
type plot struct {
	art      *draw.Page     // mm, about the piece's own origin
	outlines []geom.Polygon // mm; inside them is the piece
	field    string         // in the job file
	head     string         // its name
	part     string
	facts    []string // that stand on it, the head among them
	legend   []string // what its lines mean
	notes    []string
	goods    string // what is cut: "cloth"
}

// holds tells whether a place lies on the piece.
func (p plot) holds(q r2.Vec) bool {
	for _, o := range p.outlines {
		if o.Contains(q) {
			return true
		}
	}
	return false
}

// size is that of the piece, mm.
func (p plot) size() r2.Vec {
	var all geom.Polygon
	for _, o := range p.outlines {
		all = append(all, o...)
	}
	return all.Bounds().Size()
}

// plot is the piece of cloth as sheets and pages see it.
func (p Piece) plot() plot {
	return plot{art: p.art(), outlines: []geom.Polygon{draw.FromMetres().All(p.Outline)}, field: "pattern." + p.Name, head: p.headline(), part: p.Part,
		facts: p.facts(), legend: p.lineWords(), notes: p.Notes, goods: "cloth"}
}
