package mesh

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// The tree finds what a search of all triangles finds.
func TestClosestAgainstAll(t *testing.T) {
	m := sphere(t, 3)
	l := NewLocator(m)
	rng := rand.New(rand.NewPCG(4, 4))
	for range 300 {
		p := r3.Vec{X: 4*rng.Float64() - 2, Y: 4*rng.Float64() - 2, Z: 4*rng.Float64() - 2}
		best := math.Inf(1)
		for f := range m.Triangles {
			a, b, c := m.Corners(f)
			best = math.Min(best, r3.Norm(r3.Sub(p, m.At(Point{f, nearestInTriangle(p, a, b, c)}))))
		}
		hit, ok := l.Closest(p)
		if !ok {
			t.Fatal("nothing found")
		}
		near(t, "distance", hit.Distance, best, 1e-14)
		near(t, "place", r3.Norm(r3.Sub(m.At(hit.Point), hit.At)), 0, 1e-14)
		if _, ok := l.ClosestWithin(p, 0.99*best); ok {
			t.Fatal("found nearer than the nearest")
		}
	}
}

// The nearest place of a triangle: no place on a fine raster of it is nearer,
// and the distance does not grow where p moves towards it.
func TestNearestInTriangle(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 4))
	v := func() r3.Vec { return r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()} }
	const n = 40
	for range 200 {
		m := &Mesh{[]r3.Vec{v(), v(), v()}, [][3]int32{{0, 1, 2}}}
		p := r3.Scale(2, v())
		a, b, c := m.Corners(0)
		bary := nearestInTriangle(p, a, b, c)
		near(t, "sum of weights", bary[0]+bary[1]+bary[2], 1, 1e-12)
		got, best := r3.Norm(r3.Sub(p, m.At(Point{0, bary}))), math.Inf(1)
		for i := range n + 1 {
			for j := range n + 1 - i {
				w := [3]float64{float64(i) / n, float64(j) / n, float64(n-i-j) / n}
				best = math.Min(best, r3.Norm(r3.Sub(p, m.At(Point{0, w}))))
			}
		}
		if size := m.MeanEdge(); got > best+1e-12 || got < best-size/n {
			t.Fatalf("distance %g, best of the raster %g", got, best)
		}
	}
}

// A ray through the middle of a sphere made of triangles meets it twice, near
// where the sphere itself lies; also through corners and sides.
func TestRaysThroughSphere(t *testing.T) {
	m := sphere(t, 4)
	sagitta := 0.0 // how far the deepest triangle lies under the sphere
	for f, tri := range m.Triangles {
		sagitta = math.Max(sagitta, 1-r3.Dot(m.FaceNormal(f), m.Vertices[tri[0]])+1e-12)
	}
	l := NewLocator(m)
	rng := rand.New(rand.NewPCG(9, 4))
	for i := range 500 {
		d := r3.Unit(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
		if i%2 == 0 { // straight at a corner
			d = m.Vertices[rng.IntN(len(m.Vertices))]
		}
		hits := l.RayAll(r3.Scale(-3, d), d, 0)
		if len(hits) < 2 {
			t.Fatalf("direction %v: %d hits", d, len(hits))
		}
		first, _ := l.Ray(r3.Scale(-3, d), d, 0)
		near(t, "first", first.Distance, hits[0].Distance, 0)
		near(t, "in", hits[0].Distance, 2, sagitta)
		near(t, "out", hits[len(hits)-1].Distance, 4, sagitta)
		for _, h := range hits {
			near(t, "place", r3.Norm(r3.Sub(h.At, r3.Scale(h.Distance-3, d))), 0, 1e-12)
		}
		if _, ok := l.Ray(r3.Scale(-3, d), d, 4.1); ok {
			t.Fatal("hit behind the sphere")
		}
		if i%2 == 1 && len(hits) != 2 {
			t.Errorf("direction %v: %d hits, want 2", d, len(hits))
		}
	}
}

func TestLocatorOfNothing(t *testing.T) {
	l := NewLocator(&Mesh{})
	if _, ok := l.Closest(r3.Vec{}); ok {
		t.Error("found a place on nothing")
	}
	if _, ok := l.Ray(r3.Vec{}, r3.Vec{X: 1}, 0); ok {
		t.Error("hit nothing")
	}
	if _, ok := NewLocator(cube()).Ray(r3.Vec{}, r3.Vec{}, 0); ok {
		t.Error("a ray without a direction hit")
	}
}
