package scan

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh/shapes"
)

// A shuffled mesh is put in order and stays the same surface; one in order is left
// alone.
func TestOrdered(t *testing.T) {
	m := shapes.Patch(200, 150, func(u, v float64) r3.Vec { return r3.Vec{X: u, Y: v, Z: u * v} })
	if ordered(m) != m {
		t.Error("a mesh in order was changed")
	}
	shuffled := shapes.Shuffled(m, 1)
	got := ordered(shuffled)
	if got == shuffled || scattered(got) {
		t.Error("a shuffled mesh was left alone")
	}
	if math.Abs(got.Area()-m.Area()) > 1e-9 || len(got.Vertices) != len(m.Vertices) || len(got.Triangles) != len(m.Triangles) {
		t.Errorf("area %g, was %g", got.Area(), m.Area())
	}
}
