package carve

import (
	"laywright/internal/base/geom"
	"laywright/internal/base/si"
)

// measure adds up the stack, as the shape is drawn.
func (b builder) measure(s *Stack) {
	top := float64(b.wood.bounds.Max.Z)
	last := s.Boards[len(s.Boards)-1]
	s.Total = last.Head
	for _, board := range s.Boards {
		for _, p := range board.Pieces {
			s.Sawn += si.Volume(float64(p.Area) * board.Thickness)
		}
	}
	wood := b.wood.volume()
	if b.in.Cavity {
		s.Floor = s.Total - si.Length(top)
		s.Carved = s.Sawn - si.Volume(b.block().Area()*b.boarded(s.Boards)-wood)
		return
	}
	s.Short = si.Length(top) - s.Total
	if s.Short > 0 {
		s.Top = si.Volume(area(b.wood.at(top-float64(s.Short)+hair)) * float64(s.Short))
	}
	s.Carved = s.Sawn - si.Volume(wood) + s.Top
	for _, board := range s.Boards {
		s.Carved += si.Volume(board.inside * board.Thickness)
	}
}

// boarded is the thickness of all boards without their glue, m.
func (b builder) boarded(of []Board) (sum float64) {
	for _, board := range of {
		sum += board.Thickness
	}
	return sum
}

// joints adds up the glued area: what boards that follow each other share.
func (b builder) joints(s *Stack) {
	for i := 1; i < len(s.Boards); i++ {
		shared, err := geom.Intersect(outlines(s.Boards[i-1]), outlines(s.Boards[i]))
		if err != nil { // a border that can't be told: the smaller of the two, no less than is glued
			s.GlueArea += min(s.Boards[i-1].area(), s.Boards[i].area())
			continue
		}
		s.GlueArea += si.Area(area(shared))
	}
}

func outlines(b Board) (out []geom.Region) {
	for _, p := range b.Pieces {
		out = append(out, p.Outline)
	}
	return out
}

func (b Board) area() (sum si.Area) {
	for _, p := range b.Pieces {
		sum += p.Area
	}
	return sum
}

// grained writes down how the grain of each board runs: along the longer side of the
// lowest, and crosswise from one to the next, so that the stack moves alike in both
// directions.
func (s *Stack) grained(axes [2]string) {
	first := 0
	if low := s.Boards[0].Pieces; len(low) > 0 && low[0].Width > low[0].Length {
		first = 1
	}
	for i := range s.Boards {
		s.Boards[i].Grain = axes[(i+first)%2]
	}
}
