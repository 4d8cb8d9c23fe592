package strength

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/stage/shell"
)

// A ring of a tube, 50 mm in radius, of one layer with a lap of 20 mm along it, about
// angle 0.
const (
	ringRadius, ringWide = 0.05, 0.004
	ringLap              = 0.020
	ringPressure         = 20e3
)

func ring(n int) Input {
	m := &mesh.Mesh{}
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / float64(n))
		for _, z := range []float64{0, ringWide} {
			m.Vertices = append(m.Vertices, r3.Vec{X: ringRadius * c, Y: ringRadius * s, Z: z})
		}
	}
	for i := range n {
		a, b := int32(2*i), int32(2*((i+1)%n))
		m.Triangles = append(m.Triangles, [3]int32{a, b, b + 1}, [3]int32{a, b + 1, a + 1})
	}
	l := metal(0)
	l.Thickness = thick
	in := Input{Mesh: m, Layers: []Layer{l}, Warp: r3.Vec{Z: 1}, Walls: make([][]Part, len(m.Triangles))}
	for f := range in.Walls {
		one := Lay{0, &Cloth{Warp: r3.Vec{Z: 1}, Weft: r3.Unit(r3.Cross(m.FaceNormal(f), r3.Vec{Z: 1})), Bulk: 1}}
		lays := []Lay{one}
		if c := m.Centroid(f); math.Abs(math.Atan2(c.Y, c.X))*ringRadius < ringLap/2 {
			lays = append(lays, one)
		}
		in.Walls[f] = []Part{{1, lays}}
	}
	return in
}

// opens works out by how much the ring's radius grows under pressure, in the mean. At
// angle θ from the lap it carries
//
//	N = p·R + X·cos θ,   M = Y + X·R·(1 − cos θ)
//
// and X and Y make the complementary energy least (Castigliano). As the tangential
// motion comes back to itself round the ring, the mean growth is that of the hoop
// strain: (1/2π)·∮ ε·R dθ. flexible gives (ε, κ) for (N, M).
func opens(flexible func(θ float64) [3]float64) float64 {
	const n = 20000
	var a, b, c, d, e, h float64 // [a b; b c](X, Y) = −(d, e)
	each := func(visit func(θ float64, f [3]float64)) {
		for i := range n {
			θ := 2 * math.Pi * (float64(i) + 0.5) / n
			visit(θ, flexible(θ))
		}
	}
	each(func(θ float64, f [3]float64) {
		cos := math.Cos(θ)
		nx, mx, n0 := cos, ringRadius*(1-cos), ringPressure*ringRadius
		a += f[0]*nx*nx + 2*f[1]*nx*mx + f[2]*mx*mx
		b += f[1]*nx + f[2]*mx
		c += f[2]
		d += n0 * (f[0]*nx + f[1]*mx)
		e += n0 * f[1]
	})
	det := a*c - b*b
	x, y := (-d*c+e*b)/det, (-e*a+d*b)/det
	each(func(θ float64, f [3]float64) {
		cos := math.Cos(θ)
		h += f[0]*(ringPressure*ringRadius+x*cos) + f[1]*(y+x*ringRadius*(1-cos))
	})
	return h / n * ringRadius
}

// A lapped tube opens as the ring of two walls does, the doubled one with its middle
// farther out. Without that offset it would open by 2.3 % less.
func TestLappedTubeOpens(t *testing.T) {
	mean := thick * (1 + ringLap/(2*math.Pi*ringRadius))
	wallOf := func(offset bool) func(float64) [3]float64 {
		return func(θ float64) [3]float64 {
			h := thick
			if arc := ringRadius * math.Min(θ, 2*math.Pi-θ); arc < ringLap/2 {
				h = 2 * thick
			}
			e := 0.0
			if offset {
				e = (h - mean) / 2
			}
			s, d := modulus*h, modulus*h*h*h/12
			return [3]float64{1/s + e*e/d, -e / d, 1 / d}
		}
	}
	want, without := opens(wallOf(true)), opens(wallOf(false))
	within(t, "what the offset does", without/want, 1-0.023, 0.001)
	within(t, "mean growth", grows(t, ring(314)), want, 0.001) // the lap's ends fall on lines
}

// grows is the mean growth of a ring that only its plane's motions are left to.
func grows(t *testing.T, in Input) (sum float64) {
	t.Helper()
	top, err := mesh.NewTopology(in.Mesh)
	if err != nil {
		t.Fatal(err)
	}
	axis, err := reference(top, in.Warp)
	if err != nil {
		t.Fatal(err)
	}
	s, err := in.stacks(axis)
	if err != nil {
		t.Fatal(err)
	}
	held := make([]shell.Hold, len(in.Mesh.Vertices))
	for v := range held {
		held[v] = shell.MoveZ | shell.TurnX | shell.TurnY
	}
	for _, v := range opposite(in.Mesh) {
		held[v] = shell.Clamped
	}
	solver, err := shell.New(context.Background(), &shell.Model{Mesh: in.Mesh, Sections: s.sections, Section: s.of, Axis: axis, Held: held})
	if err != nil {
		t.Fatal(err)
	}
	l := solver.NoLoad()
	solver.Pressure(&l, ringPressure)
	m := solver.Solve(l)
	for v, p := range in.Mesh.Vertices {
		sum += (m.Move[v].X*p.X + m.Move[v].Y*p.Y) / ringRadius / float64(len(held))
	}
	return sum
}

// opposite lists the vertices farthest from the lap on one side.
func opposite(m *mesh.Mesh) (out []int) {
	at := 0
	for v, p := range m.Vertices {
		if p.X < m.Vertices[at].X {
			at = v
		}
	}
	for v, p := range m.Vertices {
		if r3.Norm(r3.Sub(p, m.Vertices[at])) < 1.1*ringWide && math.Abs(p.Y-m.Vertices[at].Y) < 1e-9 {
			out = append(out, v)
		}
	}
	return out
}
