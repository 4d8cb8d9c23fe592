package carve

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

// turned makes the surface that a profile (radius over height, from the base up)
// sweeps round the z axis, open at the base; a radius of 0 closes it.
func turned(profile [][2]float64, n int) *mesh.Mesh {
	m := &mesh.Mesh{}
	var rings [][]int32
	for _, p := range profile {
		var ring []int32
		for k := range n {
			if p[0] == 0 && k > 0 {
				ring = append(ring, ring[0])
				continue
			}
			s, c := math.Sincos(2 * math.Pi * float64(k) / float64(n))
			ring = append(ring, int32(len(m.Vertices)))
			m.Vertices = append(m.Vertices, r3.Vec{X: p[0] * c, Y: p[0] * s, Z: p[1]})
		}
		rings = append(rings, ring)
	}
	for i := range len(rings) - 1 {
		low, high := rings[i], rings[i+1]
		for k := range n {
			l := (k + 1) % n
			for _, t := range [2][3]int32{{low[k], low[l], high[l]}, {low[k], high[l], high[k]}} {
				if t[0] != t[1] && t[1] != t[2] && t[2] != t[0] {
					m.Triangles = append(m.Triangles, t)
				}
			}
		}
	}
	return m
}

func dome(r float64, n int) *mesh.Mesh {
	var p [][2]float64
	for k := range n + 1 {
		s, c := math.Sincos(math.Pi / 2 * float64(k) / float64(n))
		p = append(p, [2]float64{r * c, r * s})
	}
	p[n][0] = 0
	return turned(p, 4*n)
}

func sphere(r float64) Field {
	return func(p r3.Vec) (float64, r3.Vec) { return r3.Norm(p) - r, r3.Unit(p) }
}

func usual() Settings {
	return Settings{Board: 18e-3, Glue: 0.2e-3, Dowel: 8e-3, Saw: 1e-3, Wall: 40e-3, Skin: 4e-3}
}

func work(t *testing.T, in Input) Result {
	t.Helper()
	if in.How == (Settings{}) {
		in.How = usual()
	}
	in.Axes = [2]string{"x", "y"}
	r, err := Work(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	t.Logf("%s: %.6g, want %.6g, %+.4f %%", what, got, want, 100*(got/want-1))
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s is %v, want %v", what, got, want)
	}
}

// Closed forms of the volume: frustum πh/3 (R² + Rr + r²), cone πR²h/3, half a
// ball 2πR³/3, stepped cylinders.
func TestSlicesStackedAgain(t *testing.T) {
	const n = 720 // corners round: the polygon's area falls short of the circle's by 1.3e-5
	for _, c := range []struct {
		name   string
		mesh   *mesh.Mesh
		field  Field
		volume float64
	}{
		{"frustum", turned([][2]float64{{0.12, 0}, {0.08, 0.1}, {0, 0.1}}, n), nil, math.Pi * 0.1 / 3 * (0.12*0.12 + 0.12*0.08 + 0.08*0.08)},
		{"cone", turned([][2]float64{{0.12, 0}, {0, 0.13}}, n), nil, math.Pi * 0.12 * 0.12 * 0.13 / 3},
		{"half ball", dome(0.1, 30), sphere(0.1), 2 * math.Pi / 3 * 1e-3},
		{"steps", turned([][2]float64{{0.12, 0}, {0.12, 0.03}, {0.05, 0.03}, {0.05, 0.07}, {0, 0.07}}, n), nil, math.Pi * (0.12*0.12*0.03 + 0.05*0.05*0.04)},
	} {
		for _, board := range []si.Length{6e-3, 18e-3, 50e-3} {
			how := usual()
			how.Board = board
			r := work(t, Input{Face: c.mesh, True: c.field, How: how})
			near(t, c.name, float64(r.Stack.Restacked), c.volume, 5e-3)
		}
	}
}

// The outline of half a ball at a board's face is a circle of √(R² − z²), however
// coarse the triangles are.
func TestOutlineWithinChord(t *testing.T) {
	r := work(t, Input{Face: dome(0.1, 8), True: sphere(0.1)})
	for _, b := range r.Stack.Boards {
		for _, l := range b.Levels {
			want := math.Sqrt(0.01 - l.Z*l.Z)
			for _, region := range l.Cut {
				off := 0.0
				for i, p := range region.Outer {
					q := region.Outer[(i+1)%len(region.Outer)]
					off = max(off, math.Abs(math.Hypot(p.X, p.Y)-want), math.Abs(math.Hypot((p.X+q.X)/2, (p.Y+q.Y)/2)-want))
				}
				t.Logf("z %.4f: off by %.2g mm of %d corners", l.Z, 1e3*off, len(region.Outer))
				if off > float64(r.Chord)*1.2 {
					t.Errorf("at z = %.4f the outline stands %.3g mm off, more than %.3g", l.Z, 1e3*off, 1e3*float64(r.Chord))
				}
			}
		}
	}
}

// What is sawn holds the shape: no slice leaves the saw line of its board.
func TestSawLineHoldsTheShape(t *testing.T) {
	for name, m := range map[string]*mesh.Mesh{"half ball": dome(0.1, 20), "barrel": turned([][2]float64{{0.05, 0}, {0.08, 0.02}, {0.09, 0.04}, {0.08, 0.06}, {0.05, 0.08}, {0, 0.08}}, 48)} {
		r := work(t, Input{Face: m})
		b, err := newBody(m, nil, false)
		if err != nil {
			t.Fatal(err)
		}
		for _, board := range r.Stack.Boards {
			for k := range 37 {
				z := float64(board.Foot) + board.Thickness*(float64(k)+0.5)/37
				for _, s := range b.at(z) {
					for _, q := range s.Outer {
						if !inPieces(board, q) {
							t.Fatalf("%s: board %d, z %.4f: %v lies outside the saw line", name, board.Number, z, q)
						}
					}
				}
			}
		}
	}
}

func inPieces(b Board, q r2.Vec) bool {
	for _, p := range b.Pieces {
		if p.Outline.Contains(q) {
			return true
		}
	}
	return false
}
