package shell

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
)

// isotropic is a wall of one material, mass per area m.
func isotropic(e, nu, t, m float64) Section {
	w, err := wall.Stiffen([]wall.Ply{{Name: "even", Thickness: si.Length(t),
		Elastic:   &wall.Elastic{E1: si.Pressure(e), E2: si.Pressure(e), G12: si.Pressure(e / (2 * (1 + nu))), Nu12: nu},
		Expansion: &wall.Expansion{Alpha1: 1e-5, Alpha2: 1e-5}}})
	if err != nil {
		panic(err)
	}
	return Section{Wall: w, Mass: m}
}

// sheet is a mesh of nx by ny squares, each cut in two, laid on a surface.
type sheet struct {
	nx, ny int
	m      *mesh.Mesh
}

// newSheet cuts all squares the same way, or every other one the other way.
func newSheet(nx, ny int, crossed bool, place func(u, v float64) r3.Vec) sheet {
	s := sheet{nx, ny, &mesh.Mesh{}}
	for j := range ny + 1 {
		for i := range nx + 1 {
			s.m.Vertices = append(s.m.Vertices, place(float64(i)/float64(nx), float64(j)/float64(ny)))
		}
	}
	for j := range ny {
		for i := range nx {
			a, b, c, d := s.at(i, j), s.at(i+1, j), s.at(i+1, j+1), s.at(i, j+1)
			if crossed && (i+j)%2 == 1 {
				s.m.Triangles = append(s.m.Triangles, [3]int32{a, b, d}, [3]int32{b, c, d})
			} else {
				s.m.Triangles = append(s.m.Triangles, [3]int32{a, b, c}, [3]int32{a, c, d})
			}
		}
	}
	return s
}

// octant is an eighth of a sphere cut in n² triangles; vertex 0 lies on x, n on y,
// and the last on z.
func octant(n int, r float64) sheet {
	s := sheet{m: &mesh.Mesh{}}
	at := func(i, j int) int32 { return int32(j*(n+1) - j*(j-1)/2 + i) }
	for j := range n + 1 {
		for i := range n + 1 - j {
			p := r3.Vec{X: float64(n - i - j), Y: float64(i), Z: float64(j)}
			s.m.Vertices = append(s.m.Vertices, r3.Scale(r, r3.Unit(p)))
			if i+j < n {
				s.m.Triangles = append(s.m.Triangles, [3]int32{at(i, j), at(i+1, j), at(i, j+1)})
			}
			if i+j < n && i > 0 {
				s.m.Triangles = append(s.m.Triangles, [3]int32{at(i, j), at(i, j+1), at(i-1, j+1)})
			}
		}
	}
	return s
}

func (s sheet) at(i, j int) int32 { return int32(j*(s.nx+1) + i) }

// model has the wall's x along dir everywhere, nothing held.
func (s sheet) model(sec Section, dir r3.Vec) *Model {
	m := &Model{Mesh: s.m, Sections: []Section{sec}, Held: make([]Hold, len(s.m.Vertices)), Axis: make([]r3.Vec, len(s.m.Triangles))}
	for i := range m.Axis {
		m.Axis[i] = dir
	}
	return m
}

// hold holds the vertices that pass.
func (s sheet) hold(m *Model, h Hold, pass func(i, j int) bool) {
	for j := range s.ny + 1 {
		for i := range s.nx + 1 {
			if pass(i, j) {
				m.Held[s.at(i, j)] |= h
			}
		}
	}
}

func (s sheet) rim(i, j int) bool { return i == 0 || j == 0 || i == s.nx || j == s.ny }

func solver(t *testing.T, m *Model) *Solver {
	t.Helper()
	s, err := New(context.Background(), m)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func within(t testing.TB, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s: %.6g, want %.6g (off by %.2f %%)", what, got, want, 100*(got/want-1))
	}
}

func flat(a, b float64) func(u, v float64) r3.Vec {
	return func(u, v float64) r3.Vec { return r3.Vec{X: a * u, Y: b * v} }
}

var xDir = r3.Vec{X: 1}

func all(*element) bool { return true }
