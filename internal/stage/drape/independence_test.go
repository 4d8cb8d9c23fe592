package drape

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// quartered cuts each triangle into four. The old vertices keep their numbers.
func quartered(t *testing.T, m *mesh.Mesh, on func(r3.Vec) r3.Vec) *mesh.Mesh {
	return topologyOf(t, m).Subdivide(on)
}

// nearest returns the place on a profile nearest to one beside it.
func (b bend) nearest(out, z float64) (x, y float64) {
	best, start := math.Inf(1), 0.0
	for _, p := range b {
		low, high := start, start+p.length
		off := func(s float64) float64 { x, y := b.at(s); return math.Hypot(x-out, y-z) }
		for range 60 {
			if a, c := low+(high-low)/3, high-(high-low)/3; off(a) < off(c) {
				high = c
			} else {
				low = a
			}
		}
		if d := off(low); d < best {
			best = d
			x, y = b.at(low)
		}
		start += p.length
	}
	return x, y
}

// The true surfaces of reference moulds, as their generator had them: each
// moves a place near the surface onto it.
func onFlangedDome(p r3.Vec) r3.Vec {
	down := math.Acos(12.0 / 112)
	r := math.Hypot(p.X, p.Y)
	if r == 0 {
		return p
	}
	out, z := bend{{0.1 * down, down, 0}, {0.012 * down, -down, 0}, {0.3, 0, 0}}.nearest(r, p.Z-0.1)
	return r3.Vec{X: out * p.X / r, Y: out * p.Y / r, Z: 0.1 + z}
}

func onDuct(p r3.Vec) r3.Vec {
	t := p.X / 0.6
	aside := 0.15 * t * t * (3 - 2*t)
	return onSuperellipse(p, aside, 0.08-0.01*t, 0.09-0.02*t, 4-2*t)
}

func onNose(p r3.Vec) r3.Vec {
	r := math.Pow(p.X/0.5, 0.6)
	return onSuperellipse(p, 0, 0.08*r, 0.12*r, 2)
}

// onSuperellipse moves a place in its plane across x: |y/a|ⁿ + |z/b|ⁿ = 1.
func onSuperellipse(p r3.Vec, aside, a, b, n float64) r3.Vec {
	y, z := p.Y-aside, max(0, p.Z)
	φ := math.Atan2(math.Pow(z/b, n/2), math.Copysign(math.Pow(math.Abs(y)/a, n/2), y))
	sin, cos := math.Sincos(φ)
	return r3.Vec{X: p.X, Y: aside + a*math.Copysign(math.Pow(math.Abs(cos), 2/n), cos), Z: b * math.Pow(max(0, sin), 2/n)}
}

// mould is a reference mould: the file's triangles, the surface that they stand
// for, the seed's whereabouts, and the vertices that the bar does not hold for.
type mould struct {
	file string
	on   func(r3.Vec) r3.Vec
	seed r3.Vec
	not  func(p r3.Vec, shear float64) bool
}

func nowhere(r3.Vec, float64) bool { return false }

var moulds = []mould{
	{"gen_hemisphere_flange.stl", onFlangedDome, r3.Vec{Z: 0.1}, nowhere},
	// the last two rows before the outlet's corner, where the mould ends and its
	// curvature is known from one side only
	{"gen_s_duct_half.stl", onDuct, r3.Vec{X: 0.3, Y: 0.075, Z: 0.08}, func(p r3.Vec, _ float64) bool {
		return p.X > 0.594 && p.Z < 0.012
	}},
	// the tip: it holds half a turn of curvature, and the cloth beside it, which the net
	// does not span or which has collapsed, must be cut; it draws on what lies beside it
	{"gen_fairing_half.stl", onNose, r3.Vec{X: 0.25, Z: 0.08}, func(p r3.Vec, _ float64) bool { return p.X < 0.09 }},
}

func (c mould) read(t *testing.T) (m *mesh.Mesh, seed r3.Vec) {
	m = readMould(t, "testdata/"+c.file)
	worst := 0.0
	for _, p := range m.Vertices {
		worst = max(worst, r3.Norm(r3.Sub(p, c.on(p))))
	}
	if worst > 1e-7 {
		t.Fatalf("%s: a vertex lies %.2g m off the surface", c.file, worst)
	}
	return m, m.Vertices[m.NearestVertex(c.seed, func(int) bool { return true })]
}

// moved returns how far two results for the same vertices lie apart: in shear, rad,
// and along the rim of the flat sheet, m.
func moved(m *mesh.Mesh, a, b *Result, vertex func(v int) int, rim []bool, not func(p r3.Vec, shear float64) bool) (shear, outline float64, at r3.Vec, left int) {
	for v, p := range m.Vertices {
		w := vertex(v)
		if not(p, b.Shear[w]) {
			left++
			continue
		}
		if d := math.Abs(a.Shear[v] - b.Shear[w]); d > shear {
			shear, at = d, p
		}
		if rim[v] {
			outline = max(outline, r2.Norm(r2.Sub(a.Flat[v], b.Flat[w])))
		}
	}
	return shear, outline, at, left
}

// same numbers vertices as they are.
func same(v int) int { return v }

// Halving the triangles of the reference moulds, with the new vertices on the true
// surface and with them in the old triangles, moves shear by less than 0.3° at every
// vertex and the outline of the flat sheet by less than 0.3 mm.
func TestHalvedMoulds(t *testing.T) {
	for _, c := range moulds {
		for _, turn := range []float64{0, 0.4} {
			t.Run(fmt.Sprintf("%s %.1f", c.file, turn), func(t *testing.T) {
				t.Parallel()
				m, seed := c.read(t)
				warp := r3.Vec{X: math.Cos(turn), Y: math.Sin(turn)}
				a, rim := solved(t, inputOn(t, m, seed, warp)), topologyOf(t, m).RimVertices()
				for name, on := range map[string]func(r3.Vec) r3.Vec{"on the surface": c.on, "in the triangles": nil} {
					if on == nil && turn == 0 {
						continue // one warp will do
					}
					b := solved(t, inputOn(t, quartered(t, m, on), seed, warp))
					shear, outline, at, left := moved(m, a, b, same, rim, c.not)
					t.Logf("%s: shear moves by %.3f° at %.3f, the outline by %.3f mm, %d of %d vertices left out", name, shear/deg, at, outline*1e3, left, len(m.Vertices))
					if shear > 0.3*deg || outline > 0.3e-3 {
						t.Errorf("%s: shear moves by %.3f° at %.3f, the outline by %.3f mm", name, shear/deg, at, outline*1e3)
					}
				}
			})
		}
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
