package scan_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/facet"
	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/stage/mould/scan"
)

func topology(t testing.TB, m *mesh.Mesh) *mesh.Topology {
	t.Helper()
	top, err := mesh.NewTopology(m)
	if err != nil {
		t.Fatal(err)
	}
	return top
}

// noisy shifts every vertex by a normal deviate of σ in each direction.
func noisy(m *mesh.Mesh, σ float64, seed uint64) *mesh.Mesh {
	chance := rand.New(rand.NewPCG(seed, 7))
	out := m.Clone()
	for v := range out.Vertices {
		d := r3.Vec{X: chance.NormFloat64(), Y: chance.NormFloat64(), Z: chance.NormFloat64()}
		out.Vertices[v] = r3.Add(out.Vertices[v], r3.Scale(σ, d))
	}
	return out
}

// spread returns the mean and the standard deviation of what f says of the
// vertices that pass.
func spread(m *mesh.Mesh, pass func(p r3.Vec) bool, f func(p r3.Vec) float64) (mean, deviation float64) {
	var n, sum, square float64
	for _, p := range m.Vertices {
		if pass(p) {
			x := f(p)
			n, sum, square = n+1, sum+x, square+x*x
		}
	}
	mean = sum / n
	return mean, math.Sqrt(max(0, square/n-mean*mean))
}

func anywhere(r3.Vec) bool { return true }

// A sphere of 100 mm and a tube of 40 mm with noise of 0.15 mm in each direction,
// triangles of about 4 mm: the mean radius stays within 0.02 mm, noise
// falls to less than a quarter (the closed form gives a seventh away from rims),
// facets lean by no more than an eighth of what noise made them lean beyond the
// shape's own bend, and no vertex leaves the bound.
func TestSmoothKeepsRadius(t *testing.T) {
	const σ, bound = 0.15e-3, 0.6e-3
	for _, c := range []struct {
		name   string
		m      *mesh.Mesh
		radius func(p r3.Vec) float64
		true   float64
		inside func(p r3.Vec) bool
	}{
		{"sphere", shapes.Sphere(0.1, 4), r3.Norm, 0.1, anywhere},
		{"tube", shapes.Tube(0.04, 0.2, 64, 50), func(p r3.Vec) float64 { return math.Hypot(p.X, p.Y) }, 0.04, anywhere},
	} {
		given := noisy(c.m, σ, 1)
		top := topology(t, given)
		m, s := scan.Smooth(top, bound, scan.DefaultEdge)
		meanWas, was := spread(given, c.inside, c.radius)
		mean, now := spread(m, c.inside, c.radius)
		t.Logf("%s: %d triangles, mean radius %.4f mm → %.4f mm (true vertices %.4f), spread %.4f → %.4f mm, lean %.2f → %.2f deg, moved %.3f mm at most, %.1f %% at the limit",
			c.name, len(m.Triangles), 1e3*meanWas, 1e3*mean, 1e3*c.true, 1e3*was, 1e3*now, deg(s.Before), deg(s.Now), 1e3*s.Most, 100*s.AtLimit)
		if math.Abs(mean-c.true) > 0.02e-3 {
			t.Errorf("%s: the mean radius is %.4f mm", c.name, 1e3*mean)
		}
		_, plain := scan.Smooth(topology(t, c.m), bound, scan.DefaultEdge)
		if own := plain.Before; now > was/4 || s.Now-own > (s.Before-own)/8 {
			t.Errorf("%s: spread %.4f → %.4f mm, lean %.2f → %.2f deg", c.name, 1e3*was, 1e3*now, deg(s.Before), deg(s.Now))
		}
		if s.Most > bound*(1+1e-12) {
			t.Errorf("%s: a vertex moved %.4f mm", c.name, 1e3*s.Most)
		}
		for _, off := range []facet.Stray{facet.StrayFrom(mesh.NewLocator(given), m, 1e-3), facet.StrayFrom(mesh.NewLocator(m), given, 1e-3)} {
			if off.Most > bound*(1+1e-9) {
				t.Errorf("%s: %.4f mm off", c.name, 1e3*off.Most)
			}
		}
	}
}

func deg(x float64) float64 { return x * 180 / math.Pi }

// A box keeps its edges and corners: the planes of its sides, fitted to what is
// smoothed, meet where they did.
func TestSmoothKeepsEdges(t *testing.T) {
	box := shapes.OpenBox(r3.Vec{X: 0.12, Y: 0.1, Z: 0.06}, 24)
	given := noisy(box, 0.05e-3, 3)
	m, _ := scan.Smooth(topology(t, given), 0.3e-3, scan.DefaultEdge)
	var was, now, n float64
	b := box.Bounds()
	for v, p := range box.Vertices {
		sides := 0
		for _, d := range []float64{p.X - b.Min.X, p.X - b.Max.X, p.Y - b.Min.Y, p.Y - b.Max.Y, p.Z - b.Max.Z} {
			if math.Abs(d) < 1e-9 {
				sides++
			}
		}
		if sides >= 2 && p.Z > b.Min.Z+1e-9 { // on an edge
			d, e := r3.Sub(given.Vertices[v], p), r3.Sub(m.Vertices[v], p)
			was, now, n = was+r3.Norm2(d), now+r3.Norm2(e), n+1
		}
	}
	was, now = math.Sqrt(was/n), math.Sqrt(now/n)
	t.Logf("%.0f edge vertices: off by %.4f mm before, %.4f mm after (rms)", n, 1e3*was, 1e3*now)
	if now > was {
		t.Error("edges got worse")
	}
}
