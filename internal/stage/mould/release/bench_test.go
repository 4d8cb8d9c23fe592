package release

import (
	"testing"

	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
)

// A million triangles, judged along a pull that frees them.
func BenchmarkMillion(b *testing.B) { bench(b, shapes.Cap(0.5, rad(80), 410)) }

// A million triangles that no one pull frees, with both splits.
func BenchmarkMillionLocked(b *testing.B) { bench(b, shapes.Cap(0.5, rad(130), 410)) }

// The same shape as a mould is usually meshed.
func BenchmarkLocked(b *testing.B) { bench(b, shapes.Cap(0.1, rad(130), 60)) }

func bench(b *testing.B, m *mesh.Mesh) {
	for b.Loop() {
		if _, err := Work(Input{Part: m, Pull: up}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(m.Triangles)), "triangles")
}
