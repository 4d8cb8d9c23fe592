package shell

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// obstacle is a published case that elements stumble over: run works it out with
// n triangles' sides along the longest side and returns its displacements.
type obstacle struct {
	name     string
	run      func(t *testing.T, n int) []float64
	accepted []float64
}

// Every obstacle comes within 2 percent of the accepted value at 32 sides or
// fewer, and gets no worse on the way. [macneal1985] where nothing else is named.
func TestObstacleCourse(t *testing.T) {
	const bar = 0.02
	c := oneCase(t, "shell_obstacle_course")
	accepted := func(keys ...string) (out []float64) {
		for _, k := range keys {
			out = append(out, read[float64](t, c.Expected, k))
		}
		return out
	}
	hole := accepted("hemisphere_18deg_hole_converged") // the source's target is rounded to 0.0940
	for _, o := range []obstacle{
		// 0.3024; the limit of a thin shell is 0.3006
		{"roof", roof, accepted("scordelis_lo")},
		{"pinched cylinder", pinchedCylinder, accepted("pinched_cylinder")},
		{"hemisphere with hole", hemisphere, append(hole, hole...)},
		{"closed hemisphere", closedHemisphere, accepted("hemisphere_closed", "hemisphere_closed")},
		{"twisted beam, thick", twistedBeam(0.32, 1), accepted("twisted_beam_in_plane", "twisted_beam_out_of_plane")},
		{"twisted beam, thin", twistedBeam(0.0032, 1e-6), accepted("twisted_beam_thin_in_plane", "twisted_beam_thin_out_of_plane")},
		// Morley 1963, from memory: 0.000408·q·a⁴/D, edges may turn freely
		{"skew plate, 30 degrees", skewPlate, []float64{0.000408}},
	} {
		t.Run(o.name, func(t *testing.T) {
			for _, n := range []int{8, 16, 32} {
				got := o.run(t, n)
				for k, want := range o.accepted {
					off := got[k]/want - 1
					t.Logf("%2d sides: %.5g, %+.2f %%", n, got[k], 100*off)
					if n == 32 && !(math.Abs(off) <= bar) {
						t.Errorf("%d sides: %.5g, want %.5g (%+.2f %%)", n, got[k], want, 100*off)
					}
				}
			}
		})
	}
}

// roof is a quarter of a barrel vault under its weight, on end diaphragms: how far
// the free edge sinks at midspan.
func roof(t *testing.T, n int) []float64 {
	const r, l, half = 25.0, 50.0, 40 * math.Pi / 180
	s := newSheet(n, n, true, func(u, v float64) r3.Vec {
		return r3.Vec{X: r * math.Sin(u*half), Y: v * l / 2, Z: r * math.Cos(u*half)}
	})
	m := s.model(isotropic(4.32e8, 0, 0.25, 1), r3.Vec{Y: 1})
	s.hold(m, MoveX|MoveZ, func(i, j int) bool { return j == 0 })       // diaphragm
	s.hold(m, MoveY|TurnX|TurnZ, func(i, j int) bool { return j == n }) // middle of the span
	s.hold(m, MoveX|TurnY|TurnZ, func(i, j int) bool { return i == 0 }) // crown
	sv := solver(t, m)
	load := sv.NoLoad()
	sv.Inertia(&load, r3.Vec{Z: -90})
	return []float64{-sv.Solve(load).Move[s.at(n, n)].Z}
}

// pinchedCylinder is an eighth of a cylinder with end diaphragms and two opposite
// forces of 1 at midspan: how far it moves under the force.
func pinchedCylinder(t *testing.T, n int) []float64 {
	const r, l = 300.0, 600.0
	s := newSheet(n, n, true, func(u, v float64) r3.Vec {
		return r3.Vec{X: r * math.Sin(u*math.Pi/2), Y: v * l / 2, Z: r * math.Cos(u*math.Pi/2)}
	})
	m := s.model(isotropic(3e6, 0.3, 3, 1), r3.Vec{Y: 1})
	s.hold(m, MoveX|MoveZ, func(i, j int) bool { return j == 0 })
	s.hold(m, MoveY|TurnX|TurnZ, func(i, j int) bool { return j == n })
	s.hold(m, MoveX|TurnY|TurnZ, func(i, j int) bool { return i == 0 })
	s.hold(m, MoveZ|TurnY|TurnX, func(i, j int) bool { return i == n })
	sv := solver(t, m)
	load := sv.NoLoad()
	load.Force[s.at(0, n)].Z = -0.25
	return []float64{-sv.Solve(load).Move[s.at(0, n)].Z}
}

// hemisphere is a quarter of one with a hole of 18 degrees, pulled outward and
// pushed inward by forces of 2 at the equator: how far it moves there. It bends
// without stretching.
func hemisphere(t *testing.T, n int) []float64 {
	s, m := hemisphereModel(n)
	return pinchEquator(t, m, s.at(0, 0), s.at(n, 0))
}

func hemisphereModel(n int) (sheet, *Model) {
	const r = 10.0
	s := newSheet(n, n, true, func(u, v float64) r3.Vec {
		lat, lon := v*72*math.Pi/180, u*math.Pi/2
		return r3.Vec{X: r * math.Cos(lat) * math.Cos(lon), Y: r * math.Cos(lat) * math.Sin(lon), Z: r * math.Sin(lat)}
	})
	m := s.model(isotropic(6.825e7, 0.3, 0.04, 1), r3.Vec{Z: 1})
	s.hold(m, MoveY|TurnX|TurnZ, func(i, j int) bool { return i == 0 })
	s.hold(m, MoveX|TurnY|TurnZ, func(i, j int) bool { return i == n })
	m.Held[s.at(0, 0)] |= MoveZ
	return s, m
}

func pinchEquator(t *testing.T, m *Model, out, in int32) []float64 {
	sv := solver(t, m)
	load := sv.NoLoad()
	load.Force[out].X, load.Force[in].Y = 1, -1
	got := sv.Solve(load)
	return []float64{got.Move[out].X, -got.Move[in].Y}
}

// closedHemisphere has no hole; the quarter is a flat triangle cut in n² and blown
// up, so that the pole is a corner like the others.
func closedHemisphere(t *testing.T, n int) []float64 {
	const r = 10.0
	s := octant(n, r)
	m := s.model(isotropic(6.825e7, 0.3, 0.04, 1), r3.Vec{X: 1, Y: -2, Z: 0.1})
	for v, p := range s.m.Vertices {
		if math.Abs(p.Y) < 1e-9*r {
			m.Held[v] |= MoveY | TurnX | TurnZ
		}
		if math.Abs(p.X) < 1e-9*r {
			m.Held[v] |= MoveX | TurnY | TurnZ
		}
	}
	m.Held[0] |= MoveZ
	return pinchEquator(t, m, 0, int32(n))
}

// twistedBeam is a strip turned by 90 degrees over its length, with a force at the
// tip along its width there and one across it.
func twistedBeam(h, f float64) func(t *testing.T, n int) []float64 {
	return func(t *testing.T, n int) []float64 {
		const l, b = 12.0, 1.1
		wide := 2 * ((n + 11) / 12)
		s := newSheet(n, wide, true, func(u, v float64) r3.Vec {
			a, y := u*math.Pi/2, b*(v-0.5)
			return r3.Vec{X: l * u, Y: y * math.Cos(a), Z: y * math.Sin(a)}
		})
		m := s.model(isotropic(29e6, 0.22, h, 1), xDir)
		s.hold(m, Clamped, func(i, j int) bool { return i == 0 })
		sv := solver(t, m)
		var out []float64
		for _, dir := range []r3.Vec{{Z: 1}, {Y: 1}} {
			load := sv.NoLoad()
			for j := range wide + 1 {
				share := 1 / float64(wide)
				if j == 0 || j == wide {
					share /= 2
				}
				load.Force[s.at(n, j)] = r3.Scale(f*share, dir)
			}
			out = append(out, r3.Dot(sv.Solve(load).Move[s.at(n, wide/2)], dir))
		}
		return out
	}
}

// skewPlate is a thin rhombus with corners of 30 degrees on edges that may turn,
// under even pressure: the middle's w·D/(q·a⁴). The moments grow without bound in
// the blunt corners, so the mesh is finer towards the edges, and squares are cut along
// the shorter diagonal.
func skewPlate(t *testing.T, n int) []float64 {
	const a, h, e, nu, q = 100.0, 0.1, 1e7, 0.3, 1.0
	sin, cos := math.Sincos(math.Pi / 6)
	s := newSheet(n, n, false, func(u, v float64) r3.Vec {
		u, v = graded(u), graded(v)
		return r3.Vec{X: a * (u - v*cos), Y: a * v * sin}
	})
	m := s.model(isotropic(e, nu, h, 1), xDir)
	s.hold(m, MoveZ, s.rim)
	s.hold(m, MoveX|MoveY|TurnZ, func(i, j int) bool { return true })
	sv := solver(t, m)
	load := sv.NoLoad()
	sv.Pressure(&load, q)
	d := e * h * h * h / (12 * (1 - nu*nu))
	return []float64{sv.Solve(load).Move[s.at(n/2, n/2)].Z * d / (q * a * a * a * a)}
}

// graded moves evenly spaced places in [0, 1] towards both ends.
func graded(u float64) float64 { return (1 - math.Cos(math.Pi*u)) / 2 }
