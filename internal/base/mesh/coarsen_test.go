package mesh_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
)

// A coarser mesh keeps Euler's number, the rims' number and length, the area and,
// by Gauss and Bonnet, the curvature inside its rims; its vertices are old ones.
func TestCoarsenKeepsTheSurface(t *testing.T) {
	holed := func() *mesh.Mesh {
		m := shapes.Patch(40, 30, func(u, v float64) r3.Vec { return r3.Vec{X: 0.4 * u, Y: 0.3 * v, Z: 0.02 * math.Sin(6*u)} })
		top, err := mesh.NewTopology(m)
		if err != nil {
			t.Fatal(err)
		}
		c, err := top.ClipBy(func(p r3.Vec) float64 { return math.Hypot(p.X-0.12, p.Y-0.15) - 0.05 }, 0.2)
		if err != nil {
			t.Fatal(err)
		}
		return c.Mesh
	}
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
	}{
		{"box", shapes.OpenBox(r3.Vec{X: 0.24, Y: 0.15, Z: 0.07}, 24)}, {"bowl", shapes.Cap(0.1, math.Pi/2, 30)},
		{"tube", shapes.Tube(0.05, 0.2, 60, 40)}, {"plate with a hole", holed()}, {"cone", shapes.Cone(0.12, 0.09, 30)},
	} {
		fine, err := mesh.NewTopology(c.m)
		if err != nil {
			t.Fatal(err)
		}
		const most = 500
		got := fine.Coarsen(most)
		top, err := mesh.NewTopology(got.Mesh)
		if err != nil {
			t.Fatal(c.name, err)
		}
		if n := len(got.Mesh.Vertices); n > most || n < most/2 {
			t.Errorf("%s: %d vertices", c.name, n)
		}
		for v, u := range got.Vertex {
			if got.Mesh.Vertices[v] != c.m.Vertices[u] {
				t.Fatalf("%s: vertex %d has moved", c.name, v)
			}
		}
		if top.Euler() != fine.Euler() || len(top.NonManifoldEdges()) > 0 || len(top.FlippedEdges()) > 0 || len(top.BowTies()) > 0 {
			t.Errorf("%s: Euler's number %d for %d, or bad sides", c.name, top.Euler(), fine.Euler())
		}
		a, b := top.Rims(), fine.Rims()
		if len(a) != len(b) {
			t.Fatalf("%s: %d rims for %d", c.name, len(a), len(b))
		}
		for i := range a {
			if math.Abs(a[i].Length/b[i].Length-1) > 0.02 {
				t.Errorf("%s: rim of %.4f m for %.4f", c.name, a[i].Length, b[i].Length)
			}
		}
		if r := got.Mesh.Area()/c.m.Area() - 1; math.Abs(r) > 0.01 {
			t.Errorf("%s: area off by %.2g", c.name, r)
		}
		// the rim's own strip, half a triangle wide, holds curvature too and is wider now
		strip := 0.0
		if c.name == "bowl" {
			strip = b[0].Length * got.Mesh.MeanEdge() / 2 / (0.1 * 0.1)
		}
		if want := inside(fine); math.Abs(inside(top)-want) > 0.1+strip {
			t.Errorf("%s: curvature %.3f rad for %.3f", c.name, inside(top), want)
		}
		low := 0
		for f := range got.Mesh.Triangles {
			if got.Mesh.Quality(f) < 0.3 {
				low++
			}
		}
		if low > len(got.Mesh.Triangles)/10 {
			t.Errorf("%s: %d of %d triangles are thin", c.name, low, len(got.Mesh.Triangles))
		}
	}
}

// inside is the curvature of the inner vertices.
func inside(t *mesh.Topology) (sum float64) {
	rim := t.RimVertices()
	for v, k := range t.AngleDefects() {
		if !rim[v] {
			sum += k
		}
	}
	return sum
}

// What varies linearly over a flat mesh comes back whole from a coarse copy, rims and
// holes and all; over a curved one a constant does.
func TestRefillIsLinear(t *testing.T) {
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
		flat bool
	}{
		{"plate", shapes.Patch(40, 30, func(u, v float64) r3.Vec { return r3.Vec{X: 0.3 * u * (1 + v/2), Y: 0.2 * v} }), true},
		{"cap", shapes.Cap(0.3, math.Pi/2, 40), false},
	} {
		top, err := mesh.NewTopology(c.m)
		if err != nil {
			t.Fatal(err)
		}
		value := func(v int32) float64 {
			if x := c.m.Vertices[v]; c.flat {
				return 1 + 2*x.X - 3*x.Y
			}
			return 1
		}
		coarse := top.Coarsen(100)
		got := make([]float64, len(c.m.Vertices))
		for _, v := range coarse.Vertex {
			got[v] = value(v)
		}
		count := len(coarse.Vertex)
		coarse.Refill(func(v int32, ring []int32, weight []float64) {
			count++
			for i, u := range ring {
				got[v] += weight[i] * got[u]
			}
		})
		if count != len(got) {
			t.Errorf("%s: %d of %d vertices have a value", c.name, count, len(got))
		}
		for v, x := range got {
			if want := value(int32(v)); math.Abs(x-want) > 1e-9 {
				t.Fatalf("%s: vertex %d has %g, want %g", c.name, v, x, want)
			}
		}
	}
}

func BenchmarkCoarsen(b *testing.B) {
	top, err := mesh.NewTopology(shapes.Cap(0.3, math.Pi/2, 180))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		top.Coarsen(2500)
	}
}
