package shell

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/wall"
)

// A simply supported plate under q·sin·sin has Mx = q·a²·(1 + ν)/(4π²)·sin·sin and
// Mxy = −q·a²·(1 − ν)/(4π²)·cos·cos (Navier). The true error of the moments in
// energy halves with the sides of the triangles; the estimate overstates it beside
// the rim, less so on the finer mesh.
func TestMeshErrorIsNearTheTrueOne(t *testing.T) {
	const e, nu, h, a, q = 70e9, 0.3, 2e-3, 0.4, 1000.0
	run := func(n int) (estimate, truth float64) {
		s := newSheet(n, n, true, flat(a, a))
		m := s.model(isotropic(e, nu, h, 1), xDir)
		s.hold(m, Pinned, s.rim)
		s.hold(m, TurnX, func(i, j int) bool { return i == 0 || i == n })
		s.hold(m, TurnY, func(i, j int) bool { return j == 0 || j == n })
		sv := solver(t, m)
		load := sv.NoLoad()
		sv.Pressure(&load, 1)
		for v, p := range s.m.Vertices {
			load.Force[v] = r3.Scale(q*math.Sin(math.Pi*p.X/a)*math.Sin(math.Pi*p.Y/a), load.Force[v])
		}
		got := sv.Solve(load)
		estimate, _ = sv.MeshError(got, 0)
		var off, whole float64
		for f := range sv.elements {
			el := &sv.elements[f]
			for p, strain := range sv.Strains(f, got)[0].At {
				at := sv.Side(f, p)
				x, y := math.Pi*at.X/a, math.Pi*at.Y/a
				c := q * a * a / (4 * math.Pi * math.Pi)
				m := c * (1 + nu) * math.Sin(x) * math.Sin(y)
				exact := wall.Load{M: wall.Vec{m, m, -c * (1 - nu) * math.Cos(x) * math.Cos(y)}}
				whole += el.area / 3 * el.energy(exact)
				off += el.area / 3 * el.energy(less(exact, el.resultant(strain, 0)))
			}
		}
		return estimate, math.Sqrt(off / whole)
	}
	coarse, truth := run(12)
	fine, finer := run(24)
	t.Logf("12 sides: estimate %.4f, true %.4f; 24 sides: %.4f, %.4f", coarse, truth, fine, finer)
	if off, close := coarse/truth, fine/finer; !(close > 0.9 && close < off && off < 1.6) {
		t.Errorf("estimate over truth %.2f, and %.2f with half the sides", off, close)
	}
	if order := math.Log2(truth / finer); math.Abs(order-1) > 0.1 {
		t.Errorf("order of the true error %.2f, want 1", order)
	}
}

// An even force leaves no error, on any triangles.
func TestEvenStressHasNoMeshError(t *testing.T) {
	s := skew()
	m := s.model(laminated(t), xDir)
	s.hold(m, Clamped, s.rim)
	sv := solver(t, m)
	field := patchField(wall.Strain{Mid: wall.Vec{1e-3, -4e-4, 7e-4}, Curvature: wall.Vec{0.02, -0.05, 0.03}}, m.Mesh.Vertices, r3.NewRotation(0, xDir))
	if share, _ := sv.MeshError(field, 0); share > 1e-6 {
		t.Errorf("error %g", share)
	}
}
