package drape

import (
	"context"
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// fairing is half a nose of power law, laid as one sheet: doubly curved, with
// sides of about the same length.
func fairing(n int) *mesh.Mesh {
	return sheetOf(n, n, func(s, t float64) r3.Vec {
		x, φ := 0.1+0.9*s, math.Pi*(0.1+0.8*t)
		r := 0.3 * math.Pow(x, 0.6)
		return r3.Vec{X: x, Y: -r * math.Cos(φ), Z: r * math.Sin(φ)}
	})
}

// tray is a plateau with walls at 40° whose edges are all rounded: z falls as the
// logistic step of the distance from the middle in the norm of fourth powers.
func tray(n int) *mesh.Mesh {
	return graph(1, n, func(x, y float64) float64 {
		d := math.Pow(math.Pow(x, 4)+math.Pow(y, 4), 0.25)
		return -0.2 / (1 + math.Exp(-16*(d-0.62)))
	})
}

// One sheet on smooth moulds of so many triangles, all of it and the net alone.
func BenchmarkSolve(b *testing.B) {
	for _, c := range []struct {
		name string
		make func(n int) *mesh.Mesh
		seed r3.Vec
	}{
		{"tray", tray, r3.Vec{Z: 1}},
		{"dome", func(n int) *mesh.Mesh { return dome(n, 80*deg) }, r3.Vec{Z: 1}},
		{"fairing", fairing, r3.Vec{X: 0.5, Z: 1}},
	} {
		for _, size := range []int{10_000, 30_000, 100_000, 300_000} {
			n := 2 * int(math.Sqrt(float64(size)/8)+0.5)
			m := c.make(n)
			top, err := mesh.NewTopology(m)
			if err != nil {
				b.Fatal(err)
			}
			hit, _ := mesh.NewLocator(m).Closest(c.seed)
			in := Input{Surface: top, Seed: hit.Point, Warp: r3.Vec{X: 1}, Locking: 60 * deg}
			b.Run(fmt.Sprintf("%s/%dk", c.name, size/1000), func(b *testing.B) {
				var r *Result
				for b.Loop() {
					if r, err = Solve(context.Background(), in); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(float64(r.Steps), "steps")
			})
			b.Run(fmt.Sprintf("%s/%dk/net", c.name, size/1000), func(b *testing.B) {
				step := m.MeanEdge()
				for b.Loop() {
					if _, err := Kinematic(in, step); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
