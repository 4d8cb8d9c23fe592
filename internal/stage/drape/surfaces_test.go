package drape

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// graph is z = f(x, y) over a square of half-width w in n by n cells, the
// diagonals running away from the middle.
func graph(w float64, n int, f func(x, y float64) float64) *mesh.Mesh {
	return sheetOf(n, n, func(s, t float64) r3.Vec {
		x, y := w*(2*s-1), w*(2*t-1)
		return r3.Vec{X: x, Y: y, Z: f(x, y)}
	})
}

// sheetOf maps a grid over the unit square.
func sheetOf(nx, ny int, at func(s, t float64) r3.Vec) *mesh.Mesh {
	m := &mesh.Mesh{}
	for j := 0; j <= ny; j++ {
		for i := 0; i <= nx; i++ {
			m.Vertices = append(m.Vertices, at(float64(i)/float64(nx), float64(j)/float64(ny)))
		}
	}
	id := func(i, j int) int32 { return int32(j*(nx+1) + i) }
	for j := range ny {
		for i := range nx {
			a, b, c, d := id(i, j), id(i+1, j), id(i+1, j+1), id(i, j+1)
			if (2*i >= nx) == (2*j >= ny) {
				m.Triangles = append(m.Triangles, [3]int32{a, b, c}, [3]int32{a, c, d})
			} else {
				m.Triangles = append(m.Triangles, [3]int32{a, b, d}, [3]int32{b, c, d})
			}
		}
	}
	return m
}

// dome is the upper half of the unit sphere down to a polar angle: a square grid
// in the azimuthal equidistant map, which has no thin triangles.
func dome(n int, most float64) *mesh.Mesh {
	return sheetOf(n, n, func(s, t float64) r3.Vec {
		x, y := 2*s-1, 2*t-1
		// square to disc, keeping the shape of cells away from the corners
		u, v := x*math.Sqrt(1-y*y/2), y*math.Sqrt(1-x*x/2)
		r, φ := math.Hypot(u, v)*most, math.Atan2(v, u)
		return r3.Vec{X: math.Sin(r) * math.Cos(φ), Y: math.Sin(r) * math.Sin(φ), Z: math.Cos(r)}
	})
}

func topologyOf(t *testing.T, m *mesh.Mesh) *mesh.Topology {
	t.Helper()
	top, err := mesh.NewTopology(m)
	if err != nil {
		t.Fatal(err)
	}
	return top
}

func inputOn(t *testing.T, m *mesh.Mesh, seed, warp r3.Vec) Input {
	t.Helper()
	hit, _ := mesh.NewLocator(m).Closest(seed)
	return Input{Surface: topologyOf(t, m), Seed: hit.Point, Warp: warp}
}

func solved(t *testing.T, in Input) *Result {
	t.Helper()
	r, err := Solve(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	if n := turned(newSurface(in.Surface), r.Flat); n > 0 && in.Locking >= 0 {
		t.Logf("%d of the given triangles lie turned over in the flat", n)
	}
	return r
}

func kinematic(t *testing.T, in Input, step float64) *Net {
	t.Helper()
	n, err := Kinematic(in, step)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// onFacets lays the net on the triangles as they are: their curvature is in their
// vertices, and what holds of a net holds to the last digit.
func onFacets(t *testing.T, in Input, step float64) *Net {
	t.Helper()
	s, err := newSurface(in.Surface).overHoles()
	if err != nil {
		t.Fatal(err)
	}
	n, err := newNetOn(s, mesh.NewTracer(s.topology, nil), in.Seed, in.Warp, step)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

const deg = math.Pi / 180

// sphereShear integrates g″ + g′/r = cos g, g(0) = g′(0) = 0, r = 2·√(uv): the
// shear of the exact net on the unit sphere.
func sphereShear(uv float64) float64 {
	const n = 400
	h := 2 * math.Sqrt(uv) / n
	g, p := 0.0, 0.0
	slope := func(x, g, p float64) float64 {
		if x == 0 {
			return 0.5
		}
		return math.Cos(g) - p/x
	}
	for i := range n {
		x := float64(i) * h
		k1, l1 := p, slope(x, g, p)
		k2, l2 := p+h/2*l1, slope(x+h/2, g+h/2*k1, p+h/2*l1)
		k3, l3 := p+h/2*l2, slope(x+h/2, g+h/2*k2, p+h/2*l2)
		k4, l4 := p+h*l3, slope(x+h, g+h*k3, p+h*l3)
		g += h / 6 * (k1 + 2*k2 + 2*k3 + k4)
		p += h / 6 * (l1 + 2*l2 + 2*l3 + l4)
	}
	return g
}
