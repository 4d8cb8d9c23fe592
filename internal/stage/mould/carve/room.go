package carve

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"laywright/internal/base/geom"
)

// rooms tells of each place which piece has room for a dowel from one height to
// another.
func (b builder) rooms(at []r2.Vec, board Board, low, high float64) []int8 {
	var levels []Level
	for i, l := range board.sure {
		if l.Z <= high && (i+1 == len(board.sure) || board.sure[i+1].Z >= low) {
			levels = append(levels, l)
		}
	}
	in := make([]int8, len(at))
	for i, q := range at {
		in[i] = b.room(board, levels, q)
	}
	return in
}

// room tells which piece, counted from 1, of a board holds a dowel at a place with
// wood round it after carving; 0 for none.
func (b builder) room(board Board, levels []Level, q r2.Vec) int8 {
	clear := float64(b.in.How.Dowel)/2 + dowelClear
	for i, p := range board.Pieces {
		if !p.Outline.Contains(q) || nearer(p.Outline, q, clear) {
			continue
		}
		for _, l := range levels {
			if !b.keeps(l.Cut, q, clear) {
				return 0
			}
		}
		return int8(min(i+1, math.MaxInt8))
	}
	return 0
}

// keeps tells whether a place stays in the wood of a slice, clear of its border.
func (b builder) keeps(cut []geom.Region, q r2.Vec, clear float64) bool {
	for _, r := range cut {
		if r.Contains(q) {
			return !b.in.Cavity && !nearer(r, q, clear)
		}
		if b.in.Cavity && nearer(r, q, clear) {
			return false
		}
	}
	return b.in.Cavity
}

// nearer tells whether a region's border comes nearer to q than d.
func nearer(r geom.Region, q r2.Vec, d float64) bool {
	if ringNearer(r.Outer, q, d) {
		return true
	}
	return slices.ContainsFunc(r.Holes, func(h geom.Polygon) bool { return ringNearer(h, q, d) })
}

func ringNearer(p geom.Polygon, q r2.Vec, d float64) bool {
	a := p[len(p)-1]
	for _, b := range p {
		if min(a.X, b.X) < q.X+d && max(a.X, b.X) > q.X-d && min(a.Y, b.Y) < q.Y+d && max(a.Y, b.Y) > q.Y-d &&
			geom.SegmentDistance(q, a, b) < d {
			return true
		}
		a = b
	}
	return false
}
