package shell

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
)

// On a ball the middles of the sides come to lie on it, and nearer with the fourth
// power of the side; by the rim, where a normal is less well known, they miss it by
// a tenth of the bow at most.
func TestMiddleLiesOnTheSurface(t *testing.T) {
	var off []float64
	for _, n := range []int{4, 8, 16} {
		s := newSheet(n, n, true, func(u, v float64) r3.Vec {
			x, y := 0.8*(u-0.5), 0.8*(v-0.5)
			return r3.Vec{X: x, Y: y, Z: math.Sqrt(1 - x*x - y*y)}
		})
		m := s.model(isotropic(70e9, 0.3, 1e-3, 1), xDir)
		s.hold(m, Clamped, s.rim)
		sv := solver(t, m)
		top, err := mesh.NewTopology(m.Mesh)
		if err != nil {
			t.Fatal(err)
		}
		worst, rim := 0.0, top.RimVertices()
		for e, v := range top.Edges {
			miss := math.Abs(r3.Norm(sv.middle(top, e)) - 1)
			if !rim[v[0]] && !rim[v[1]] {
				worst = math.Max(worst, miss)
			} else if l := top.EdgeLength(e); miss > 0.1*l*l/8 {
				t.Errorf("by the rim %g off, bow %g", miss, l*l/8)
			}
		}
		off = append(off, worst)
	}
	if off[0]/off[1] < 12 || off[1]/off[2] < 12 {
		t.Errorf("off the ball by %v", off)
	}
}
