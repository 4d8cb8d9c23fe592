package mesh_test

import (
	"testing"

	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
)

func BenchmarkMillion(b *testing.B) {
	m := shapes.Scan(1, 1_000_000, shapes.UsualFlaws)
	b.Log(len(m.Triangles), len(m.Vertices))
	b.Run("clean", func(b *testing.B) {
		for range b.N {
			mesh.Clean(m, mesh.CleanOptions{})
		}
	})
	c, _, _ := mesh.Clean(m, mesh.CleanOptions{})
	b.Run("locator", func(b *testing.B) {
		for range b.N {
			mesh.NewLocator(c)
		}
	})
	l := mesh.NewLocator(c)
	b.Run("cross", func(b *testing.B) {
		for range b.N {
			f, all := l.Crossings(1000)
			b.Log(len(f), all)
		}
	})
}
