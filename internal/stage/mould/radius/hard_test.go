package radius

import (
	"math"
	"testing"

	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
)

// Whatever the surface, each line has a finite length, a radius below what is wanted
// and a place, and the classes share out the whole area.
func TestHardSurfaces(t *testing.T) {
	for _, shape := range shapes.Corpus() {
		m := shape.Make()
		top, err := mesh.NewTopology(m)
		if err != nil {
			continue
		}
		s, fit := Fitted(top, 6e-3, sharp)
		if math.IsNaN(float64(fit.Doubt)) || math.IsNaN(float64(fit.Noise)) {
			t.Errorf("%s: %+v", shape.Name, fit)
		}
		for _, l := range append(Hollows(s, cloths), Edges(s, cloths)...) {
			if !(l.Length > 0 && l.Length < 1e3 && l.Radius >= 0 && l.Radius < l.Wanted && len(l.Cloths) > 0 && l.Turn > 0 && l.Turn <= 2*math.Pi) || l.Filler != nil && !(*l.Filler >= 0 && *l.Filler < 1) {
				t.Errorf("%s: %+v", shape.Name, l)
			}
		}
		a := Classes(s, 0.5)
		near(t, shape.Name, float64(a.Flat+a.Single+a.Double), m.Area(), 1e-9)
	}
}
