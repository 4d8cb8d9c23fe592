// Package strengthdraw shows whether a part holds: how far its wall moves, how much
// of its strength it uses, how thick it came out, how it folds and how it swings,
// with the numbers, and what these count and leave out. It is drawn from a finished
// plan and works nothing out.
//
// Maps stand on the mesh that strength was worked out on. Where the place that a map
// is about is hidden from the outside, one of its views looks from where it shows.
//
// Pictures are in millimetres of paper, as [draw] has them; the plan is in metres.
package strengthdraw

import (
	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
	"laywright/internal/job"
)

// Pictures lists the pictures of a plan's strength; none where it was not worked out.
func Pictures(p job.Plan) []plydraw.Picture {
	s := open(p)
	if s == nil {
		return nil
	}
	return append(s.maps(), s.shapes()...)
}

// maps are the pictures with a scale: motion, strength used, thickness.
func (s *sheet) maps() []plydraw.Picture {
	out := []plydraw.Picture{s.moves().picture()}
	if s.Share != nil {
		out = append(out, s.used().picture())
	}
	if wall, any := s.wall(); any {
		out = append(out, wall)
	}
	return out
}

// shapes are the pictures of how it folds and swings, which have no scale.
func (s *sheet) shapes() (out []plydraw.Picture) {
	if s.Buckling != nil && s.Buckled != nil {
		out = append(out, s.folds())
	}
	if s.Frequency != nil && s.Swing != nil {
		out = append(out, s.swings())
	}
	return out
}

// Pages is every picture on a page of its own.
func Pages(p job.Plan) (out []draw.Page) {
	for _, pic := range Pictures(p) {
		out = append(out, pic.Page())
	}
	return out
}
