package cut

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// grid maps a grid over the unit square; round joins its first column to its last.
func grid(nx, ny int, round bool, at func(s, t float64) r3.Vec) *mesh.Topology {
	m := &mesh.Mesh{}
	columns := nx + 1
	if round {
		columns = nx
	}
	for j := 0; j <= ny; j++ {
		for i := range columns {
			m.Vertices = append(m.Vertices, at(float64(i)/float64(nx), float64(j)/float64(ny)))
		}
	}
	for j := range ny {
		for i := range nx {
			a, b := int32(j*columns+i), int32(j*columns+(i+1)%columns)
			c, d := b+int32(columns), a+int32(columns)
			m.Triangles = append(m.Triangles, [3]int32{a, b, c}, [3]int32{a, c, d})
		}
	}
	top, err := mesh.NewTopology(m)
	if err != nil {
		panic(err)
	}
	return top
}

func plate() *mesh.Topology {
	return grid(12, 8, false, func(s, t float64) r3.Vec { return r3.Vec{X: 0.3 * (s - 0.5), Y: 0.2 * (t - 0.5)} })
}

func tube() *mesh.Topology {
	return grid(24, 6, true, func(s, t float64) r3.Vec {
		return r3.Vec{X: 0.05 * math.Cos(2*math.Pi*s), Y: 0.05 * math.Sin(2*math.Pi*s), Z: 0.1 * t}
	})
}

func opened(t *testing.T, top *mesh.Topology, from, to r3.Vec) *Ground {
	t.Helper()
	any := func(int) bool { return true }
	way := []int32{top.Mesh.NearestVertex(from, any), top.Mesh.NearestVertex(to, any)}
	path, ok := NewTracer(top).Along(way)
	if !ok {
		t.Fatal("no path")
	}
	g, ok := Uncut(top).Open(path, 0)
	if !ok || len(g.Slits) != 1 {
		t.Fatal("not cut")
	}
	return g
}

// A cut leaves the surface as it was: its area and the places of its vertices.
// A slit keeps Euler's number of a disc, 1; a cut across a plate makes two discs,
// one along a tube (Euler's number 0) a disc.
func TestOpenKeepsTheSurface(t *testing.T) {
	for _, c := range []struct {
		name         string
		top          *mesh.Topology
		from, to     r3.Vec
		euler, parts int
		tip          bool
	}{
		{"slit", plate(), r3.Vec{X: 0.03, Y: 0.02}, r3.Vec{X: 0.15, Y: 0.05}, 1, 1, true},
		{"across", plate(), r3.Vec{X: -0.15, Y: -0.05}, r3.Vec{X: 0.15, Y: 0.05}, 2, 2, false},
		{"tube", tube(), r3.Vec{X: 0.05}, r3.Vec{X: 0.05, Z: 0.1}, 1, 1, false},
	} {
		g := opened(t, c.top, c.from, c.to)
		m, was := g.Top.Mesh, c.top.Mesh
		if _, parts := g.Top.Components(); math.Abs(m.Area()/was.Area()-1) > 1e-12 || g.Top.Euler() != c.euler || parts != c.parts {
			t.Errorf("%s: area %.9f for %.9f, Euler's number %d, %d parts", c.name, m.Area(), was.Area(), g.Top.Euler(), parts)
		}
		s := g.Slits[0]
		if s.Tip() != c.tip || len(s.Left) != len(s.Right) {
			t.Errorf("%s: sides %v and %v", c.name, s.Left, s.Right)
		}
		for i := range s.Left {
			if Length(m, s.Left[i], s.Right[i]) != 0 || (s.Left[i] == s.Right[i]) != (i == 0 && c.tip) {
				t.Errorf("%s: station %d: %d and %d", c.name, i, s.Left[i], s.Right[i])
			}
		}
		for v, u := range g.From {
			if u >= 0 && m.Vertices[v] != was.Vertices[u] {
				t.Errorf("%s: vertex %d has moved", c.name, v)
			}
		}
	}
}

// A slit along +x in a plate seen from +z has its left side at +y, and crossings
// of sides become vertices; so has a cut from rim to rim.
func TestLeftIsLeft(t *testing.T) {
	for _, from := range []float64{-0.025, -0.15} {
		top := plate()
		g := opened(t, top, r3.Vec{X: from}, r3.Vec{X: 0.15, Y: 0.05})
		if len(g.Top.Mesh.Vertices) < len(top.Mesh.Vertices)+len(g.Slits[0].Left)-1 {
			t.Fatalf("%d vertices for %d", len(g.Top.Mesh.Vertices), len(top.Mesh.Vertices))
		}
		above := func(c r3.Vec) bool { return c.Y > (c.X-from)*0.05/(0.15-from) }
		s := g.Slits[0]
		for i := 1; i < len(s.Left); i++ {
			for _, f := range g.Top.VertexFaces(int(s.Left[i])) {
				if !above(g.Top.Mesh.Centroid(int(f))) {
					t.Errorf("left: triangle %d at %v", f, g.Top.Mesh.Centroid(int(f)))
				}
			}
			for _, f := range g.Top.VertexFaces(int(s.Right[i])) {
				if above(g.Top.Mesh.Centroid(int(f))) {
					t.Errorf("right: triangle %d at %v", f, g.Top.Mesh.Centroid(int(f)))
				}
			}
		}
	}
}
