package cut

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// Over the side of two triangles the straight way is that of the unfolded pair,
// whatever the bend; it counts only where it crosses the side.
func TestUnfolded(t *testing.T) {
	m := &mesh.Mesh{Vertices: []r3.Vec{{X: 3}, {}, {Y: 2}, {Z: 4, Y: 1}, {Z: 1, Y: 7}}}
	if d, ok := unfolded(m, 0, 1, 2, 3); !ok || math.Abs(d-math.Hypot(7, 1)) > 1e-12 {
		t.Errorf("unfolded %v, %v, want √50", d, ok)
	}
	if _, ok := unfolded(m, 0, 1, 2, 4); ok {
		t.Error("a straight line that misses the side counts")
	}
}
