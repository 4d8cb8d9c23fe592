package mesh

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// Made finer about one corner ten times over, a mesh stays whole, keeps its area
// where it is flat, and no angle comes below half the least it had (Rivara 1984).
func TestGradeKeepsAngles(t *testing.T) {
	m := &Mesh{Vertices: []r3.Vec{{}, {X: 1}, {X: 1.2, Y: 0.8}, {X: -0.1, Y: 1}}, Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}}}
	least, area := sharpest(m), m.Area()
	for range 10 {
		top, err := NewTopology(m)
		if err != nil {
			t.Fatal(err)
		}
		marked := make([]bool, len(m.Triangles))
		for f, tri := range m.Triangles {
			marked[f] = tri[0] == 0 || tri[1] == 0 || tri[2] == 0
		}
		g := top.Grade(marked, top.midpoint)
		for i, ends := range g.Ends {
			v := len(m.Vertices) + i
			if d := r3.Sub(r3.Scale(2, g.Mesh.Vertices[v]), r3.Add(g.Mesh.Vertices[ends[0]], g.Mesh.Vertices[ends[1]])); r3.Norm(d) > 1e-12 {
				t.Fatalf("vertex %d is not between its ends", v)
			}
		}
		if math.Abs(g.Mesh.Area()-area) > 1e-12 {
			t.Fatalf("area %g, was %g", g.Mesh.Area(), area)
		}
		m = g.Mesh
	}
	top, err := NewTopology(m)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(top.RimLoops()); n != 1 || top.Euler() != 1 {
		t.Errorf("%d rims, Euler %d", n, top.Euler())
	}
	if got := sharpest(m); got < least/2 {
		t.Errorf("angle %g, had %g", got, least)
	}
}

// sharpest is the smallest angle of a mesh's triangles.
func sharpest(m *Mesh) float64 {
	least := math.Pi
	for f := range m.Triangles {
		a, b, c := m.Corners(f)
		for range 3 {
			u, v := r3.Sub(b, a), r3.Sub(c, a)
			least = min(least, math.Acos(r3.Dot(u, v)/(r3.Norm(u)*r3.Norm(v))))
			a, b, c = b, c, a
		}
	}
	return least
}
