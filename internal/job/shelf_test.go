package job_test

import (
	"math"
	"reflect"
	"testing"

	"laywright/internal/job"
	"laywright/internal/stage/nest"
)

// What a plan leaves on the shelf is what the next one finds there.
func TestShelfComesBack(t *testing.T) {
	left := []nest.Stock{
		{Name: `a "b"`, Material: "carbon-twill-200", Lot: "A41", Outline: [][2]float64{{0, 0}, {0.5, 0}, {0.3, 0.2345}}},
		{Name: "roll: 2", Material: "glass", Width: 1.27, Length: 6.2, Defects: [][][2]float64{{{0.1, 0.2}, {0.3, 0.2}, {0.3, 0.4}}}},
	}
	text := job.Plan{Roll: &nest.Result{Shelf: left}}.Shelf()
	specs, problems := job.ReadShelf([]byte(text))
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
	if text := (job.Plan{}).Shelf(); text != "" {
		t.Errorf("an empty shelf is %q", text)
	}
}

// rounded takes the rounding of the file out.
func rounded(p [][2]float64) (out [][2]float64) {
	for _, v := range p {
		out = append(out, [2]float64{math.Round(1e4 * v[0]), math.Round(1e4 * v[1])})
	}
	return out
}
