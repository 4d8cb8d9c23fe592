package shell

import (
	"context"
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

func moved(t *testing.T, s *Solver, p Push, steps int) Moved {
	t.Helper()
	m, err := s.Large(context.Background(), p, steps)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d unknowns: %d steps, %d iterations, residual %.1e", s.Unknowns(), m.Steps, m.Iterations, m.Residual)
	return m
}

// The forces of a triangle in a large pose are the slope of its energy ½qᵀkq, and
// its stiffness is the slope of the forces but for what was made symmetric, which
// vanishes as the turning moments do.
func TestLargeForcesAreTheSlopeOfEnergy(t *testing.T) {
	s := octant(2, 0.3)
	m := s.model(laminated(t), r3.Vec{X: 1, Y: -2, Z: 0.1})
	elements, err := m.elements()
	if err != nil {
		t.Fatal(err)
	}
	var f follower
	f.set(&elements[1])
	spin := r3.NewRotation(1.9, r3.Vec{X: 1, Y: 2, Z: -1})
	var at [3]r3.Vec
	var turned [3]frame
	for c, v := range elements[1].nodes {
		k := float64(c)
		at[c] = r3.Add(spin.Rotate(s.m.Vertices[v]), r3.Vec{X: 1e-4 * k, Y: -2e-4 * k * k, Z: 3e-4})
		turned[c] = frame{spin.Rotate(r3.Vec{X: 1}), spin.Rotate(r3.Vec{Y: 1}), spin.Rotate(r3.Vec{Z: 1})}
		turned[c].spin(r3.Vec{X: 0.05 - 0.03*k, Y: 0.04 * k, Z: 0.02})
	}
	energy := func(a [3]r3.Vec, r [3]frame) float64 {
		p := f.pose(a, [3]*frame{&r[0], &r[1], &r[2]})
		var sum float64
		for i := range 18 {
			for j := range 18 {
				sum += p.q[i] * f.k[18*i+j] * p.q[j] / 2
			}
		}
		return sum
	}
	p := f.pose(at, [3]*frame{&turned[0], &turned[1], &turned[2]})
	force := f.forces(&p, &row18{})
	force = p.axes.out(&force)
	size := norm(force[:])
	const step = 1e-6
	for d := range 18 {
		shift := func(by float64) float64 {
			a, r := at, turned
			var v [3]float64
			v[d%3] = by
			if c := d / 6; d%6 < 3 {
				a[c] = r3.Add(a[c], r3.Vec{X: v[0], Y: v[1], Z: v[2]})
			} else {
				r[c].spin(r3.Vec{X: v[0], Y: v[1], Z: v[2]})
			}
			return energy(a, r)
		}
		if got := (shift(step) - shift(-step)) / (2 * step); math.Abs(got-force[d]) > 1e-6*size {
			t.Errorf("unknown %d: slope %g, force %g", d, got, force[d])
		}
	}
}

// strip is a cantilever of unit length along x, ν = 0, EI = 1.
func strip(t *testing.T, n int) (sheet, *Solver) {
	s := newSheet(n, 2, true, flat(1, 0.1))
	const h = 0.01
	m := s.model(isotropic(12/(0.1*h*h*h), 0, h, 1), xDir)
	s.hold(m, Clamped, func(i, j int) bool { return i == 0 })
	return s, solver(t, m)
}

// A cantilever under a dead force P at its tip: the elastica. Tip motions over the
// length at PL²/EI (Mattiasson 1981, elliptic integrals, from memory).
func TestElastica(t *testing.T) {
	for _, c := range []struct{ p, down, in float64 }{{1, 0.30172, 0.05643}, {5, 0.71379, 0.38763}, {10, 0.81061, 0.55500}} {
		s, sv := strip(t, 24)
		load := sv.NoLoad()
		for j, share := range []float64{0.25, 0.5, 0.25} {
			load.Force[s.at(24, j)].Z = c.p * share
		}
		tip := moved(t, sv, Push{Load: load}, 4).Move[s.at(24, 1)]
		within(t, "down", tip.Z, c.down, 0.01)
		within(t, "in", -tip.X, c.in, 0.01)
	}
}

// A moment π·EI/L at the tip bends a strip into half a circle: its end comes to
// stand at twice the radius L/π over the root.
func TestStripRollsUp(t *testing.T) {
	s, sv := strip(t, 24)
	load := sv.NoLoad()
	for j, share := range []float64{0.25, 0.5, 0.25} {
		load.Moment[s.at(24, j)].Y = -math.Pi * share
	}
	tip := moved(t, sv, Push{Load: load}, 8).Move[s.at(24, 1)]
	within(t, "up", tip.Z, 2/math.Pi, 0.01)
	within(t, "in", -tip.X, 1, 0.01)
}

// A clamped square plate under even pressure, edges that do not give (Levy 1942,
// NACA TN 847, ν² = 0.1, from memory): w/h of the middle at q·a⁴/(E·h⁴).
func TestClampedPlateStiffensAsItMoves(t *testing.T) {
	const e, h, a, n = 70e9, 1e-3, 0.2, 16
	for load, want := range map[float64]float64{17.79: 0.237, 95: 0.912, 402: 1.902} {
		s := newSheet(n, n, false, flat(a, a))
		m := s.model(isotropic(e, math.Sqrt(0.1), h, 1), xDir)
		s.hold(m, Clamped, s.rim)
		sv := solver(t, m)
		p := Push{Load: sv.NoLoad(), Follow: si.Pressure(load * e * h * h * h * h / (a * a * a * a))}
		within(t, "middle", moved(t, sv, p, 2).Move[s.at(n/2, n/2)].Z/h, want, 0.02)
	}
}

// A small push moves the wall as the linear answer says, and turning the part turns
// the answer.
func TestSmallPushIsLinear(t *testing.T) {
	for _, turn := range []r3.Rotation{r3.NewRotation(0, xDir), r3.NewRotation(1.1, r3.Vec{X: -1, Y: 0.4, Z: 2})} {
		s := newSheet(6, 6, false, func(u, v float64) r3.Vec {
			x, y := u-0.5, v-0.5
			return turn.Rotate(r3.Vec{X: x, Y: y, Z: 0.3 - x*x - 0.5*y*y})
		})
		m := s.model(laminated(t), turn.Rotate(xDir))
		s.hold(m, Clamped, s.rim)
		sv := solver(t, m)
		load := sv.NoLoad()
		sv.Pressure(&load, 10)
		load.DT = 0.01
		want := sv.Solve(load).Move[s.at(3, 3)]
		p := Push{Load: sv.NoLoad(), Follow: 10}
		p.DT = 0.01
		got := moved(t, sv, p, 1)
		if d := r3.Norm(r3.Sub(got.Move[s.at(3, 3)], want)); d > 1e-4*r3.Norm(want) {
			t.Errorf("moves %v, linear %v", got.Move[s.at(3, 3)], want)
		}
	}
}

// The hemisphere with a hole of 18 degrees, pinched far: with forces of 400 it goes
// in by 8.178 and out by 4.067 of its radius of 10 (Sze, Liu and Lo 2004, from
// memory).
func TestHemispherePinchedFar(t *testing.T) {
	const n = 32
	s, m := hemisphereModel(n)
	sv := solver(t, m)
	p := Push{Load: sv.NoLoad()}
	p.Force[s.at(0, 0)].X, p.Force[s.at(n, 0)].Y = 200, -200
	got := moved(t, sv, p, 10)
	within(t, "out", got.Move[s.at(0, 0)].X, 4.067, 0.02)
	within(t, "in", -got.Move[s.at(n, 0)].Y, 8.178, 0.02)
}

// A shallow roof on hinges, pushed at its top past the load at which it snaps, has
// no answer near; below it has.
func TestSnapIsAnError(t *testing.T) {
	const r, half, l, n = 2.540, 0.1, 0.508, 8
	s := newSheet(n, n, true, func(u, v float64) r3.Vec {
		a := half * (2*u - 1)
		return r3.Vec{X: r * math.Sin(a), Y: l * (v - 0.5), Z: r * math.Cos(a)}
	})
	m := s.model(isotropic(3102.75e6, 0.3, 6.35e-3, 1), r3.Vec{Y: 1})
	s.hold(m, Pinned, func(i, j int) bool { return i == 0 || i == n })
	sv := solver(t, m)
	p := Push{Load: sv.NoLoad()}
	p.Force[s.at(n/2, n/2)].Z = -450
	_ = moved(t, sv, p, 4)
	p.Force[s.at(n/2, n/2)].Z = -750
	var none *fault.NoSolution
	if got, err := sv.Large(context.Background(), p, 4); !errors.As(err, &none) {
		t.Errorf("moves %v, error %v", got.Move[s.at(n/2, n/2)], err)
	}
}
