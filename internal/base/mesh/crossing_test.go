package mesh_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
)

func patch(n int, at func(u, v float64) r3.Vec) *mesh.Mesh { return shapes.Patch(n, n, at) }

// Two plates that cross at a right angle off their grid lines cross along one line:
// the pairs found all hold a place on it, and between them cover its length. No
// sound shape crosses.
func TestCrossings(t *testing.T) {
	flat := patch(10, func(u, v float64) r3.Vec { return r3.Vec{X: u, Y: v} })
	upright := patch(10, func(u, v float64) r3.Vec { return r3.Vec{X: 0.1333 + 0.7*u, Y: 0.4567, Z: v - 0.5123} })
	both := shapes.Together(false, flat, upright)
	found, all := mesh.NewLocator(both).Crossings(1000)
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, c := range found {
		if math.Abs(c.At.Y-0.4567) > 1e-12 || math.Abs(c.At.Z) > 1e-12 || c.Faces[0] >= 200 || c.Faces[1] < 200 {
			t.Fatalf("%+v is no crossing", c)
		}
		lo, hi = min(lo, c.At.X), max(hi, c.At.X)
	}
	if !all || lo > 0.25 || hi < 0.73 {
		t.Errorf("%d crossings from x = %.3f to %.3f, all %v", len(found), lo, hi, all)
	}
	if few, all := mesh.NewLocator(both).Crossings(3); len(few) != 3 || all || !slices.Contains(found, few[0]) {
		t.Errorf("%d of 3, all %v", len(few), all)
	}
	for _, m := range []*mesh.Mesh{flat, shapes.Sphere(0.1, 4), shapes.Torus(0.1, 0.03, 60, 30), shapes.OpenBox(r3.Vec{X: 1, Y: 2, Z: 3}, 10)} {
		if found, all := mesh.NewLocator(m).Crossings(10); len(found) > 0 || !all {
			t.Errorf("a sound shape crosses: %v", found)
		}
	}
}

// Pairs found by the tree are those that all pairs tried one by one give.
func TestCrossingsAgainstAllPairs(t *testing.T) {
	chance := rand.New(rand.NewPCG(5, 6))
	m := &mesh.Mesh{}
	for range 120 {
		o := r3.Vec{X: chance.Float64(), Y: chance.Float64(), Z: chance.Float64()}
		for range 3 {
			m.Vertices = append(m.Vertices, r3.Add(o, r3.Vec{X: 0.3 * chance.Float64(), Y: 0.3 * chance.Float64(), Z: 0.3 * chance.Float64()}))
		}
		n := int32(len(m.Vertices))
		m.Triangles = append(m.Triangles, [3]int32{n - 3, n - 2, n - 1})
	}
	want := map[[2]int32]bool{}
	for f := range m.Triangles {
		for g := range f {
			if sideThrough(m, f, g) || sideThrough(m, g, f) {
				want[[2]int32{int32(g), int32(f)}] = true
			}
		}
	}
	found, _ := mesh.NewLocator(m).Crossings(1 << 20)
	for _, c := range found {
		if !want[c.Faces] {
			t.Errorf("%v do not cross", c.Faces)
		}
		delete(want, c.Faces)
	}
	if len(want) > 0 || len(found) == 0 {
		t.Errorf("%d found, missed %v", len(found), want)
	}
}

// sideThrough cuts each side of f with g's plane and asks whether the foot has
// weights between 0 and 1, solved as three equations.
func sideThrough(m *mesh.Mesh, f, g int) bool {
	a, b, c := m.Corners(g)
	n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
	t := m.Triangles[f]
	for k := range t {
		p, q := m.Vertices[t[k]], m.Vertices[t[(k+1)%3]]
		x, y := r3.Dot(n, r3.Sub(p, a)), r3.Dot(n, r3.Sub(q, a))
		if x*y >= 0 {
			continue
		}
		at := r3.Sub(r3.Add(p, r3.Scale(x/(x-y), r3.Sub(q, p))), a)
		u := r3.Dot(n, r3.Cross(r3.Sub(b, a), at)) / r3.Norm2(n)
		v := r3.Dot(n, r3.Cross(at, r3.Sub(c, a))) / r3.Norm2(n)
		if u > 0 && v > 0 && u+v < 1 {
			return true
		}
	}
	return false
}

// A seam between a coarse and a fine plate is sewn: one rim is left, nothing moved,
// and the area is the same.
func TestSew(t *testing.T) {
	coarse := shapes.Patch(4, 2, func(u, v float64) r3.Vec { return r3.Vec{X: u, Y: v} })
	fine := shapes.Patch(12, 2, func(u, v float64) r3.Vec { return r3.Vec{X: u, Y: 1 + v} })
	both := shapes.Together(false, coarse, fine)
	out, r, err := mesh.Clean(both, mesh.CleanOptions{Seam: 1e-6})
	if err != nil || len(r.Sewn) != 12-4 || len(r.Rims) != 1 || math.Abs(out.Area()-2) > 1e-12 {
		t.Fatalf("%d places, want 12 − 4, %d rims, area %g, %v", len(r.Sewn), len(r.Rims), out.Area(), err)
	}
	for f, now := range r.Face { // the first piece of a triangle lies in it
		if !holds(both, f, out.Centroid(int(now))) {
			t.Errorf("triangle %d became %d, which lies elsewhere", f, now)
		}
	}
}

// holds tells whether a place in the plane lies in triangle f.
func holds(m *mesh.Mesh, f int, p r3.Vec) bool {
	a, b, c := m.Corners(f)
	for _, s := range [3][2]r3.Vec{{a, b}, {b, c}, {c, a}} {
		if r3.Cross(r3.Sub(s[1], s[0]), r3.Sub(p, s[0])).Z < 0 {
			return false
		}
	}
	return true
}

// Shapes that touch in a point come apart.
func TestUntie(t *testing.T) {
	top, err := mesh.NewTopology(shapes.Touching(0.1))
	if err != nil {
		t.Fatal(err)
	}
	m, from := top.Untie()
	after, err := mesh.NewTopology(m)
	if err != nil || len(after.BowTies()) > 0 || len(m.Vertices) != 6 || from[5] != 0 {
		t.Errorf("%d vertices, %v, %v", len(m.Vertices), from, err)
	}
}

// Scored along two lines, the surface stays as it was, stays joined, has a vertex
// where they meet, and no triangle left has the lines in its middle.
func TestScore(t *testing.T) {
	m := shapes.Sphere(1, 2)
	flat := func(p r3.Vec) r2.Vec { return r2.Vec{X: p.X, Y: p.Y} }
	a, b, c := r2.Vec{X: -0.31, Y: -0.42}, r2.Vec{X: 0.37, Y: 0.11}, r2.Vec{X: 0.05, Y: 0.55}
	for _, s := range [][2]r2.Vec{{a, b}, {b, c}} {
		top, err := mesh.NewTopology(m)
		if err != nil {
			t.Fatal(err)
		}
		m = top.Score(flat, s[0], s[1], 1e-12).Mesh
	}
	whole := shapes.Sphere(1, 2)
	if math.Abs(m.Area()-whole.Area()) > 1e-12 || math.Abs(m.Volume()-whole.Volume()) > 1e-12 {
		t.Errorf("area %g, volume %g; before %g, %g", m.Area(), m.Volume(), whole.Area(), whole.Volume())
	}
	top, err := mesh.NewTopology(m)
	if err != nil || !top.Closed() {
		t.Fatal("it came apart", err)
	}
	for _, x := range []r2.Vec{b} {
		v := m.NearestVertex(r3.Vec{X: x.X, Y: x.Y, Z: 1}, func(v int) bool { return m.Vertices[v].Z > 0 && r2.Norm(r2.Sub(flat(m.Vertices[v]), x)) < 1e-9 })
		if v < 0 {
			t.Errorf("no vertex at %v", x)
		}
	}
}
