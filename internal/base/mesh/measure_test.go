package mesh

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// A cube of side 1: area 6, volume 1, and every corner normal along its diagonal
// though the corners carry three to six triangles (Thürmer & Wüthrich's point).
func TestCube(t *testing.T) {
	m := cube()
	near(t, "area", m.Area(), 6, 1e-14)
	near(t, "volume", m.Volume(), 1, 1e-14)
	near(t, "inside out", m.Flipped().Volume(), -1, 1e-14)
	near(t, "mean edge", m.MeanEdge(), (2+math.Sqrt2)/3, 1e-14)
	for v, n := range m.VertexNormals() {
		out := r3.Unit(r3.Sub(m.Vertices[v], r3.Vec{X: 0.5, Y: 0.5, Z: 0.5}))
		near(t, "corner normal", r3.Dot(n, out), 1, 1e-14)
	}
	var sum float64
	for _, a := range m.VertexAreas() {
		sum += a
	}
	near(t, "vertex areas", sum, 6, 1e-14)
}

// The divergence theorem in another field than Volume uses: ∮ z n_z dA, with the
// mean of z on each triangle, is the volume too; and the area vectors of a
// closed surface add up to nothing. Neither changes as the mesh is turned and
// shifted far away.
func TestDivergence(t *testing.T) {
	m := sphere(t, 2)
	rot := r3.NewRotation(1.1, r3.Vec{X: 1, Y: 2, Z: -0.5})
	moved := m.Clone()
	for i, v := range moved.Vertices {
		moved.Vertices[i] = r3.Add(rot.Rotate(r3.Vec{X: v.X, Y: 1.5 * v.Y, Z: 0.2 * v.Z}), r3.Vec{X: 300, Y: -200, Z: 100})
	}
	var sum r3.Vec
	var flux float64
	for f := range moved.Triangles {
		a := moved.AreaVector(f)
		sum = r3.Add(sum, a)
		flux += a.Z * (moved.Centroid(f).Z - 100)
	}
	near(t, "sum of area vectors", r3.Norm(sum), 0, 1e-10)
	near(t, "flux of z", flux, moved.Volume(), 1e-10)
	near(t, "stretched", moved.Volume(), 0.3*m.Volume(), 1e-10)
}

// An inscribed mesh comes to the sphere's area 4π and volume 4π/3 with the
// square of its triangles' size.
func TestSphereSecondOrder(t *testing.T) {
	e := func(level int) (area, volume float64) {
		m := sphere(t, level)
		return 4*math.Pi - m.Area(), 4*math.Pi/3 - m.Volume()
	}
	a3, v3 := e(3)
	a4, v4 := e(4)
	near(t, "order of the area", order(a3, a4), 2, 0.05)
	near(t, "order of the volume", order(v3, v4), 2, 0.05)
}

func TestQuality(t *testing.T) {
	m := &Mesh{Vertices: []r3.Vec{{}, {X: 1}, {X: 0.5, Y: math.Sqrt(3) / 2}, {Y: 1}, {X: 2}},
		Triangles: [][3]int32{{0, 1, 2}, {0, 1, 3}, {0, 1, 4}}}
	near(t, "equilateral", m.Quality(0), 1, 1e-14)
	near(t, "right, 4√3·½/(1+1+2)", m.Quality(1), math.Sqrt(3)/2, 1e-14)
	near(t, "flat", m.Quality(2), 0, 0)
}

func TestAngles(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	p := func() r3.Vec { return r3.Vec{X: rng.Float64(), Y: rng.Float64(), Z: rng.Float64()} }
	for range 100 {
		m := &Mesh{Vertices: []r3.Vec{p(), p(), p()}, Triangles: [][3]int32{{0, 1, 2}}}
		a := m.Angles(0)
		near(t, "sum of angles", a[0]+a[1]+a[2], math.Pi, 1e-12)
		// The law of sines.
		b, c := r3.Sub(m.Vertices[1], m.Vertices[0]), r3.Sub(m.Vertices[2], m.Vertices[1])
		near(t, "law of sines", r3.Norm(b)*math.Sin(a[0]), r3.Norm(c)*math.Sin(a[2]), 1e-12)
	}
}
