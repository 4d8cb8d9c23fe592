package cutting

import (
	"bytes"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/dxf"
	"laywright/internal/doc/dxfread"
	"laywright/internal/doc/pattern"
	"laywright/internal/job"
)

// A hole that a drawing gave is cut where its piece lies on the roll, and only there.
func TestHolesOfDrawingsAreCut(t *testing.T) {
	f, problems := job.Read([]byte("laywright: 1\nroll: {search: 0.1 s, width: 600 mm, gap: 5 mm, pieces: [{file: a.dxf, count: 2, turn: [180]}]}\n"))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	ring, hole := geom.Rect(0, 0, 0.3, 0.2), geom.Rect(0.02, 0.03, 0.06, 0.05)
	plan, err := job.Make(t.Context(), f, job.Inputs{Drawn: map[int]job.Drawn{0: {Pieces: []job.DrawnPiece{{Name: "a", Outline: ring, Holes: []geom.Polygon{hole}}}}}})
	if err != nil {
		t.Fatal(err)
	}
	page, err := pattern.RollSheet(Rolls(plan)[0])
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := dxf.Write(&b, page); err != nil {
		t.Fatal(err)
	}
	drawing, err := dxfread.Read(&b)
	if err != nil {
		t.Fatal(err)
	}
	cut := drawing.On(draw.Cut)
	if len(cut) != 4 {
		t.Fatalf("%d cut lines, want two pieces with a hole each", len(cut))
	}
	for i := 0; i < 4; i += 2 { // each hole before its piece
		inner, outer := geom.Polygon(cut[i].Points).Bounds(), geom.Polygon(cut[i+1].Points).Bounds()
		// turned half round the hole lies 20 mm from the right side and 30 mm from the upper one
		if d := r2.Norm(r2.Sub(r2.Sub(outer.Max, inner.Max), r2.Vec{X: 20, Y: 30})); d > 1e-3 {
			t.Errorf("the hole at %v of the piece at %v", inner, outer)
		}
	}
}
