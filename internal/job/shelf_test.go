package job

import (
	"reflect"
	"testing"

	"laywright/internal/base/geom"
	"laywright/internal/stage/nest"
)

// What a plan leaves on the shelf is what the next one finds there.
func TestShelfComesBack(t *testing.T) {
	left := []nest.Stock{
		{Name: `a "b"`, Material: "carbon-twill-200", Lot: "A41", Outline: geom.Polygon{{}, {X: 0.5}, {X: 0.3, Y: 0.2345}}},
		{Name: "roll: 2", Material: "glass", Width: 1.27, Length: 6.2, Defects: []geom.Polygon{geom.Rect(0.1, 0.2, 0.3, 0.4)}},
	}
	text := Plan{Roll: &nest.Result{Shelf: left}}.Shelf()
	specs, problems := ReadShelf([]byte(text))
	if len(problems) > 0 {
		t.Fatalf("%v in\n%s", problems, text)
	}
	roll := nest.Spec{Stock: specs}
	for _, want := range left {
		got := roll.Roll(want.Material, 0).Stock[0]
		want.Outline, got.Outline = rounded(want.Outline), rounded(got.Outline)
		for i := range got.Defects {
			got.Defects[i], want.Defects[i] = rounded(got.Defects[i]), rounded(want.Defects[i])
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%+v came back as %+v", want, got)
		}
	}
	if text := (Plan{}).Shelf(); text != "" {
		t.Errorf("an empty shelf is %q", text)
	}
}

// rounded takes the rounding of the file out.
func rounded(p geom.Polygon) geom.Polygon {
	if len(p) == 0 {
		return nil
	}
	out := p.Clone()
	for i := range out {
		out[i].X, out[i].Y = float64(int(1e4*out[i].X+0.5)), float64(int(1e4*out[i].Y+0.5))
	}
	return out
}
