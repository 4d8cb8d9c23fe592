package radius

import (
	"testing"

	"laywright/internal/base/mesh/shapes"
)

// A scan of a million triangles with noise: fitted, and its tight lines found.
func BenchmarkScan(b *testing.B) {
	top := topology(b, shapes.Scan(1, 1_000_000, shapes.Flaws{Noise: 50e-6}))
	for b.Loop() {
		s, _ := Fitted(top, 6e-3, sharp)
		Hollows(s, cloths)
		Edges(s, cloths)
	}
}
