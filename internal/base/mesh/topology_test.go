package mesh

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// Euler characteristic, rims and parts of shapes where they are known.
func TestTopologyOfKnownShapes(t *testing.T) {
	two := cube()
	for _, v := range cube().Vertices {
		two.Vertices = append(two.Vertices, r3.Add(v, r3.Vec{X: 5}))
	}
	for _, f := range cube().Triangles {
		two.Triangles = append(two.Triangles, [3]int32{f[0] + 8, f[1] + 8, f[2] + 8})
	}
	for _, c := range []struct {
		name               string
		m                  *Mesh
		euler, rims, parts int
		closed             bool
	}{
		{"cube", cube(), 2, 0, 1, true},
		{"two cubes", two, 4, 0, 2, true},
		{"plate", plate(4), 1, 1, 1, false},
		{"tube", tube(t, 1, 1, 12, 3), 0, 2, 1, false},
		{"torus", torus(t, 2, 0.5, 8), 0, 0, 1, true},
		{"sphere", sphere(t, 2), 2, 0, 1, true},
	} {
		top := topologyOf(t, c.m)
		_, parts := top.Components()
		if top.Euler() != c.euler || len(top.RimLoops()) != c.rims || parts != c.parts || top.Closed() != c.closed {
			t.Errorf("%s: Euler %d, rims %d, parts %d, closed %v; want %d %d %d %v", c.name,
				top.Euler(), len(top.RimLoops()), parts, top.Closed(), c.euler, c.rims, c.parts, c.closed)
		}
		if n := len(top.NonManifoldEdges()) + len(top.FlippedEdges()) + len(top.BowTies()); n != 0 {
			t.Errorf("%s: %d faults, want none", c.name, n)
		}
	}
}

// What is asked from one side must be answered alike from the other.
func TestTopologyAgreesWithItself(t *testing.T) {
	m := plate(5)
	top := topologyOf(t, m)
	for h, twin := range top.Twin {
		if twin >= 0 && (top.Twin[twin] != int32(h) || top.From(h) != top.To(int(twin)) || top.EdgeOf[h] != top.EdgeOf[twin]) {
			t.Fatalf("half-edge %d and its twin %d disagree", h, twin)
		}
		if Next(Next(Next(h))) != h || Prev(Next(h)) != h {
			t.Fatalf("half-edge %d: Next and Prev disagree", h)
		}
	}
	corners, ends := 0, 0
	for v := range m.Vertices {
		for _, f := range top.VertexFaces(v) {
			if tri := m.Triangles[f]; int(tri[0]) != v && int(tri[1]) != v && int(tri[2]) != v {
				t.Fatalf("triangle %d is no neighbour of vertex %d", f, v)
			}
		}
		for _, e := range top.VertexEdges(v) {
			if top.EdgeBetween(v, top.Other(int(e), v)) != int(e) {
				t.Fatalf("edge %d is not found from vertex %d", e, v)
			}
		}
		corners += len(top.VertexFaces(v))
		ends += len(top.VertexEdges(v))
	}
	if corners != 3*len(m.Triangles) || ends != 2*len(top.Edges) {
		t.Errorf("%d corners and %d ends, want %d and %d", corners, ends, 3*len(m.Triangles), 2*len(top.Edges))
	}
}

// A rim has the surface on its left: seen from outside, that of a plate runs
// counter-clockwise and that of a hole in it clockwise.
func TestRimDirection(t *testing.T) {
	m := plate(6)
	hole := m.FacesWhere(func(f int) bool {
		c := m.Centroid(f)
		return !(c.X > 0.33 && c.X < 0.67 && c.Y > 0.33 && c.Y < 0.67)
	})
	top := topologyOf(t, m.Extract(hole).Mesh)
	rims := top.Rims()
	if len(rims) != 2 {
		t.Fatalf("%d rims, want 2", len(rims))
	}
	near(t, "outer rim", rims[0].Length, 4, 1e-12)
	near(t, "hole", rims[1].Length, 4.0/3, 1e-12)
	for i, want := range []float64{1, -1.0 / 9} {
		var twice float64
		for k, a := range rims[i].Loop {
			b := rims[i].Loop[(k+1)%len(rims[i].Loop)]
			twice += r3.Cross(top.Mesh.Vertices[a], top.Mesh.Vertices[b]).Z
		}
		near(t, "signed area of the rim", twice/2, want, 1e-12)
		near(t, "middle", r3.Norm(r3.Sub(rims[i].Middle, r3.Vec{X: 0.5, Y: 0.5})), 0, 1e-12)
	}
}

// Two plates that touch in a corner have two rims, though four rim edges meet
// there.
func TestBowTieKeepsRimsApart(t *testing.T) {
	m := &Mesh{Vertices: []r3.Vec{{}, {X: 1}, {Y: 1}, {X: -1}, {Y: -1}}, Triangles: [][3]int32{{0, 1, 2}, {0, 3, 4}}}
	top := topologyOf(t, m)
	if got := top.BowTies(); len(got) != 1 || got[0] != 0 {
		t.Errorf("bow ties %v, want vertex 0", got)
	}
	if got := top.RimLoops(); len(got) != 2 || len(got[0]) != 3 || len(got[1]) != 3 {
		t.Errorf("rims %v, want two of three", got)
	}
}

func TestTopologyRefuses(t *testing.T) {
	v := []r3.Vec{{}, {X: 1}, {Y: 1}}
	for name, tri := range map[string][3]int32{"past the end": {0, 1, 3}, "negative": {0, -1, 2}, "twice": {0, 1, 1}} {
		if _, err := NewTopology(&Mesh{v, [][3]int32{tri}}); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func TestExtractAndRegion(t *testing.T) {
	m := sphere(t, 3)
	top := topologyOf(t, m)
	// The equator of an octahedral sphere is made of edges: it parts the halves.
	flat := func(h int) bool { return m.Vertices[top.From(h)].Z != 0 || m.Vertices[top.To(h)].Z != 0 }
	half := m.Extract(top.Region(0, flat))
	near(t, "area of half the sphere", half.Mesh.Area(), m.Area()/2, 1e-12)
	if got := topologyOf(t, half.Mesh).Euler(); got != 1 {
		t.Errorf("Euler %d, want 1", got)
	}
	for v, old := range half.Vertex {
		if half.Mesh.Vertices[v] != m.Vertices[old] {
			t.Fatalf("vertex %d is not the old %d", v, old)
		}
	}
	if all := top.Region(0, nil); len(all) != len(m.Triangles) {
		t.Errorf("%d triangles reached, want %d", len(all), len(m.Triangles))
	}
}
