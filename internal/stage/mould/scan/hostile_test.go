package scan_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/stage/mould/scan"
)

// seeds is how many meshes each hostile generator makes; 150 pass too.
const seeds = 4

// soup is triangles at random corners, many of them shared, some none at all.
func soup(chance *rand.Rand) *mesh.Mesh {
	m := &mesh.Mesh{}
	for range 3 + chance.IntN(40) {
		m.Vertices = append(m.Vertices, r3.Vec{X: 0.1 * chance.Float64(), Y: 0.1 * chance.Float64(), Z: 0.1 * float64(chance.IntN(3))})
	}
	for range 1 + chance.IntN(120) {
		n := len(m.Vertices)
		m.Triangles = append(m.Triangles, [3]int32{int32(chance.IntN(n)), int32(chance.IntN(n)), int32(chance.IntN(n))})
	}
	return m
}

// broken is a sound shape with holes, doubled, turned and crumpled triangles,
// fins, crumbs, T-joints and corners of their own.
func broken(chance *rand.Rand) *mesh.Mesh {
	all := shapes.Corpus()
	m := all[chance.IntN(len(all))].Make()
	if len(m.Triangles) > 4000 {
		m = shapes.Sphere(0.1, 2)
	}
	out := &mesh.Mesh{Vertices: append([]r3.Vec(nil), m.Vertices...)}
	for f, t := range m.Triangles {
		switch chance.IntN(40) {
		case 0: // a hole
			continue
		case 1:
			out.Triangles = append(out.Triangles, t)
		case 2:
			t[1], t[2] = t[2], t[1]
		case 3: // a T-joint
			a, b, c := m.Corners(f)
			out.Vertices = append(out.Vertices, r3.Scale(0.5, r3.Add(a, b)))
			v := int32(len(out.Vertices) - 1)
			out.Triangles = append(out.Triangles, [3]int32{t[0], v, t[2]})
			t = [3]int32{v, t[1], t[2]}
			_ = c
		case 4: // a fin
			out.Vertices = append(out.Vertices, r3.Add(m.Centroid(f), r3.Scale(0.01, m.FaceNormal(f))))
			out.Triangles = append(out.Triangles, [3]int32{t[0], t[1], int32(len(out.Vertices) - 1)})
		case 5: // corners of its own
			for k, v := range t {
				out.Vertices = append(out.Vertices, m.Vertices[v])
				t[k] = int32(len(out.Vertices) - 1)
			}
		case 6:
			t[1] = t[0]
		}
		out.Triangles = append(out.Triangles, t)
	}
	return out
}

// crumpled is a sheet whose vertices are thrown about, so that it runs through
// itself, at a size and a place that try the arithmetic.
func crumpled(chance *rand.Rand) *mesh.Mesh {
	n := 2 + chance.IntN(20)
	rough := math.Pow(10, -4*chance.Float64())
	size, away := math.Pow(10, 4*chance.Float64()-3), math.Pow(10, 3*chance.Float64()-2)
	m := shapes.Patch(n, n, func(u, v float64) r3.Vec {
		return r3.Vec{X: size*(u+rough*chance.NormFloat64()) + away, Y: size * (v + rough*chance.NormFloat64()), Z: size * rough * chance.NormFloat64()}
	})
	if chance.IntN(4) == 0 {
		m.Vertices[chance.IntN(len(m.Vertices))].X = []float64{math.NaN(), math.Inf(1), math.MaxFloat64, 1e300}[chance.IntN(4)]
	}
	return m
}

// Whatever comes, there is no panic: either a mesh that is one manifold, oriented
// piece with tags and list in order, or a refusal that says where or what to do.
func TestHostile(t *testing.T) {
	for name, make := range map[string]func(*rand.Rand) *mesh.Mesh{"soup": soup, "broken": broken, "crumpled": crumpled} {
		taken, refused := 0, 0
		for seed := range uint64(seeds) {
			chance := rand.New(rand.NewPCG(seed, 11))
			m := make(chance)
			o := scan.Options{File: "a.stl", Piece: scan.Piece{Largest: chance.IntN(2) == 0}}
			if chance.IntN(2) == 0 {
				o.Fill = 0.2 * chance.Float64()
			}
			if chance.IntN(3) == 0 {
				o.Smooth = 1e-4
			}
			switch chance.IntN(12) {
			case 0:
				o.Recut = scan.Recut{Auto: true, Within: 1e-3}
			case 1, 2, 3:
				o.Recut = scan.Recut{Side: m.Diagonal() / 20, Within: m.Diagonal() / 50}
			}
			k, err := scan.Take(m, o)
			if err != nil {
				refused++
				plain(t, fmt.Sprintf("%s %d", name, seed), err)
				continue
			}
			taken++
			check(t, fmt.Sprintf("%s %d", name, seed), k)
			for _, thick := range []scan.Thick{{Shell: 1e-3}, {Base: 0.01, Up: r3.Vec{Z: 1}}} {
				if s, err := scan.Thicken(k.Mesh, thick); err != nil {
					plain(t, name, err)
				} else if !topology(t, s.Mesh).Closed() {
					t.Errorf("%s %d: a solid that is open", name, seed)
				}
			}
		}
		t.Logf("%s: %d taken, %d refused", name, taken, refused)
	}
}

// plain checks that a refusal names a field and says what to do.
func plain(t testing.TB, what string, err error) {
	t.Helper()
	var in *fault.Input
	var limit *fault.Range
	if !errors.As(err, &in) && !errors.As(err, &limit) || in != nil && in.What == "" {
		t.Errorf("%s: %v", what, err)
	}
}

func check(t testing.TB, what string, k scan.Taken) {
	t.Helper()
	top := topology(t, k.Mesh)
	if n := len(top.NonManifoldEdges()) + len(top.FlippedEdges()) + len(top.BowTies()); n > 0 {
		t.Errorf("%s: %d sides or vertices are not manifold", what, n)
	}
	if _, n := top.Components(); n != 1 {
		t.Errorf("%s: %d pieces", what, n)
	}
	if len(k.Filled) != len(k.Mesh.Triangles) {
		t.Errorf("%s: %d tags for %d triangles", what, len(k.Filled), len(k.Mesh.Triangles))
	}
	for _, r := range k.Repairs {
		if r.What == "" || !(r.Count > 0) || math.IsNaN(r.At.X+r.At.Y+r.At.Z+r.Moved+r.Area) {
			t.Errorf("%s: repair %+v", what, r)
		}
	}
	for f := range k.Mesh.Triangles {
		if !(k.Mesh.FaceArea(f) >= 0) || math.IsNaN(r3.Norm(k.Mesh.Centroid(f))) {
			t.Errorf("%s: triangle %d has the area %g", what, f, k.Mesh.FaceArea(f))
			return
		}
	}
}

// Same input, same bits.
func TestTakeRepeats(t *testing.T) {
	o := scan.Options{File: "a.stl", Smooth: 2e-4, Fill: 0.03, Recut: scan.Recut{Side: 8e-3, Within: 5e-3}}
	m := shapes.Scan(2, 4000, shapes.UsualFlaws)
	a, b := take(t, m, o), take(t, m, o)
	for v := range a.Mesh.Vertices {
		if a.Mesh.Vertices[v] != b.Mesh.Vertices[v] {
			t.Fatalf("vertex %d differs", v)
		}
	}
}

// Flaws of known count are mended and listed: a T-joint, a fin, a crumb, doubled and turned
// triangles, two shells that touch in a point, an inside-out ball.
func TestRepairsListed(t *testing.T) {
	plate := func() *mesh.Mesh {
		return shapes.Patch(20, 20, func(u, v float64) r3.Vec { return r3.Vec{X: 0.2 * u, Y: 0.2 * v} })
	}
	joint := shapes.Together(false, plate(), shapes.Patch(30, 5, func(u, v float64) r3.Vec { return r3.Vec{X: 0.2 * u, Y: 0.2 + 0.05*v} }))
	fin := plate()
	fin.Vertices = append(fin.Vertices, r3.Vec{X: 0.1, Y: 0.1, Z: 0.004})
	fin.Triangles = append(fin.Triangles, [3]int32{fin.Triangles[400][0], fin.Triangles[400][1], int32(len(fin.Vertices) - 1)})
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
		want string
		rims int
	}{
		{"T-joints", joint, "sides cut at a vertex of the neighbour that lay on them", 1},
		{"fin", fin, "triangles of fins dropped, where three or more met at a side", 1},
		{"crumb", shapes.Together(false, plate(), shapes.Moved(shapes.Triangle(0.002), r3.Vec{Z: 0.05})), "separate pieces left out", 1},
		{"inside out", shapes.Sphere(0.1, 2).Flipped(), "closed pieces turned inside out, as they were", 0},
	} {
		k := take(t, c.m, scan.Options{})
		check(t, c.name, k)
		found := false
		for _, r := range k.Repairs {
			found = found || r.What == c.want
		}
		if !found || k.Rims != c.rims {
			t.Errorf("%s: %d rims, repairs %v", c.name, k.Rims, k.Repairs)
		}
	}
}
