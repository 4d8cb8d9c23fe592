package carve

import (
	"fmt"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"laywright/internal/base/geom"
)

// block is the outline of the block that a cavity is carved in: a rectangle that
// holds the hollow with its wall, and the flange round its mouth.
func (b builder) block() geom.Polygon {
	box, wall := b.face.bounds, float64(b.in.How.Wall)
	out := r2.Box{Min: r2.Vec{X: box.Min.X - wall, Y: box.Min.Y - wall}, Max: r2.Vec{X: box.Max.X + wall, Y: box.Max.Y + wall}}
	for _, ring := range b.in.Base {
		e := ring.Bounds()
		out.Min.X, out.Min.Y = min(out.Min.X, e.Min.X), min(out.Min.Y, e.Min.Y)
		out.Max.X, out.Max.Y = max(out.Max.X, e.Max.X), max(out.Max.Y, e.Max.Y)
	}
	return geom.Rect(out.Min.X, out.Min.Y, out.Max.X, out.Max.Y)
}

// walled saws a cavity's board: the block, and in it a hole no larger than the
// hollow anywhere in the board, less the wood left for the saw.
func (b builder) walled(out *Board, all []Level) error {
	saw := []geom.Region{b.block().Region()}
	if len(all) == 0 {
		out.pieces(saw)
		return nil
	}
	hole := all[0].Cut
	var err error
	for i, l := range all[1:] {
		if same(all[i].Cut, l.Cut) {
			continue
		}
		if hole, err = geom.Intersect(hole, l.Cut); err != nil {
			return fmt.Errorf("the hollow of a board: %w", err)
		}
	}
	if hole, err = grown(hole, -float64(b.in.How.Saw)); err != nil {
		return err
	}
	if saw, err = geom.Difference(saw, hole); err != nil {
		return fmt.Errorf("the hollow of a board: %w", err)
	}
	out.pieces(saw)
	return nil
}

// turnOver turns a cavity's stack, drawn mouth down, to stand as it is built: the
// floor first, the mouth up, y the other way. Boards are numbered anew.
func (s *Stack) turnOver() {
	slices.Reverse(s.Boards)
	for i := range s.Boards {
		b := &s.Boards[i]
		b.Number = i + 1
		b.Foot, b.Head = s.Total-b.Head, s.Total-b.Foot
		b.Levels, b.sure = s.over(b.Levels), s.over(b.sure)
		rs := make([]geom.Region, len(b.Pieces))
		for k, p := range b.Pieces {
			rs[k] = p.Outline
		}
		b.Pieces = nil
		b.pieces(flipped(rs))
	}
}

// over turns levels over, from the lowest again.
func (s *Stack) over(of []Level) (out []Level) {
	for _, l := range slices.Backward(of) {
		out = append(out, Level{float64(s.Total) - l.Z, flipped(l.Cut)})
	}
	return out
}

// flipped turns regions over about the x axis.
func flipped(of []geom.Region) []geom.Region {
	out := make([]geom.Region, len(of))
	for i, r := range of {
		out[i].Outer = r.Outer.Flip().Reversed()
		for _, h := range r.Holes {
			out[i].Holes = append(out[i].Holes, h.Flip().Reversed())
		}
	}
	return out
}
