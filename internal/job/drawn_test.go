package job

import (
	"errors"
	"slices"
	"testing"

	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/stage/nest"
)

// The pieces of a drawing take the place of the line that names it: the first in its
// line, so that errors of later lines stay at theirs, further ones at the end; count
// and turns are the line's.
func TestDrawnPieces(t *testing.T) {
	ring := geom.Rect(0, 0, 0.1, 0.2)
	hole := geom.Rect(0.02, 0.02, 0.04, 0.04)
	s := Spec{Roll: &nest.Spec{Pieces: []nest.PieceSpec{
		{File: "a.dxf", Count: 3, Turn: []float64{0, 180}}, {Name: "rim", Count: 1}, {File: "b.svg", Name: "lid", Count: 1}}}}
	s.Roll.Pieces[1].Outline.P = ring
	drawn := map[int]Drawn{
		0: {Pieces: []DrawnPiece{{Name: "a-1", Outline: ring, Holes: []geom.Polygon{hole}}, {Name: "a-2", Outline: ring}}, Left: "1 line that closes nowhere"},
		2: {Pieces: []DrawnPiece{{Name: "b", Outline: ring}}},
	}
	got, holes, left, err := s.withDrawn(drawn)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, p := range got.Roll.Pieces {
		names = append(names, p.Name)
	}
	if !slices.Equal(names, []string{"a-1", "rim", "lid", "a-2"}) || got.Roll.Pieces[3].Count != 3 || len(got.Roll.Pieces[3].Turn) != 2 {
		t.Errorf("pieces %q", names)
	}
	if len(holes["a-1"]) != 1 || len(holes["a-2"]) != 0 || len(left) != 1 {
		t.Errorf("holes %v, left out %v", holes, left)
	}
	if s.Roll.Pieces[0].Name != "" {
		t.Error("the job file's own list was written to")
	}
	for field, drawn := range map[string]map[int]Drawn{"roll.pieces[0].file": {}, "roll.pieces[2].file": {0: drawn[0]}} {
		var wrong *fault.Input
		if _, _, _, err := s.withDrawn(drawn); !errors.As(err, &wrong) || wrong.Field != field {
			t.Errorf("%v, want an error of %s", err, field)
		}
	}
}
