package mesh

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// grid makes (nu+1)·(nv+1) vertices at place(i/nu, j/nv) and 2·nu·nv triangles
// whose normal is that of ∂/∂u × ∂/∂v.
func grid(nu, nv int, place func(u, v float64) r3.Vec) *Mesh {
	m := &Mesh{}
	for j := range nv + 1 {
		for i := range nu + 1 {
			m.Vertices = append(m.Vertices, place(float64(i)/float64(nu), float64(j)/float64(nv)))
		}
	}
	at := func(i, j int) int32 { return int32(j*(nu+1) + i) }
	for j := range nv {
		for i := range nu {
			a, b, c, d := at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1)
			if (i+j)%2 == 0 {
				m.Triangles = append(m.Triangles, [3]int32{a, b, c}, [3]int32{a, c, d})
			} else {
				m.Triangles = append(m.Triangles, [3]int32{a, b, d}, [3]int32{b, c, d})
			}
		}
	}
	return m
}

func plate(n int) *Mesh {
	return grid(n, n, func(u, v float64) r3.Vec { return r3.Vec{X: u, Y: v} })
}

// tube is an open cylinder about z, welded along its seam.
func tube(t testing.TB, radius, height float64, around, up int) *Mesh {
	m := grid(around, up, func(u, v float64) r3.Vec {
		s, c := math.Sincos(2 * math.Pi * u)
		return r3.Vec{X: radius * c, Y: radius * s, Z: height * v}
	})
	return mustClean(t, m)
}

func torus(t testing.TB, big, small float64, n int) *Mesh {
	return mustClean(t, grid(2*n, n, func(u, v float64) r3.Vec {
		s, c := math.Sincos(2 * math.Pi * u)
		q, p := math.Sincos(2 * math.Pi * v)
		r := big + small*p
		return r3.Vec{X: r * c, Y: r * s, Z: small * q}
	}))
}

// moebius is a strip with half a twist.
func moebius(n int) *Mesh {
	m := &Mesh{}
	for i := range n {
		a := 2 * math.Pi * float64(i) / float64(n)
		for _, w := range []float64{-0.2, 0.2} {
			r := 1 + w*math.Cos(a/2)
			m.Vertices = append(m.Vertices, r3.Vec{X: r * math.Cos(a), Y: r * math.Sin(a), Z: w * math.Sin(a/2)})
		}
	}
	for i := range n {
		a, b, c, d := int32(2*i), int32(2*i+1), int32(2*i+2), int32(2*i+3)
		if i == n-1 {
			c, d = 1, 0
		}
		m.Triangles = append(m.Triangles, [3]int32{a, c, b}, [3]int32{b, c, d})
	}
	return m
}

func mustClean(t testing.TB, m *Mesh) *Mesh {
	t.Helper()
	out, _, err := Clean(m, CleanOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func topologyOf(t testing.TB, m *Mesh) *Topology {
	t.Helper()
	top, err := NewTopology(m)
	if err != nil {
		t.Fatal(err)
	}
	return top
}

// cube is a unit cube of twelve triangles, turned outwards.
func cube() *Mesh {
	return &Mesh{
		Vertices: []r3.Vec{{}, {X: 1}, {X: 1, Y: 1}, {Y: 1}, {Z: 1}, {X: 1, Z: 1}, {X: 1, Y: 1, Z: 1}, {Y: 1, Z: 1}},
		Triangles: [][3]int32{{0, 2, 1}, {0, 3, 2}, {4, 5, 6}, {4, 6, 7}, {0, 1, 5}, {0, 5, 4},
			{1, 2, 6}, {1, 6, 5}, {2, 3, 7}, {2, 7, 6}, {3, 0, 4}, {3, 4, 7}},
	}
}

// sphere is an octahedron cut into four again and again, projected on the unit
// sphere; level 3 has 512 triangles.
func sphere(t testing.TB, level int) *Mesh {
	m := &Mesh{
		Vertices: []r3.Vec{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {Z: 1}, {Z: -1}},
		Triangles: [][3]int32{{0, 2, 4}, {2, 1, 4}, {1, 3, 4}, {3, 0, 4},
			{2, 0, 5}, {1, 2, 5}, {3, 1, 5}, {0, 3, 5}},
	}
	for range level {
		m = topologyOf(t, m).Subdivide(r3.Unit)
	}
	return m
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Fatalf("%s: %.12g, want %.12g ± %.2g", what, got, want, tolerance)
	}
}

// order returns the observed order of an error that was measured at a step and
// at half of it.
func order(coarse, fine float64) float64 { return math.Log2(coarse / fine) }
