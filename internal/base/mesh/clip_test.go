package mesh

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// A plane parts a closed box into two parts whose areas add up, with one rim
// each, in the plane.
func TestClipByPlane(t *testing.T) {
	m := sphere(t, 3)
	top := topologyOf(t, m)
	n := r3.Unit(r3.Vec{X: 1, Y: 2, Z: 3})
	plane := func(p r3.Vec) float64 { return r3.Dot(p, n) - 0.2 }
	a, err := top.ClipBy(plane, 0)
	if err != nil {
		t.Fatal(err)
	}
	b, err := top.ClipBy(func(p r3.Vec) float64 { return -plane(p) }, 0)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "both areas", a.Mesh.Area()+b.Mesh.Area(), m.Area(), 1e-12)
	for _, c := range []Clipped{a, b} {
		part := topologyOf(t, c.Mesh)
		if rims := part.Rims(); len(rims) != 1 || part.Euler() != 1 || len(part.FlippedEdges())+len(part.NonManifoldEdges()) != 0 {
			t.Errorf("%d rims, Euler %d", len(rims), part.Euler())
		}
		for v, on := range part.RimVertices() {
			if on != c.OnCut[v] {
				t.Fatalf("vertex %d: rim %v, on the cut %v", v, on, c.OnCut[v])
			}
			if on {
				near(t, "in the plane", plane(c.Mesh.Vertices[v]), 0, 1e-14)
			}
			o := c.Origin[v]
			near(t, "origin", r3.Norm(r3.Sub(c.Mesh.Vertices[v], between(m.Vertices[o.A], m.Vertices[o.B], o.T))), 0, 1e-15)
		}
		for f, old := range c.Face {
			near(t, "normal", r3.Dot(c.Mesh.FaceNormal(f), m.FaceNormal(int(old))), 1, 1e-9)
		}
	}
}

// The rim of a round hole lies on the circle at every vertex, also where they
// were moved there, and its area comes to the circle's with the square of the
// triangles' size. Moving vertices leaves no slivers.
func TestClipRoundHole(t *testing.T) {
	centre := r3.Vec{X: 0.47, Y: 0.52}
	circle := func(p r3.Vec) float64 { return r3.Norm(r3.Sub(p, centre)) - 0.3 }
	miss := func(n int, snap float64) float64 {
		c, err := topologyOf(t, plate(n)).ClipBy(circle, snap)
		if err != nil {
			t.Fatal(err)
		}
		worst := 1.0
		for f := range c.Mesh.Triangles {
			worst = math.Min(worst, c.Mesh.Quality(f))
			near(t, "normal", c.Mesh.FaceNormal(f).Z, 1, 1e-12)
		}
		if snap > 0 && worst < 0.2 {
			t.Errorf("quality %.3f with snap %g", worst, snap)
		}
		for v, on := range c.OnCut {
			if on {
				near(t, "on the circle", circle(c.Mesh.Vertices[v]), 0, 1e-14)
			}
		}
		if top := topologyOf(t, c.Mesh); len(top.RimLoops()) != 2 || top.Euler() != 0 {
			t.Errorf("%d rims, Euler %d", len(top.RimLoops()), top.Euler())
		}
		return c.Mesh.Area() - (1 - math.Pi*0.09)
	}
	for _, snap := range []float64{0, 0.2} {
		e1, e2 := miss(20, snap), miss(80, snap)
		if got := order(e1, e2) / 2; math.Abs(got-2) > 0.3 {
			t.Errorf("snap %g: observed order %.2f (%.2e, %.2e), want 2", snap, got, e1, e2)
		}
	}
}

// Whatever the values, what is kept and what is cut off make up the whole, and
// both stay surfaces that join as before: values of no shape, among them zeros.
func TestClipAnyValues(t *testing.T) {
	top := topologyOf(t, plate(12))
	rng := rand.New(rand.NewPCG(11, 3))
	for range 50 {
		d, minus := make([]float64, len(top.Mesh.Vertices)), make([]float64, len(top.Mesh.Vertices))
		for v := range d {
			d[v] = math.Round(8*rng.NormFloat64()) / 8
			minus[v] = -d[v]
		}
		a, err := top.Clip(d, ClipOptions{})
		if err != nil {
			t.Fatal(err)
		}
		b, _ := top.Clip(minus, ClipOptions{})
		zero := 0.0 // triangles wholly on the cut belong to neither
		for f, tri := range top.Mesh.Triangles {
			if d[tri[0]] == 0 && d[tri[1]] == 0 && d[tri[2]] == 0 {
				zero += top.Mesh.FaceArea(f)
			}
		}
		near(t, "both areas", a.Mesh.Area()+b.Mesh.Area()+zero, 1, 1e-12)
		snapped, _ := top.Clip(d, ClipOptions{Snap: 0.3})
		for _, c := range []Clipped{a, b, snapped} {
			part := topologyOf(t, c.Mesh)
			if n := len(part.NonManifoldEdges()) + len(part.FlippedEdges()); n != 0 {
				t.Fatalf("%d edges at fault", n)
			}
			for f := range c.Mesh.Triangles {
				if !(c.Mesh.FaceNormal(f).Z > 0) {
					t.Fatal("a triangle turned over")
				}
			}
		}
	}
}

// A hole at the rim: its arc ends on the plate's side, and the rest of the rim
// stays where it was.
func TestClipAtRim(t *testing.T) {
	for n := 15; n < 35; n++ {
		circle := func(p r3.Vec) float64 { return r3.Norm(r3.Sub(p, r3.Vec{X: 0.02, Y: 0.53})) - 0.3 }
		c, err := topologyOf(t, plate(n)).ClipBy(circle, 0.3)
		if err != nil {
			t.Fatal(err)
		}
		ends := 0
		for v, rim := range topologyOf(t, c.Mesh).RimVertices() {
			p := c.Mesh.Vertices[v]
			side := math.Min(math.Min(p.X, 1-p.X), math.Min(p.Y, 1-p.Y))
			if rim && side > 1e-15 && math.Abs(circle(p)) > 1e-14 {
				t.Fatalf("rim vertex at %v", p)
			}
			if side <= 1e-15 && c.OnCut[v] {
				ends++
			}
		}
		if ends != 2 {
			t.Errorf("%d cells a side: the arc has %d ends on the rim, want 2", n, ends)
		}
	}
}

// Where moving a vertex onto the cut would turn a triangle over, it stays.
func TestSnapTurnsNoTriangleOver(t *testing.T) {
	m := &Mesh{[]r3.Vec{{}, {X: 10}, {X: -0.2, Y: 0.05}, {X: -1, Y: 0.1}}, [][3]int32{{0, 1, 2}, {0, 2, 3}}}
	c, err := topologyOf(t, m).ClipBy(func(p r3.Vec) float64 { return 1.5 - p.X }, 0.16)
	if err != nil {
		t.Fatal(err)
	}
	for f := range c.Mesh.Triangles {
		if !(c.Mesh.AreaVector(f).Z > 0) {
			t.Errorf("triangle %d turned over", f)
		}
	}
}

func TestClipRefuses(t *testing.T) {
	top := topologyOf(t, plate(1))
	for name, call := range map[string]func() (Clipped, error){
		"too few": func() (Clipped, error) { return top.Clip([]float64{1}, ClipOptions{}) },
		"NaN":     func() (Clipped, error) { return top.Clip([]float64{1, 1, 1, math.NaN()}, ClipOptions{}) },
		"snap":    func() (Clipped, error) { return top.Clip([]float64{1, 1, 1, 1}, ClipOptions{Snap: 0.6}) },
		"snap NaN": func() (Clipped, error) {
			return top.Clip([]float64{1, 1, 1, 1}, ClipOptions{Snap: math.NaN()})
		},
	} {
		if _, err := call(); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	if c, err := top.Clip([]float64{-1, -1, -1, -1}, ClipOptions{}); err != nil || len(c.Mesh.Triangles) != 0 {
		t.Errorf("all cut off: %d triangles, error %v", len(c.Mesh.Triangles), err)
	}
}

// Refining leaves the surface as it is, joined as before, with no side too long.
// Only edges that may be cut are: far from a line the mesh stays as it was.
func TestRefineWhere(t *testing.T) {
	m := grid(10, 10, func(u, v float64) r3.Vec { return r3.Vec{X: u, Y: v} })
	at := func(a, b r3.Vec) bool { return math.Abs((a.X+b.X)/2-0.25) <= r3.Norm(r3.Sub(a, b)) }
	r, err := m.Refine(RefineLimits{Edge: 0.02, Where: at})
	if err != nil {
		t.Fatal(err)
	}
	top := topologyOf(t, r.Mesh)
	for e, ends := range top.Edges {
		if a, b := r.Mesh.Vertices[ends[0]], r.Mesh.Vertices[ends[1]]; top.EdgeLength(e) > 0.02 && at(a, b) {
			t.Fatalf("a side of %g from %v to %v", top.EdgeLength(e), a, b)
		}
	}
	pieces := make([]int, len(m.Triangles))
	for _, from := range r.Face {
		pieces[from]++
	}
	for f, n := range pieces {
		if m.Centroid(f).X > 0.5 && n != 1 {
			t.Fatalf("triangle %d, far off, is in %d pieces", f, n)
		}
	}
}

func TestRefine(t *testing.T) {
	long := grid(3, 2, func(u, v float64) r3.Vec { return r3.Vec{X: 10 * u, Y: v, Z: math.Abs(v - 0.5)} })
	for _, m := range []*Mesh{cube(), long} {
		r, err := m.Refine(RefineLimits{Edge: 0.3})
		if err != nil {
			t.Fatal(err)
		}
		top := topologyOf(t, r.Mesh)
		for e := range top.Edges {
			if top.EdgeLength(e) > 0.3 {
				t.Fatalf("a side of %g", top.EdgeLength(e))
			}
		}
		old := topologyOf(t, m)
		if top.Euler() != old.Euler() || len(top.RimLoops()) != len(old.RimLoops()) || len(top.NonManifoldEdges()) != 0 {
			t.Errorf("Euler %d, want %d", top.Euler(), old.Euler())
		}
		area := make([]float64, len(m.Triangles))
		for f, from := range r.Face {
			area[from] += r.Mesh.FaceArea(f)
			near(t, "normal", r3.Dot(r.Mesh.FaceNormal(f), m.FaceNormal(int(from))), 1, 1e-12)
		}
		for f := range area {
			near(t, "area of a triangle's pieces", area[f], m.FaceArea(f), 1e-12)
		}
	}
	if _, err := cube().Refine(RefineLimits{Edge: 1e-4, Triangles: 1000}); err == nil {
		t.Error("far too fine: no error")
	}
	if _, err := cube().Refine(RefineLimits{Edge: math.NaN()}); err == nil {
		t.Error("NaN: no error")
	}
}
