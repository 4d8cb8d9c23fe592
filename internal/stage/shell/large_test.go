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
	f := newFollower(&elements[1])
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
	force := f.forces(&p, 0)
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

// Twice that moment closes it into a circle: the tip comes back to the root.
func TestStripRollsIntoACircle(t *testing.T) {
	s, sv := strip(t, 32)
	load := sv.NoLoad()
	for j, share := range []float64{0.25, 0.5, 0.25} {
		load.Moment[s.at(32, j)].Y = -2 * math.Pi * share
	}
	tip := moved(t, sv, Push{Load: load}, 16).Move[s.at(32, 1)]
	if off := r3.Norm(r3.Add(tip, xDir)); off > 0.01 {
		t.Errorf("the tip ends %.3g of the length from the root", off)
	}
}

// A ring cut through, one end clamped, the other lifted by 0.8 a width: its inner and
// outer corner rise by 13.891 and 17.528 (Sze, Liu and Lo 2004, from memory).
func TestSlitRingIsLifted(t *testing.T) {
	const n, wide = 60, 6
	s := newSheet(n, wide, true, func(u, v float64) r3.Vec {
		sin, cos := math.Sincos(-2 * math.Pi * u)
		return r3.Scale(6+4*v, r3.Vec{X: cos, Y: sin})
	})
	m := s.model(isotropic(21e6, 0, 0.03, 1), xDir)
	s.hold(m, Clamped, func(i, j int) bool { return i == n })
	sv := solver(t, m)
	p := Push{Load: sv.NoLoad()}
	for j := range wide + 1 {
		p.Force[s.at(0, j)].Z = 0.8 * 4 / wide
		if j == 0 || j == wide {
			p.Force[s.at(0, j)].Z /= 2
		}
	}
	got := moved(t, sv, p, 40)
	within(t, "inner corner", got.Move[s.at(0, 0)].Z, 13.891, 0.02)
	within(t, "outer corner", got.Move[s.at(0, wide)].Z, 17.528, 0.02)
}

// A clamped round plate under even pressure whose rim does not give, against von
// Kármán's equations for it, solved by shooting (Way 1934 has their series). Beside
// them, to a thickness of motion, Chien's estimate of 1947, from memory: with ν = 0.3,
// w/h + 0.544·(w/h)³ = 0.1706·q·a⁴/(E·h⁴).
func TestClampedRoundPlateStiffensAsItMoves(t *testing.T) {
	const e, nu, h, a = 70e9, 0.3, 1e-3, 0.1
	d := disc(6, 6, a)
	s := solver(t, d.model(isotropic(e, nu, h, 1)))
	for _, load := range []float64{2, 10, 50} {
		q := load * e * math.Pow(h/a, 4)
		want := roundPlate{e, nu, h, a, q}.middle(t) / h
		w, _ := furthest(moved(t, s, Push{Load: s.NoLoad(), Follow: si.Pressure(q)}, 2).Move)
		t.Logf("load %g: w/h %.4f, by the equations %.4f", load, w/h, want)
		within(t, "middle", w/h, want, 0.01)
		if load <= 10 {
			within(t, "estimate", want+0.544*want*want*want, 0.1706*load, 0.015)
		}
	}
}

// roundPlate is von Kármán's plate with ψ = dw/dr and the radial motion u:
//
//	D·(ψ'' + ψ'/r − ψ/r²) = N·ψ + q·r/2    N = E·h/(1−ν²)·(u' + ψ²/2 + ν·u/r)
//	u'' + u'/r − u/r² = −(1−ν)·ψ²/(2r) − ψ·ψ'    ψ = u = 0 at r = 0 and a
type roundPlate struct{ e, nu, h, a, q float64 }

// middle finds the slopes of ψ and u at the middle that bring both to nought at the
// rim, by Newton's iteration, the load growing.
func (p roundPlate) middle(t *testing.T) float64 {
	var slope [2]float64
	const steps = 60
	for k := 1; k <= steps; k++ {
		part := p
		part.q = p.q * float64(k) / steps
		for n := 0; ; n++ {
			miss, _ := part.shoot(slope)
			if math.Hypot(miss[0], miss[1]) < 1e-10 {
				break
			}
			if n == 30 {
				t.Fatal("the equations do not settle")
			}
			var j [2][2]float64
			for c := range 2 {
				by := slope
				step := 1e-6 * (1e-3 + math.Abs(slope[c]))
				by[c] += step
				m, _ := part.shoot(by)
				j[0][c], j[1][c] = (m[0]-miss[0])/step, (m[1]-miss[1])/step
			}
			det := j[0][0]*j[1][1] - j[0][1]*j[1][0]
			slope[0] -= (j[1][1]*miss[0] - j[0][1]*miss[1]) / det
			slope[1] -= (j[0][0]*miss[1] - j[1][0]*miss[0]) / det
		}
	}
	_, w := p.shoot(slope)
	return w
}

// shoot goes from the middle to the rim with Runge and Kutta's steps: what is left of
// ψ and u/a there, and how far the middle lies above the rim.
func (p roundPlate) shoot(slope [2]float64) (miss [2]float64, w float64) {
	bend := p.e * p.h * p.h * p.h / (12 * (1 - p.nu*p.nu))
	change := func(r float64, y [5]float64) [5]float64 {
		psi, dpsi, u, du := y[0], y[1], y[2], y[3]
		n := p.e * p.h / (1 - p.nu*p.nu) * (du + psi*psi/2 + p.nu*u/r)
		return [5]float64{dpsi, (n*psi+p.q*r/2)/bend - dpsi/r + psi/(r*r), du,
			-(1-p.nu)*psi*psi/(2*r) - psi*dpsi - du/r + u/(r*r), psi}
	}
	add := func(y [5]float64, by float64, k [5]float64) [5]float64 {
		for i := range y {
			y[i] += by * k[i]
		}
		return y
	}
	const steps = 400
	start := p.a / 1000
	r, h := start, (p.a-start)/steps
	y := [5]float64{slope[0] * start, slope[0], slope[1] * start, slope[1], slope[0] * start * start / 2}
	for range steps {
		k1 := change(r, y)
		k2 := change(r+h/2, add(y, h/2, k1))
		k3 := change(r+h/2, add(y, h/2, k2))
		k4 := change(r+h, add(y, h, k3))
		for i := range y {
			y[i] += h / 6 * (k1[i] + 2*k2[i] + 2*k3[i] + k4[i])
		}
		r += h
	}
	return [2]float64{y[0], y[2] / p.a}, -y[4]
}
