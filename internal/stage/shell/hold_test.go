package shell

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/si"
)

// blob is a bulged sheet on springs at its rim that lean any way.
func blob(t *testing.T) (*Solver, sheet) {
	t.Helper()
	s := newSheet(8, 7, true, func(u, v float64) r3.Vec {
		x, y := u-0.5, v-0.5
		return r3.Vec{X: x, Y: y, Z: 0.2 - x*x - 0.5*y*y}
	})
	m := s.model(laminated(t), xDir)
	for v := range m.Held {
		if i, j := v%9, v/9; s.rim(i, j) && (i+j)%3 == 0 {
			m.Springs = append(m.Springs, Spring{Vertex: int32(v), Axis: r3.Unit(r3.Vec{X: float64(i), Y: 1, Z: float64(j) - 3}), Along: 3e5, Across: 1e5})
		}
	}
	m.Held[s.at(4, 0)] = Pinned
	return solver(t, m), s
}

func balance(t *testing.T, what string, vertices, force, load []r3.Vec, tolerance float64) {
	t.Helper()
	var sum, moment r3.Vec
	var size float64
	for v := range force {
		f := r3.Add(force[v], load[v])
		sum, moment = r3.Add(sum, f), r3.Add(moment, r3.Cross(vertices[v], f))
		size += r3.Norm(force[v])
	}
	if !(r3.Norm(sum) <= tolerance*size && size > 0) {
		t.Errorf("%s: %v left of forces of %g", what, sum, size)
	}
}

// What springs and holds push balances the load, and each spring pushes with its
// stiffness times its motion.
func TestSpringsBalanceTheLoad(t *testing.T) {
	sv, s := blob(t)
	load := sv.NoLoad()
	sv.Pressure(&load, 1000)
	sv.Inertia(&load, r3.Vec{X: 30, Y: -20, Z: 10})
	load.Free = Free{DT: 40, Across: 10, Ground: 3e-4}
	m := sv.Solve(load)
	force, _ := sv.Reactions(m, load)
	balance(t, "linear", s.m.Vertices, force, load.Force, 1e-9)
	for i := range sv.model.Springs {
		p := &sv.model.Springs[i]
		want := r3.Scale(-1, p.Pulls(m.Move[p.Vertex]))
		if off := r3.Norm(r3.Sub(force[p.Vertex], want)); off > 1e-8*r3.Norm(want) {
			t.Errorf("spring %d pushes %v, want %v", i, force[p.Vertex], want)
		}
	}
	far, err := sv.Large(context.Background(), Push{Load: load}, 1)
	if err != nil {
		t.Fatal(err)
	}
	balance(t, "large", s.m.Vertices, far.Reactions(), load.Force, 10*balanced)
}

// A stiff plate on four springs sinks by the load over their stiffness.
func TestPlateOnSprings(t *testing.T) {
	s := newSheet(2, 2, false, flat(0.1, 0.1))
	m := s.model(isotropic(70e9, 0.3, 0.02, 1), xDir)
	for _, v := range []int32{s.at(0, 0), s.at(2, 0), s.at(0, 2), s.at(2, 2)} {
		m.Springs = append(m.Springs, Spring{Vertex: v, Axis: r3.Vec{Z: 1}, Along: 1000, Across: 500})
	}
	sv := solver(t, m)
	load := sv.NoLoad()
	sv.Pressure(&load, 400)
	within(t, "sinks", sv.Solve(load).Move[s.at(1, 1)].Z, 400*0.01/4000, 1e-3)
	load = sv.NoLoad()
	load.Force[s.at(1, 1)].X = 8
	within(t, "shifts", sv.Solve(load).Move[s.at(1, 1)].X, 8.0/2000, 1e-3)
}

// A wall of one material on a ground that grows as it does feels nothing, however it
// curves and is held.
func TestGroundThatGrowsAlikeGivesNoForce(t *testing.T) {
	s := octant(6, 0.3)
	m := s.model(isotropic(70e9, 0.3, 1e-3, 1), r3.Vec{X: 1, Y: -2, Z: 0.1})
	for _, v := range []int{0, 6, 9, len(m.Held) - 1} {
		m.Held[v] = Clamped
	}
	m.Springs = []Spring{{Vertex: 12, Axis: r3.Vec{X: 1}, Along: 1e6, Across: 1e6}}
	sv := solver(t, m)
	load := sv.NoLoad()
	load.Free = Free{DT: 50, Ground: 50 * 1e-5}
	got := sv.Solve(load)
	force, _ := sv.Reactions(got, load)
	for v := range got.Move {
		if r3.Norm(got.Move[v]) > 1e-12 || r3.Norm(force[v]) > 1e-4 { // 4e4 N/m would hold the heat
			t.Fatalf("vertex %d moves %v under %v", v, got.Move[v], force[v])
		}
	}
}

// A clamped plate on a ground that grows is stretched by E·g·h/(1−ν) both ways, and
// held warmer on one side it is bent by E·α·δ·h²/(12·(1−ν)); neither moves it. A free
// one curves to a sphere: w = ½·(α·δ/h)·r².
func TestHeldPlate(t *testing.T) {
	const e, nu, h, g, δ = 70e9, 0.3, 2e-3, 4e-4, 30.0
	s := newSheet(6, 6, false, flat(0.3, 0.3))
	m := s.model(isotropic(e, nu, h, 1), xDir)
	s.hold(m, Clamped, s.rim)
	sv := solver(t, m)
	sum := func(free Free) (force, moment r3.Vec) {
		load := sv.NoLoad()
		load.Free = free
		got := sv.Solve(load)
		for v := range got.Move {
			if r3.Norm(got.Move[v]) > 1e-12 {
				t.Fatalf("vertex %d moves %v", v, got.Move[v])
			}
		}
		f, mo := sv.Reactions(got, load)
		for j := range 7 {
			force, moment = r3.Add(force, f[s.at(0, j)]), r3.Add(moment, mo[s.at(0, j)])
		}
		return force, moment
	}
	// The side at x = 0 and half of the corners' share along y, which cancels.
	force, _ := sum(Free{Ground: g})
	within(t, "stretch", -force.X, e*g*h/(1-nu)*0.3, 1e-9)
	_, moment := sum(Free{Across: δ})
	within(t, "bending", math.Abs(moment.Y), e*1e-5*δ*h*h/(12*(1-nu))*0.3, 1e-9)

	m = s.model(isotropic(e, nu, h, 1), xDir)
	m.Held[s.at(3, 3)] = Clamped
	sv = solver(t, m)
	load := sv.NoLoad()
	load.Across = si.TemperatureDifference(δ)
	got := sv.Solve(load)
	within(t, "sphere", math.Abs(got.Move[s.at(6, 6)].Z), 0.5*1e-5*δ/h*2*0.15*0.15, 1e-6)
	if got.Move[s.at(6, 6)].Z > 0 { // the top grows: the rim goes down
		t.Error("it curves the wrong way")
	}
}
