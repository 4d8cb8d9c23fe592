package release

import (
	"flag"
	"math"
	"testing"

	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
)

var long = flag.Bool("long", false, "take finer shapes too")

// Whatever the surface, the answer is in numbers, and adds up: what leans back, is
// hidden, or is steep is no more than the whole, and pieces make up the part.
func TestHostileShapes(t *testing.T) {
	most := 700 // triangles: finer ones are other sizes of the same
	if *long {
		most = 2000
	}
	for _, shape := range shapes.Corpus() {
		m, _, err := mesh.Clean(shape.Make(), mesh.CleanOptions{})
		if err != nil || len(m.Triangles) > most {
			continue
		}
		t.Run(shape.Name, func(t *testing.T) {
			r, err := Work(Input{Part: m, Pull: up, Share: 0.005})
			if err != nil {
				t.Skip(err)
			}
			whole := m.Area()
			check := func(p Pull, of float64) {
				if sum := float64(p.Locked() + p.Low); math.IsNaN(sum) || sum > of*(1+1e-9) || math.IsNaN(float64(p.MinDraft)) {
					t.Errorf("along %v: locked and steep %g m² of %g, least draft %g", p.Dir, sum, of, float64(p.MinDraft))
				}
			}
			check(r.Judged, whole)
			for _, s := range []*Split{r.Mould, r.Part} {
				if s == nil {
					continue
				}
				sum := 0.0
				for _, p := range s.Pieces {
					check(p.Pull, float64(p.Area))
					sum += float64(p.Area)
				}
				near(t, "pieces", sum, whole, 1e-6*whole)
			}
		})
	}
}
