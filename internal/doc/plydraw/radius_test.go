package plydraw

import (
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/draw"
)

// A tight hood has its hollow and its edges in the table and on the map, the hollow
// dark at one end of the scale and an edge at the other.
func TestRadii(t *testing.T) {
	p := planOf(t, `
laywright: 1
mould:
  solids: [{block: {size: {unit: mm, xyz: [200, 150, 60]}, edge: "25 mm", draft: "8 deg"}}]
  fillet: "3 mm"
  flange: "25 mm"
laminate: {resin: laminating-epoxy-slow, fibre_fraction: 0.45, stack: [{fabric: carbon-plain-193, angle: "0 deg"}]}
plies: {slits: none}
`)
	pic, any := Open(p).Radii()
	if !any || len(pic.Table.Rows) != 1 {
		t.Fatalf("%v, %d rows", any, len(pic.Table.Rows))
	}
	if row := strings.Join(pic.Table.Rows[0], " | "); !strings.Contains(row, "carbon-plain-193") || !strings.Contains(row, "fill to 5 mm") {
		t.Error(row)
	}
	texts := 0
	for _, item := range pic.Draw(r2.NewBox(0, 0, 160, 90)) {
		if x, ok := item.(draw.Text); ok && x.String == "1" && x.Colour == draw.Accent {
			texts++
		}
	}
	if texts == 0 {
		t.Error("the tight hollow is not numbered on the map")
	}
	least, most := 0.0, 0.0
	for _, v := range tightness(p.Mould.Curved, 5e-3, 2e-3) {
		least, most = min(least, v), max(most, v)
	}
	// the fillet of 3 mm against 5, and the edge of 25 mm against 2 (the draft makes it
	// a little tighter at the top)
	if least > -1.5 || least < -1.75 || most < 0.07 || most > 0.1 {
		t.Errorf("tightness from %.3f to %.3f", least, most)
	}
	p.Mould = nil
	if _, any := Open(p).Radii(); any {
		t.Error("radii of no mould")
	}
}
