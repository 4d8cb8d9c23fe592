package relay

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/geom"
	"laywright/internal/base/mesh"
)

const (
	thick = 2.5e-4 // m
	areal = 0.2    // kg/m²
)

// sheets welds grids over the unit square into one surface.
type sheets struct {
	m  mesh.Mesh
	at map[[3]int64]int32
}

func (s *sheets) vertex(p r3.Vec) int32 {
	if s.at == nil {
		s.at = map[[3]int64]int32{}
	}
	key := [3]int64{int64(math.Round(p.X * 1e9)), int64(math.Round(p.Y * 1e9)), int64(math.Round(p.Z * 1e9))}
	v, is := s.at[key]
	if !is {
		v = int32(len(s.m.Vertices))
		s.m.Vertices = append(s.m.Vertices, p)
		s.at[key] = v
	}
	return v
}

func (s *sheets) grid(nx, ny int, at func(s, t float64) r3.Vec) *sheets {
	v := func(i, j int) int32 { return s.vertex(at(float64(i)/float64(nx), float64(j)/float64(ny))) }
	for j := range ny {
		for i := range nx {
			a, b, c, d := v(i, j), v(i+1, j), v(i+1, j+1), v(i, j+1)
			s.m.Triangles = append(s.m.Triangles, [3]int32{a, b, c}, [3]int32{a, c, d})
		}
	}
	return s
}

func (s *sheets) top(t testing.TB) *mesh.Topology {
	t.Helper()
	top, err := mesh.NewTopology(&s.m)
	if err != nil {
		t.Fatal(err)
	}
	return top
}

// opened cuts a surface along straight ways through places, each from inside to
// the rim or from rim to rim.
func opened(t testing.TB, top *mesh.Topology, ways ...[]r3.Vec) *cut.Ground {
	t.Helper()
	g := cut.Uncut(top)
	for i, way := range ways {
		var at []int32
		for _, x := range way {
			at = append(at, g.Top.Mesh.NearestVertex(x, func(int) bool { return true }))
		}
		path, ok := cut.NewTracer(g.Top).Along(at)
		if !ok {
			t.Fatalf("no way along %v", way)
		}
		if g, ok = g.Open(path, i); !ok {
			t.Fatalf("not cut along %v", way)
		}
	}
	return g
}

// parted is what is left of a ground on one side, with the sides of its slits
// that are there.
func parted(t testing.TB, g *cut.Ground, keep func(r3.Vec) bool) *cut.Ground {
	t.Helper()
	p := g.Top.Mesh.Extract(g.Top.Mesh.FacesWhere(func(f int) bool { return keep(g.Top.Mesh.Centroid(f)) }))
	top, err := mesh.NewTopology(p.Mesh)
	if err != nil {
		t.Fatal(err)
	}
	now := map[int32]int32{}
	out := &cut.Ground{Top: top}
	for v, u := range p.Vertex {
		now[u] = int32(v)
		out.From = append(out.From, g.From[u])
	}
	side := func(line []int32) (out []int32) {
		for _, u := range line {
			v, is := now[u]
			if !is {
				return nil
			}
			out = append(out, v)
		}
		return out
	}
	for _, s := range g.Slits {
		s.Left, s.Right = side(s.Left), side(s.Right)
		out.Slits = append(out.Slits, s)
	}
	return out
}

// laidBy gives each vertex of a ground its flat place, by the place of the vertex
// and the middle of a triangle at it.
func laidBy(g *cut.Ground, flat func(at, middle r3.Vec) r2.Vec) []r2.Vec {
	out := make([]r2.Vec, len(g.Top.Mesh.Vertices))
	for f, t := range g.Top.Mesh.Triangles {
		for _, v := range t {
			out[v] = flat(g.Top.Mesh.Vertices[v], g.Top.Mesh.Centroid(f))
		}
	}
	return out
}

func pairs(p geom.Polygon) [][2]float64 {
	out := make([][2]float64, len(p))
	for i, v := range p {
		out[i] = [2]float64{v.X, v.Y}
	}
	return out
}

// union is the outline round rectangles {x0, y0, x1, y1}.
func union(t testing.TB, rects ...[4]float64) [][2]float64 {
	t.Helper()
	var all []geom.Region
	for _, r := range rects {
		all = append(all, geom.Rect(r[0], r[1], r[2], r[3]).Region())
	}
	out, err := geom.Union(all...)
	if err != nil || len(out) != 1 {
		t.Fatalf("%d outlines: %v", len(out), err)
	}
	return pairs(out[0].Outer)
}

func plyOf(number int, pieces ...Piece) Ply {
	return Ply{Number: number, Thickness: thick, ArealMass: areal, Pieces: pieces}
}

func relaid(t testing.TB, in Input) Result {
	t.Helper()
	r, err := Lay(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// near reports a number that is off by more than it may be.
func near(t testing.TB, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %.7g, want %.7g ± %.2g", what, got, want, within)
	}
}

// Measures of the box: half the top's side, the wall's height, lap and allowance.
const (
	half, height, lap, beyond = 0.1, 0.08, 0.015, 0.02
)

// box is a square top with four upright walls, slit down its edges.
func box(t testing.TB, n int) (*mesh.Topology, Piece) {
	s := (&sheets{}).grid(n, n, func(s, t float64) r3.Vec { return r3.Vec{X: half * (2*s - 1), Y: half * (2*t - 1)} })
	for k := range 4 {
		sin, cos := [4]float64{0, 1, 0, -1}[k], [4]float64{1, 0, -1, 0}[k]
		s.grid(n/2, n, func(s, t float64) r3.Vec {
			x, y := half, half*(2*t-1)
			return r3.Vec{X: cos*x - sin*y, Y: sin*x + cos*y, Z: -height * s}
		})
	}
	top := s.top(t)
	var ways [][]r3.Vec
	for k := range 4 {
		x, y := [4]float64{half, -half, -half, half}[k], [4]float64{half, half, -half, -half}[k]
		ways = append(ways, []r3.Vec{{X: x, Y: y}, {X: x, Y: y, Z: -height}})
	}
	g := opened(t, top, ways...)
	p := Piece{Ground: g, Flat: laidBy(g, wallsUp)}
	// each arm, seen from the top, has its lap on its left side's slit
	p.Outline = union(t, [4]float64{-half - height - beyond, -half, half + height + beyond, half},
		[4]float64{-half, -half - height - beyond, half, half + height + beyond},
		[4]float64{half, half, half + lap, half + height + beyond}, [4]float64{-half - lap, -half - height - beyond, -half, -half},
		[4]float64{-half - height - beyond, half, -half, half + lap}, [4]float64{half, -half - lap, half + height + beyond, -half})
	for k := range 4 { // along the side under each lap
		sin, cos := [4]float64{0, 1, 0, -1}[k], [4]float64{1, 0, -1, 0}[k]
		p.Knife = append(p.Knife, [][2]float64{{cos*half - sin*half, sin*half + cos*half}, {cos*(half+lap) - sin*half, sin*(half+lap) + cos*half}})
	}
	return top, p
}

// wallsUp turns the walls of the box up into the plane of its top.
func wallsUp(at, middle r3.Vec) r2.Vec {
	out := r2.Vec{X: at.X, Y: at.Y}
	switch d := -at.Z; {
	case middle.Z == 0:
	case math.Abs(middle.X) > half-1e-9:
		out.X += math.Copysign(d, middle.X)
	default:
		out.Y += math.Copysign(d, middle.Y)
	}
	return out
}
