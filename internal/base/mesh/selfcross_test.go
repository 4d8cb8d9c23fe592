package mesh

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// crosses tells whether a soup of two triangles by nine places crosses.
func crosses(p ...r3.Vec) bool {
	m := &Mesh{Vertices: p, Triangles: [][3]int32{{0, 1, 2}, {3, 4, 5}}}
	_, _, found := NewLocator(m).SelfCrossing()
	return found
}

// Pairs whose answer is plain, the delicate ones among them.
func TestTwoTriangles(t *testing.T) {
	v := func(x, y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} }
	flat := []r3.Vec{v(0, 0, 0), v(4, 0, 0), v(0, 4, 0)}
	for _, c := range []struct {
		name string
		a    [3]r3.Vec
		want bool
	}{
		{"through the middle", [3]r3.Vec{v(1, 1, -1), v(1, 1, 1), v(5, 5, 1)}, true},
		{"beside it", [3]r3.Vec{v(3, 3, -1), v(3, 3, 1), v(5, 5, 1)}, false},
		{"above it", [3]r3.Vec{v(0, 0, 1e-9), v(4, 0, 1e-9), v(0, 4, 1e-9)}, false},
		{"a corner on it", [3]r3.Vec{v(1, 1, 0), v(1, 2, 1), v(2, 1, 1)}, true},
		{"a corner a hair above", [3]r3.Vec{v(1, 1, 1e-300), v(1, 2, 1), v(2, 1, 1)}, false},
		{"side through side", [3]r3.Vec{v(2, -1, -1), v(2, 1, 1), v(2, -3, 5)}, true},
		{"in its plane, inside", [3]r3.Vec{v(1, 1, 0), v(2, 1, 0), v(1, 2, 0)}, true},
		{"in its plane, round it", [3]r3.Vec{v(-9, -9, 0), v(29, -9, 0), v(-9, 29, 0)}, true},
		{"in its plane, crossing", [3]r3.Vec{v(-1, 1, 0), v(9, 1, 0), v(9, 2, 0)}, true},
		{"in its plane, apart", [3]r3.Vec{v(3, 3, 0), v(5, 3, 0), v(3, 5, 0)}, false},
		{"in its plane, on one line", [3]r3.Vec{v(5, 0, 0), v(8, 0, 0), v(6, -2, 0)}, false},
		{"on one line, touching", [3]r3.Vec{v(4, 0, 0), v(8, 0, 0), v(6, -2, 0)}, true},
	} {
		for turn := range 3 {
			b := [3]r3.Vec{c.a[turn], c.a[(turn+1)%3], c.a[(turn+2)%3]}
			if got := crosses(append(append([]r3.Vec(nil), flat...), b[:]...)...); got != c.want {
				t.Errorf("%s, turned %d: %v", c.name, turn, got)
			}
			if got := crosses(append(append([]r3.Vec(nil), b[:]...), flat...)...); got != c.want {
				t.Errorf("%s, the other way round: %v", c.name, got)
			}
		}
	}
}

// Triangles that have a corner or a side in common.
func TestNeighboursCross(t *testing.T) {
	v := func(x, y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} }
	for _, c := range []struct {
		name string
		p    []r3.Vec
		t    [][3]int32
		want bool
	}{
		{"a fold laid flat on itself", []r3.Vec{v(0, 0, 0), v(1, 0, 0), v(0.5, 1, 0), v(0.4, 2, 0)}, [][3]int32{{0, 1, 2}, {1, 0, 3}}, true},
		{"a sharp fold", []r3.Vec{v(0, 0, 0), v(1, 0, 0), v(0.5, 1, 0), v(0.4, 2, 1e-12)}, [][3]int32{{0, 1, 2}, {1, 0, 3}}, false},
		{"flat side by side", []r3.Vec{v(0, 0, 0), v(1, 0, 0), v(0.5, 1, 0), v(0.4, -2, 0)}, [][3]int32{{0, 1, 2}, {1, 0, 3}}, false},
		{"corner to corner", []r3.Vec{v(0, 0, 0), v(1, 0, 0), v(0, 1, 0), v(-1, 0, 0), v(0, -1, 0)}, [][3]int32{{0, 1, 2}, {0, 3, 4}}, false},
		{"through from a corner", []r3.Vec{v(0, 0, 0), v(2, 0, 0), v(0, 2, 0), v(1, 1, 1), v(0.5, 0.5, -1)}, [][3]int32{{0, 1, 2}, {0, 3, 4}}, true},
		{"flat over it from a corner", []r3.Vec{v(0, 0, 0), v(2, 0, 0), v(0, 2, 0), v(2, 1, 0), v(1, 2, 0)}, [][3]int32{{0, 1, 2}, {0, 3, 4}}, true},
		{"the same twice", []r3.Vec{v(0, 0, 0), v(2, 0, 0), v(0, 2, 0)}, [][3]int32{{0, 1, 2}, {0, 2, 1}}, true},
	} {
		if _, _, got := NewLocator(&Mesh{c.p, c.t}).SelfCrossing(); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// Whole surfaces: a ball crosses nothing; pushed through itself, or through a
// second ball, it does. A ball inside another does not.
func TestSurfacesCross(t *testing.T) {
	ball := sphere(t, 3)
	if f, g, found := NewLocator(ball).SelfCrossing(); found {
		t.Errorf("a ball's triangles %d and %d cross", f, g)
	}
	for _, c := range []struct {
		shift, size float64
		want        bool
	}{{1.5, 1, true}, {2.5, 1, false}, {0, 0.5, false}, {0.45, 0.6, true}, {0, -0.5, false}} {
		both := ball.Clone()
		for _, p := range ball.Vertices {
			both.Vertices = append(both.Vertices, r3.Add(r3.Scale(c.size, p), r3.Vec{X: c.shift}))
		}
		n := int32(len(ball.Vertices))
		for _, u := range ball.Triangles {
			both.Triangles = append(both.Triangles, [3]int32{u[0] + n, u[1] + n, u[2] + n})
		}
		if _, _, got := NewLocator(both).SelfCrossing(); got != c.want {
			t.Errorf("a second ball of %g at %g: %v", c.size, c.shift, got)
		}
	}
	dented := ball.Clone()
	for i, p := range dented.Vertices {
		if p.Z > 0.8 {
			dented.Vertices[i].Z = p.Z - 2.2 // through the other side
		}
	}
	if _, _, got := NewLocator(dented).SelfCrossing(); !got {
		t.Error("a ball pushed through itself passes")
	}
	// Each single vertex drawn through the opposite wall is found.
	rng := rand.New(rand.NewPCG(4, 2))
	for range 20 {
		spiked := ball.Clone()
		i := rng.IntN(len(spiked.Vertices))
		spiked.Vertices[i] = r3.Scale(-1.3, spiked.Vertices[i])
		if _, _, got := NewLocator(spiked).SelfCrossing(); !got {
			t.Errorf("vertex %d drawn through the ball passes", i)
		}
	}
}

// Random pairs against sampling: where points of one triangle lie on both sides
// of the other within it, they cross.
func TestCrossingAgainstSampling(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 5))
	place := func() r3.Vec { return r3.Vec{X: rng.Float64(), Y: rng.Float64(), Z: rng.Float64()} }
	met := 0
	for range 400 {
		p := []r3.Vec{place(), place(), place(), place(), place(), place()}
		got := crosses(p...)
		if got {
			met++
		}
		if want := sampled(p); want && !got {
			t.Fatalf("%v cross, by samples", p)
		}
		// Apart by a plane between: never.
		q := append([]r3.Vec(nil), p...)
		for i := 3; i < 6; i++ {
			q[i].X += 1.0000001
		}
		if crosses(q...) {
			t.Fatalf("%v lie apart", q)
		}
	}
	if met < 20 || met > 200 {
		t.Errorf("%d of 400 random pairs cross", met)
	}
}

// sampled looks along the sides of either triangle for a step through the other.
func sampled(p []r3.Vec) bool {
	through := func(a, b, u, v, w r3.Vec) bool {
		n := r3.Cross(r3.Sub(v, u), r3.Sub(w, u))
		s, e := r3.Dot(n, r3.Sub(a, u)), r3.Dot(n, r3.Sub(b, u))
		if s*e >= 0 {
			return false
		}
		q := r3.Add(a, r3.Scale(s/(s-e), r3.Sub(b, a)))
		bary := nearestInTriangle(q, u, v, w)
		at := r3.Add(r3.Scale(bary[0], u), r3.Add(r3.Scale(bary[1], v), r3.Scale(bary[2], w)))
		return r3.Norm(r3.Sub(at, q)) < 1e-12 && math.Min(bary[0], math.Min(bary[1], bary[2])) > 1e-6
	}
	for k := range 3 {
		if through(p[k], p[(k+1)%3], p[3], p[4], p[5]) || through(p[3+k], p[3+(k+1)%3], p[0], p[1], p[2]) {
			return true
		}
	}
	return false
}

// A place in a slanted plane lies on neither side of it, and one step of its last
// digit off the plane it does, whatever the sizes and wherever the origin.
func TestSignsAreExact(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 1))
	for range 300 {
		size := math.Ldexp(1, rng.IntN(60)-40)
		step := func() float64 { return size * float64(rng.IntN(1<<20)-1<<19) }
		place := func() r3.Vec { return r3.Vec{X: step(), Y: step(), Z: step()} }
		a, u, v := place(), place(), place()
		b, c := r3.Add(a, r3.Scale(4, u)), r3.Add(a, r3.Scale(8, v))
		d := r3.Add(a, r3.Add(u, r3.Scale(3, v)))
		n := r3.Cross(u, v)
		if math.Abs(n.Z) < size*size {
			continue
		}
		if got := orient3(a, b, c, d); got != 0 {
			t.Fatalf("%v in the plane of %v %v %v lies on side %d", d, a, b, c, got)
		}
		up, down := d, d
		up.Z, down.Z = math.Nextafter(d.Z, math.Inf(1)), math.Nextafter(d.Z, math.Inf(-1))
		want := 1 // clockwise seen from d, as it lies below
		if n.Z > 0 {
			want = -1
		}
		if g, h := orient3(a, b, c, up), orient3(a, b, c, down); g != want || h != -want {
			t.Fatalf("off the plane of %v %v %v by a digit: %d and %d, want %d", a, b, c, g, h, want)
		}
	}
}

func BenchmarkCrossing(b *testing.B) {
	l := NewLocator(sphere(b, 6)) // 82 k triangles
	for b.Loop() {
		if _, _, found := l.SelfCrossing(); found {
			b.Fatal("a ball crosses itself")
		}
	}
}
