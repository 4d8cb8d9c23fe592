package cut

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// along cuts a ground open from rim to rim, or from a tip, between the vertices
// nearest to two places, on the side of earlier cuts that a third place lies on.
func along(t *testing.T, g *Ground, from, to, side r3.Vec, route int) *Ground {
	t.Helper()
	m := g.Top.Mesh
	nearest := func(at r3.Vec) int32 {
		best, out := math.Inf(1), int32(-1)
		for v, x := range m.Vertices {
			for _, f := range g.Top.VertexFaces(v) {
				d := r3.Norm(r3.Sub(x, at)) + 1e-6*r3.Norm(r3.Sub(m.Centroid(int(f)), side))
				if d < best {
					best, out = d, int32(v)
				}
			}
		}
		return out
	}
	path, ok := NewTracer(g.Top).Along([]int32{nearest(from), nearest(to)})
	if !ok {
		t.Fatal("no path")
	}
	out, ok := g.Open(path, route)
	if !ok {
		t.Fatal("not cut")
	}
	return out
}

// fits checks that the sides of all slits run along the rim of their ground, and
// that left and right lie on each other.
func fits(t *testing.T, g *Ground) {
	t.Helper()
	m, rim := g.Top.Mesh, g.Top.RimVertices()
	for _, s := range g.Slits {
		for _, side := range [][]int32{s.Left, s.Right} {
			for i, v := range side {
				if !rim[v] {
					t.Errorf("route %d: vertex %d is not on the rim", s.Route, v)
				}
				if i > 0 {
					if e := g.Top.EdgeBetween(int(side[i-1]), int(v)); e < 0 || len(g.Top.EdgeFaces(e)) != 1 {
						t.Errorf("route %d: no rim between %d and %d", s.Route, side[i-1], v)
					}
				}
			}
		}
		for i := range min(len(s.Left), len(s.Right)) {
			if Length(m, s.Left[i], s.Right[i]) != 0 {
				t.Errorf("route %d: sides part at station %d", s.Route, i)
			}
		}
	}
}

// A cut across a plate, and one from its side to the rim, leave three pieces that
// have the plate's area between them. The first cut is in two where the second
// ends, so that each piece has one side of each seam.
func TestPieces(t *testing.T) {
	top := plate()
	g := along(t, Uncut(top), r3.Vec{X: -0.15}, r3.Vec{X: 0.15}, r3.Vec{Y: 1}, 0)
	g = along(t, g, r3.Vec{X: 0.025}, r3.Vec{X: 0.025, Y: 0.1}, r3.Vec{Y: 1}, 1)
	fits(t, g)
	if len(g.Slits) != 3 || g.Slits[0].Route != 0 || g.Slits[1].Route != 0 || g.Slits[2].Route != 1 {
		t.Fatalf("slits %+v", g.Slits)
	}
	pieces := g.Pieces()
	if len(pieces) != 3 {
		t.Fatalf("%d pieces", len(pieces))
	}
	sum, sides := 0.0, 0
	seen := make([]bool, len(top.Mesh.Vertices))
	for _, p := range pieces {
		fits(t, p)
		sum += p.Top.Mesh.Area()
		if p.Top.Euler() != 1 {
			t.Errorf("Euler's number %d, want 1 of a disc", p.Top.Euler())
		}
		for _, s := range p.Slits {
			if (s.Left == nil) == (s.Right == nil) {
				t.Errorf("a piece has both sides of a seam, or none")
			}
			sides++
		}
		for v, u := range p.From {
			if u >= 0 {
				seen[u] = true
				if p.Top.Mesh.Vertices[v] != top.Mesh.Vertices[u] {
					t.Errorf("vertex %d has moved", u)
				}
			}
		}
	}
	if math.Abs(sum/0.06-1) > 1e-9 || sides != 6 {
		t.Errorf("pieces of %.6f m² together, want 0.06; %d sides of seams, want 6", sum, sides)
	}
	for v, is := range seen {
		if !is {
			t.Errorf("vertex %d is in no piece", v)
		}
	}
}

// A slit that ends on the side of another leaves one piece, and breaks the other
// where it ends; two that end there from both sides do so too.
func TestSlitsMeet(t *testing.T) {
	g := opened(t, plate(), r3.Vec{X: -0.05}, r3.Vec{X: 0.15})
	g = along(t, g, r3.Vec{X: 0.05, Y: 0.075}, r3.Vec{X: 0.05}, r3.Vec{Y: 1}, 1)
	fits(t, g)
	if len(g.Slits) != 3 || len(g.Pieces()) != 1 || g.Top.Euler() != 1 {
		t.Fatalf("%d slits, Euler's number %d", len(g.Slits), g.Top.Euler())
	}
	if !g.Slits[0].Tip() || g.Slits[1].Tip() || !g.Slits[2].Tip() {
		t.Error("tips are lost")
	}
	g = along(t, g, r3.Vec{X: 0.05, Y: -0.075}, r3.Vec{X: 0.05}, r3.Vec{Y: -1}, 2)
	fits(t, g)
	if len(g.Slits) != 4 || g.Top.Euler() != 1 || math.Abs(g.Top.Mesh.Area()/0.06-1) > 1e-9 {
		t.Errorf("%d slits, Euler's number %d", len(g.Slits), g.Top.Euler())
	}
}

// Roads on a plane are no shorter than straight and, along sides and across pairs
// of triangles, little longer; a toll turns them away, ends stop them and a set of
// vertices that is one place is crossed for nothing.
func TestRoads(t *testing.T) {
	top := plate()
	m := top.Mesh
	at := func(x, y float64) int32 { return m.NearestVertex(r3.Vec{X: x, Y: y}, func(int) bool { return true }) }
	from := at(0, 0)
	for v, d := range RoadsFrom(top, from).Far {
		if straight := Length(m, from, int32(v)); d < straight-1e-12 || d > 1.09*straight+1e-12 {
			t.Errorf("road of %.4f m over %.4f m", d, straight)
		}
	}
	dear := RoadsOn(top, []int32{at(-0.15, 0)}, Terms{Toll: func(v int32) float64 {
		if math.Hypot(m.Vertices[v].X, m.Vertices[v].Y) < 0.04 {
			return 10
		}
		return 1
	}})
	for _, v := range dear.To(at(0.15, 0)) {
		if math.Hypot(m.Vertices[v].X, m.Vertices[v].Y) < 0.04 {
			t.Error("a road runs where it is dear")
		}
	}
	wall := RoadsOn(top, []int32{at(-0.15, 0)}, Terms{Ends: func(v int32) bool { return m.Vertices[v].X == 0 }})
	if d := wall.Far[at(0.15, 0)]; d < 0.3+1e-9 && !math.IsInf(d, 1) {
		t.Errorf("a road of %.3f m runs through where roads end", d)
	}
	set := [][]int32{{at(-0.1, 0), at(0.1, 0)}}
	if d := RoadsOn(top, []int32{at(-0.15, 0)}, Terms{Sets: set}).Far[at(0.15, 0)]; math.Abs(d-0.1) > 1e-9 {
		t.Errorf("by way of a set the road is %.4f m, want 0.1", d)
	}
}

// A tube cut along is one piece with one rim.
func TestTubeOpensOnce(t *testing.T) {
	g := opened(t, tube(), r3.Vec{X: 0.05}, r3.Vec{X: 0.05, Z: 0.1})
	if len(g.Pieces()) != 1 || opensTwice(g) {
		t.Error("a tube cut along is one piece with one rim")
	}
}

func opensTwice(g *Ground) bool { return len(g.Top.RimLoops()) != 1 }
