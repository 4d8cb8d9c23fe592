package drape

import (
	"context"
	"math"
	"math/rand/v2"
	"os"
	"runtime"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/store/meshfile"
)

// quartered cuts each triangle into four. The old vertices keep their numbers.
func quartered(t *testing.T, m *mesh.Mesh) *mesh.Mesh {
	top := topologyOf(t, m)
	out := &mesh.Mesh{Vertices: slices.Clone(m.Vertices)}
	for _, e := range top.Edges {
		out.Vertices = append(out.Vertices, r3.Scale(0.5, r3.Add(m.Vertices[e[0]], m.Vertices[e[1]])))
	}
	for f, tri := range m.Triangles {
		var mid [3]int32
		for k := range mid {
			mid[k] = int32(len(m.Vertices)) + top.EdgeOf[3*f+k]
		}
		out.Triangles = append(out.Triangles, mid)
		for k, v := range tri {
			out.Triangles = append(out.Triangles, [3]int32{v, mid[k], mid[(k+2)%3]})
		}
	}
	return out
}

// moved returns how far two results for the same vertices lie apart: in shear, rad,
// at most but for the worst hundredth of the vertices, and along the whole rim of
// the flat sheet, m.
func moved(a, b *Result, vertex func(v int) int, rim []bool) (shear, outline float64) {
	var all []float64
	for v := range a.Flat {
		w := vertex(v)
		all = append(all, math.Abs(a.Shear[v]-b.Shear[w]))
		if rim[v] {
			outline = max(outline, r2.Norm(r2.Sub(a.Flat[v], b.Flat[w])))
		}
	}
	slices.Sort(all)
	return all[len(all)*99/100], outline
}

// Halving the triangles, with the new vertices on the true surface, moves shear by
// less than 0.3° and the outline of the flat sheet by less than 0.3 mm on moulds of
// half a metre. Beside the few vertices that no whole cell of the net reaches (most
// of them on the fairing) shear is as good as single triangles are.
func TestHalvedTriangles(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		make func(n int) *mesh.Mesh
		n    int
		seed r3.Vec
		most float64
	}{
		"saddle": {func(n int) *mesh.Mesh { return graph(0.25, n, func(x, y float64) float64 { return 2*x*x - y*y }) }, 40, r3.Vec{}, 0.3 * deg},
		"bowl": {func(n int) *mesh.Mesh {
			return graph(0.25, n, func(x, y float64) float64 { return 0.05 * math.Cos(7*x) * math.Cos(6*y) })
		}, 60, r3.Vec{Z: 0.05}, 0.3 * deg},
		"dome":    {func(n int) *mesh.Mesh { return scaled(0.25, dome(n, 75*deg)) }, 60, r3.Vec{Z: 0.25}, 0.3 * deg},
		"fairing": {func(n int) *mesh.Mesh { return scaled(0.5, fairing(n)) }, 60, r3.Vec{X: 0.275, Z: 0.1}, deg},
	} {
		const turn = 0.4
		coarse, fine := c.make(c.n), c.make(2*c.n)
		warp := r3.Vec{X: math.Cos(turn), Y: math.Sin(turn)}
		seed := coarse.Vertices[coarse.NearestVertex(c.seed, func(int) bool { return true })]
		a, b := solved(t, inputOn(t, coarse, seed, warp)), solved(t, inputOn(t, fine, seed, warp))
		at := func(v int) int { return v/(c.n+1)*2*(2*c.n+1) + v%(c.n+1)*2 }
		shear, outline := moved(a, b, at, topologyOf(t, coarse).RimVertices())
		t.Logf("%s: shear moves by %.3f°, the outline by %.3f mm", name, shear/deg, outline*1e3)
		if shear > c.most || outline > 0.3e-3 {
			t.Errorf("%s: shear moves by %.3f°, the outline by %.3f mm", name, shear/deg, outline*1e3)
		}
	}
}

// The same on a reference mould whose triangles are quartered in their own planes,
// which are then the true surface: on the S-duct the cloth goes far beyond the
// reach of the generators.
func TestQuarteredDuct(t *testing.T) {
	t.Parallel()
	file, err := os.Open("testdata/gen_s_duct_half.stl")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	m, _, err := meshfile.Read(file, "gen_s_duct_half.stl", 1e-3, meshfile.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	box := m.Bounds()
	middle := box.Center()
	middle.Z = box.Max.Z
	seed, warp := m.Vertices[m.NearestVertex(middle, func(int) bool { return true })], r3.Vec{X: 1, Y: 1}
	a, b := solved(t, inputOn(t, m, seed, warp)), solved(t, inputOn(t, quartered(t, m), seed, warp))
	shear, outline := moved(a, b, func(v int) int { return v }, topologyOf(t, m).RimVertices())
	t.Logf("shear moves by %.3f°, the outline by %.3f mm", shear/deg, outline*1e3)
	if shear > 0.3*deg || outline > 0.3e-3 {
		t.Errorf("shear moves by %.3f°, the outline by %.3f mm", shear/deg, outline*1e3)
	}
}

func scaled(size float64, m *mesh.Mesh) *mesh.Mesh {
	for v, p := range m.Vertices {
		m.Vertices[v] = r3.Scale(size, p)
	}
	return m
}

// The numbering of vertices and triangles says nothing of how cloth lies.
func TestVertexOrder(t *testing.T) {
	t.Parallel()
	m := scaled(0.25, fairing(24))
	rng := rand.New(rand.NewPCG(11, 12))
	to := rng.Perm(len(m.Vertices))
	other := &mesh.Mesh{Vertices: make([]r3.Vec, len(m.Vertices)), Triangles: make([][3]int32, len(m.Triangles))}
	for v, p := range m.Vertices {
		other.Vertices[to[v]] = p
	}
	for f, g := range rng.Perm(len(m.Triangles)) {
		for k, v := range m.Triangles[f] {
			other.Triangles[g][(k+f)%3] = int32(to[v])
		}
	}
	seed, warp := r3.Vec{X: 0.14, Y: 0.003, Z: 0.05}, r3.Vec{X: 1, Y: 0.3}
	a, b := solved(t, inputOn(t, m, seed, warp)), solved(t, inputOn(t, other, seed, warp))
	for v := range a.Flat {
		w := to[v]
		if d := r2.Norm(r2.Sub(a.Flat[v], b.Flat[w])); d > 1e-6 || math.Abs(a.Shear[v]-b.Shear[w]) > 1e-3*deg {
			t.Fatalf("vertex %d moves by %.2g m, shear by %.2g°", v, d, (a.Shear[v]-b.Shear[w])/deg)
		}
	}
}

// The bits do not depend on the number of cores, on chance, or on what the solver
// has laid before.
func TestSameBits(t *testing.T) {
	m := draftedBox(40, 0.03, 65*deg)
	in := inputOn(t, m, r3.Vec{Z: 1}, r3.Vec{X: 1, Y: 0.2})
	in.Locking = 45 * deg
	was := runtime.GOMAXPROCS(1)
	one := solved(t, in)
	runtime.GOMAXPROCS(max(2, was))
	defer runtime.GOMAXPROCS(was)
	l, err := NewSolver(in.Surface)
	if err != nil {
		t.Fatal(err)
	}
	for _, warp := range []r3.Vec{in.Warp, {Y: 1}, in.Warp} {
		two := in
		two.Warp = warp
		r, err := l.Solve(context.Background(), two)
		if err != nil {
			t.Fatal(err)
		}
		if warp == in.Warp && !(slices.Equal(one.Flat, r.Flat) && slices.Equal(one.Shear, r.Shear) && slices.Equal(one.Warp, r.Warp)) {
			t.Error("two runs differ")
		}
	}
}
