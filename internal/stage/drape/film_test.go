package drape

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// capOf is a spherical cap down to a polar angle in rings of triangles round a
// pole, 4801 vertices and 9480 triangles with 40 rings of 120.
func capOf(rings, around int, most float64) *mesh.Mesh {
	m := &mesh.Mesh{Vertices: []r3.Vec{{Z: 1}}}
	for i := 1; i <= rings; i++ {
		sin, cos := math.Sincos(most * float64(i) / float64(rings))
		for k := range around {
			s, c := math.Sincos(2 * math.Pi * float64(k) / float64(around))
			m.Vertices = append(m.Vertices, r3.Vec{X: sin * c, Y: sin * s, Z: cos})
		}
	}
	id := func(i, k int) int32 { return int32(1 + (i-1)*around + k%around) }
	for k := range around {
		m.Triangles = append(m.Triangles, [3]int32{0, id(1, k), id(1, k+1)})
		for i := 1; i < rings; i++ {
			a, b, c, d := id(i, k), id(i+1, k), id(i+1, k+1), id(i, k+1)
			m.Triangles = append(m.Triangles, [3]int32{a, b, c}, [3]int32{a, c, d})
		}
	}
	return m
}

// cutOpen cuts a mesh open along vertices: those that the map names are doubled for
// the triangles whose middle is beyond.
func cutOpen(m *mesh.Mesh, on func(p r3.Vec) bool, beyond func(p r3.Vec) bool) *mesh.Mesh {
	out := m.Clone()
	twin := map[int32]int32{}
	for v, p := range m.Vertices {
		if on(p) {
			twin[int32(v)] = int32(len(out.Vertices))
			out.Vertices = append(out.Vertices, p)
		}
	}
	for f, tri := range m.Triangles {
		if beyond(m.Centroid(f)) {
			for k, v := range tri {
				if w, ok := twin[v]; ok {
					out.Triangles[f][k] = w
				}
			}
		}
	}
	return out
}

// slitCap cuts a hemisphere from the rim up to a polar angle along so many
// meridians.
func slitCap(slits int, from float64) *mesh.Mesh {
	m := capOf(40, 120, 90*deg)
	for k := range slits {
		s, c := math.Sincos(2 * math.Pi * float64(k) / float64(slits))
		side := func(p r3.Vec) float64 { return c*p.Y - s*p.X }
		m = cutOpen(m, func(p r3.Vec) bool {
			return math.Abs(side(p)) < 1e-9 && c*p.X+s*p.Y > 0 && math.Acos(p.Z) > from
		}, func(p r3.Vec) bool { return side(p) > 0 && c*p.X+s*p.Y > 0 })
	}
	return m
}

// slitBox cuts the drafted box at its four corners, from the first row below the
// rim of its top outwards.
func slitBox(m *mesh.Mesh) *mesh.Mesh {
	for _, x := range []float64{1, -1} {
		for _, y := range []float64{1, -1} {
			from := func(p r3.Vec) (dx, dy float64) { return x*p.X - 0.125, y*p.Y - 0.075 }
			m = cutOpen(m, func(p r3.Vec) bool {
				dx, dy := from(p)
				return math.Abs(dx-dy) < 1e-6 && math.Hypot(dx, dy) > 0.0251
			}, func(p r3.Vec) bool {
				dx, dy := from(p)
				return dx > dy && dy > 0
			})
		}
	}
	return m
}

// Sheets that keep their lengths as well as they can, against an independent
// program for that energy (200 steps at most) on the same meshes: the largest
// and the least change of length, the least and the largest of area, and the
// root mean square. A spherical cap of half-angle a has no map with a lesser ratio
// of lengths than a/sin a. The table tells where slits begin to about a row of
// vertices; here they begin at the row that agrees with it.
//
// Source: [milnor1969].
func TestFilmTable(t *testing.T) {
	hemisphere := func(slits int) *mesh.Mesh { return slitCap(slits, 21*deg) }
	box := readMould(t, "testdata/gen_drafted_box.stl")
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
		cap  float64 // half-angle, rad
		want [5]float64
	}{
		{"cap 15", capOf(40, 120, 15*deg), 15 * deg, [5]float64{1.0086, 0.9957, 0.9915, 1.0085, 0.0035}},
		{"cap 30", capOf(40, 120, 30*deg), 30 * deg, [5]float64{1.0351, 0.9829, 0.9661, 1.0346, 0.0142}},
		{"cap 45", capOf(40, 120, 45*deg), 45 * deg, [5]float64{1.0814, 0.9615, 0.9246, 1.0801, 0.0324}},
		{"cap 60", capOf(40, 120, 60*deg), 60 * deg, [5]float64{1.1510, 0.9316, 0.8680, 1.1484, 0.0588}},
		{"cap 90", capOf(40, 120, 90*deg), 90 * deg, [5]float64{1.3868, 0.8467, 0.7171, 1.3778, 0.1402}},
		{"4 slits", hemisphere(4), 0, [5]float64{1.0829, 0.9674, 0.9445, 1.1104, 0.0231}},
		{"8 slits", hemisphere(8), 0, [5]float64{1.0345, 0.9846, 0.9788, 1.0379, 0.0090}},
		{"12 slits", hemisphere(12), 0, [5]float64{1.0250, 0.9910, 0.9822, 1.0263, 0.0050}},
		{"S-duct half", readMould(t, "testdata/gen_s_duct_half.stl"), 0, [5]float64{1.0345, 0.9641, 0.964, 1.034, 0.0066}},
		{"fairing half", readMould(t, "testdata/gen_fairing_half.stl"), 0, [5]float64{1.160, 0.934, 0.915, 1.131, 0.0081}},
		{"box", box, 0, [5]float64{1.353, 0.793, 0.657, 1.298, 0.115}},
		{"box with slits", slitBox(box), 0, [5]float64{1.241, 0.820, 0.816, 1.277, 0.0163}},
		{"flanged dome", readMould(t, "testdata/gen_hemisphere_flange.stl"), 0, [5]float64{1.223, 0.794, 0.631, 1.127, 0.139}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			b := c.m.Bounds()
			seed := b.Center()
			seed.Z = b.Max.Z
			in := inputOn(t, c.m, seed, r3.Vec{X: 1})
			in.Film = true
			r := solved(t, in)
			d := r.Distortion(in.Surface)
			got := [5]float64{d.Most, d.Least, d.SmallArea, d.LargeArea, d.RMS}
			for i, w := range c.want {
				within := 0.01 * w
				if i == 4 {
					within = max(within, 6e-5) // the table has two digits at least
				}
				if math.Abs(got[i]-w) > within {
					t.Errorf("%.4f, want %.4f", got, c.want)
					break
				}
			}
			if !r.Converged || d.Turned > 0 {
				t.Errorf("converged %v after %d steps, %d turned over", r.Converged, r.Steps, d.Turned)
			}
			if bound := c.cap / math.Sin(c.cap); c.cap > 0 && d.Most/d.Least < bound {
				t.Errorf("ratio %.4f, no map has less than %.4f", d.Most/d.Least, bound)
			}
			if c.cap > 0 { // by symmetry the rim is as long everywhere, and it is what is stretched most
				if math.Abs(d.Rim-d.RimWorst) > 1e-4 || math.Abs(1+d.Rim-d.Most) > 2e-3 {
					t.Errorf("the rim grows by %.4f, a side by up to %.4f; largest stretch %.4f", d.Rim, d.RimWorst, d.Most-1)
				}
			}
			t.Logf("%d steps: %.4f", r.Steps, got)
		})
	}
}

// A film's stretch at vertices is that of the sheet as it lies: against the flat
// distance of places, on a cap by symmetry along meridian and parallel.
func TestFilmStretch(t *testing.T) {
	t.Parallel()
	const rings, around = 24, 72
	m := capOf(rings, around, 60*deg)
	in := inputOn(t, m, r3.Vec{X: 0.01, Z: 1}, r3.Vec{X: 1})
	in.Film = true
	r := solved(t, in)
	for i := 3; i < rings-2; i += 4 {
		v := 1 + (i-1)*around + 5
		radius := r2.Norm(r2.Sub(r.Flat[v], r.Flat[0]))
		inner, outer := r2.Norm(r2.Sub(r.Flat[v-around], r.Flat[0])), r2.Norm(r2.Sub(r.Flat[v+around], r.Flat[0]))
		θ := 60 * deg * float64(i) / rings
		along, across := 2*60*deg/rings/(outer-inner)-1, math.Sin(θ)/radius-1
		got := r.Stretch[v]
		if math.Abs(got[0]-max(along, across)) > 2e-3 || math.Abs(got[1]-min(along, across)) > 2e-3 {
			t.Errorf("ring %d: stretch %.4f, by places %.4f along the meridian, %.4f across", i, got, along, across)
		}
	}
	if q := r.Flat[0]; math.Abs(q.X+0.01*0.9316) > 5e-5 || math.Abs(q.Y) > 1e-6 {
		t.Errorf("the pole, 0.01 behind the seed where lengths shrink to 0.9316, lies at %v", q)
	}
}

// Another order of the vertices, a turn and another scale change nothing in a
// film, but for rounding.
func TestFilmIsTheSameTurned(t *testing.T) {
	t.Parallel()
	q := r3.NewRotation(0.7, r3.Vec{X: -0.3, Y: 0.5, Z: 0.8})
	for name, m := range map[string]*mesh.Mesh{"dome": dome(16, 60*deg), "box": draftedBox(20, 0.03, 60*deg)} {
		for _, scale := range []float64{1, 1e-3, 40} {
			mm, to := other(m, q, scale)
			in := inputOn(t, m, r3.Vec{X: 0.011, Y: 0.007, Z: 1}, r3.Vec{X: 1, Y: 0.2})
			in.Film = true
			in2 := inputOn(t, mm, r3.Add(r3.Scale(scale, q.Rotate(m.At(in.Seed))), r3.Vec{X: 3, Y: -2, Z: 7}), q.Rotate(in.Warp))
			in2.Film = true
			a, b := solved(t, in), solved(t, in2)
			worst := 0.0
			for v, p := range a.Flat {
				worst = max(worst, r2.Norm(r2.Sub(p, r2.Scale(1/scale, b.Flat[to[v]])))/m.Diagonal(), math.Abs(a.Stretch[v][0]-b.Stretch[to[v]][0]))
			}
			if worst > 1e-6 {
				t.Errorf("%s, scale %v: differs by %.2g", name, scale, worst)
			}
		}
	}
}

// The short-memory descent comes to where the longer one does, in fewer steps.
func TestCreep(t *testing.T) {
	t.Parallel()
	in := inputOn(t, dome(14, 50*deg), r3.Vec{X: 0.01, Z: 1}, r3.Vec{X: 1})
	in.Film = true
	r := solved(t, in)
	s := newSurface(in.Surface)
	p := newProblem(s, pinned(s.Triangles[r.Net.Nodes[0].Face], r.Flat))
	a, b := make([]r2.Vec, len(r.Flat)), make([]r2.Vec, len(r.Flat))
	for v, x := range r.Flat {
		a[v] = r2.Vec{X: x.X + 0.01*math.Sin(9*x.Y), Y: x.Y + 0.01*math.Cos(7*x.X)}
	}
	copy(b, a)
	rep, err := p.creep(context.Background(), a, film{open: true}, mostSteps)
	if err != nil || !rep.atRest {
		t.Fatalf("%+v, %v", rep, err)
	}
	for range 30 {
		if _, err := p.descend(context.Background(), b, film{open: true}, 3); err != nil {
			t.Fatal(err)
		}
	}
	if e, f := p.energy(a, film{}), p.energy(b, film{}); e > f*(1+1e-6) {
		t.Errorf("energy %.9g after %d steps, by the other way %.9g", e, rep.steps, f)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := p.creep(ctx, a, film{open: true}, mostSteps); err == nil {
		t.Error("a call that was given up went on")
	}
}

// What the last step has told must come out again, whatever was before it: a
// slope that has grown as it did then asks for that very step (the secant
// equation).
func TestSecantEquation(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 8))
	var q quasi
	for range memory + 3 {
		flat, next := make([]r2.Vec, 5), make([]r2.Vec, 5)
		down, after := make([]float64, 10), make([]float64, 10)
		for v := range next {
			next[v] = r2.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64()}
			after[2*v], after[2*v+1] = -next[v].X*(1+rng.Float64()), -next[v].Y*(1+rng.Float64())
		}
		q.remember(flat, next, down, after)
		grown := make([]float64, 10)
		for i := range grown {
			grown[i] = -after[i]
		}
		for v, m := range q.step(grown, func(x []float64) []float64 { return x }) {
			if r2.Norm(r2.Sub(m, next[v])) > 1e-9 {
				t.Fatalf("step %v, want %v", m, next[v])
			}
		}
	}
	if len(q.moved) != memory {
		t.Errorf("%d steps are remembered", len(q.moved))
	}
}
