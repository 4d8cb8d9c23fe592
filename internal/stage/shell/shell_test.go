package shell

import (
	"context"
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
)

// tube is a closed ring of a cylinder, x along its axis, outward normals.
func tube(n, long int, r, l float64) sheet {
	s := newSheet(n, long, false, func(u, v float64) r3.Vec {
		return r3.Vec{X: r * math.Cos(2*math.Pi*u), Y: r * math.Sin(2*math.Pi*u), Z: l * v}
	})
	for f, t := range s.m.Triangles { // the last column is the first
		for k, v := range t {
			if int(v)%(n+1) == n {
				s.m.Triangles[f][k] = v - int32(n)
			}
		}
	}
	return s
}

// An open tube under inner pressure: hoop force p·R, growth p·R²/(E·t).
func TestTubeUnderPressure(t *testing.T) {
	const r, l, p, e, th = 0.25, 0.5, 50e3, 59.2e9, 1e-3
	s := tube(64, 10, r, l)
	m := s.model(isotropic(e, 0.32, th, 1), r3.Vec{Z: 1})
	s.hold(m, MoveZ, func(i, j int) bool { return j == 0 })
	m.Held[s.at(0, 0)] |= MoveX | MoveY
	m.Held[s.at(16, 0)] |= MoveX // a quarter round: stops the spin and nothing else
	sv := solver(t, m)
	load := sv.NoLoad()
	sv.Pressure(&load, si.Pressure(p))
	got := sv.Solve(load)
	a, b := got.Move[s.at(0, 5)], got.Move[s.at(32, 5)]
	within(t, "growth of the diameter", a.X-b.X, 2*p*r*r/(e*th), 0.005)
	w := m.Sections[0].Wall
	for _, strain := range sv.Strains(5*2*64, got)[0].At {
		n := w.A.Times(strain.Mid)
		within(t, "hoop force", n[1], p*r, 0.01)
		if math.Abs(n[0]) > 0.01*p*r {
			t.Errorf("axial force %g of an open tube", n[0])
		}
	}
}

// Turning the part with its load turns the answer; twice the load, twice the
// answer; and what the holds push back balances the load.
func TestTurningScalingBalance(t *testing.T) {
	dome := func(turn r3.Rotation) (*Model, sheet) {
		s := newSheet(8, 8, false, func(u, v float64) r3.Vec {
			x, y := u-0.5, v-0.5
			return turn.Rotate(r3.Vec{X: x, Y: y, Z: 0.3 - x*x - 0.5*y*y})
		})
		m := s.model(laminated(t), turn.Rotate(xDir))
		s.hold(m, Clamped, s.rim)
		return m, s
	}
	answer := func(turn r3.Rotation, size float64) (r3.Vec, r3.Vec) {
		m, s := dome(turn)
		sv := solver(t, m)
		load := sv.NoLoad()
		sv.Pressure(&load, si.Pressure(3000*size))
		load.Force[s.at(3, 5)] = turn.Rotate(r3.Vec{X: 20 * size, Z: -50 * size})
		load.DT = si.TemperatureDifference(-20 * size)
		got := sv.Solve(load)
		force, moment := sv.Reactions(got, load)
		var sum, spin, total r3.Vec
		for v := range force {
			sum = r3.Add(sum, r3.Add(force[v], load.Force[v]))
			total = r3.Add(total, load.Force[v])
			at := m.Mesh.Vertices[v]
			spin = r3.Add(spin, r3.Add(r3.Cross(at, r3.Add(force[v], load.Force[v])), moment[v]))
		}
		if r3.Norm(sum) > 1e-9*r3.Norm(total) || r3.Norm(spin) > 1e-9*r3.Norm(total) {
			t.Errorf("forces left over %v of %v, moments %v", sum, total, spin)
		}
		v := s.at(4, 4)
		return got.Move[v], got.Turn[v]
	}
	none := r3.NewRotation(0, xDir)
	turn := r3.NewRotation(1.1, r3.Vec{X: -1, Y: 0.4, Z: 2})
	move, spin := answer(none, 1)
	move2, spin2 := answer(turn, 1)
	if d := r3.Norm(r3.Sub(turn.Rotate(move), move2)); d > 1e-8*r3.Norm(move) {
		t.Errorf("turned part moves otherwise: %v, want %v", move2, turn.Rotate(move))
	}
	if d := r3.Norm(r3.Sub(turn.Rotate(spin), spin2)); d > 1e-8*r3.Norm(spin) {
		t.Errorf("turned part turns otherwise")
	}
	double, _ := answer(none, 2)
	if d := r3.Norm(r3.Sub(double, r3.Scale(2, move))); d > 1e-9*r3.Norm(move) {
		t.Errorf("double load: %v, want twice %v", double, move)
	}
}

// The stiffness from membrane forces is the second derivative of their work on
// slopes; for an even force N on a triangle that tilts as a plane by (a, b) the
// work is ½·A·(Nx·a² + Ny·b² + 2·Nxy·a·b).
func TestStressStiffnessOfATiltedTriangle(t *testing.T) {
	s := newSheet(1, 1, false, flat(0.3, 0.2))
	m := s.model(isotropic(70e9, 0.3, 1e-3, 1), xDir)
	elements, err := m.elements()
	if err != nil {
		t.Fatal(err)
	}
	e := &elements[0]
	n := wall.Vec{100, -40, 30}
	k := e.stressStiffness([3]wall.Vec{n, n, n})
	const a, b = 0.01, -0.02
	var q row18
	for c := range 3 {
		q[6*c+2] = a*e.x[c] + b*e.y[c]
		q[6*c+3], q[6*c+4] = b, -a
	}
	var work float64
	for i := range 18 {
		for j := range 18 {
			work += q[i] * k[i*18+j] * q[j] / 2
		}
	}
	within(t, "work", work, e.area*(n[0]*a*a+n[1]*b*b+2*n[2]*a*b)/2, 1e-12)
}

func TestRefusesLooseAndCrookedParts(t *testing.T) {
	s := newSheet(3, 3, false, flat(1, 1))
	m := s.model(isotropic(70e9, 0.3, 1e-3, 1), xDir)
	var e *fault.Input
	if _, err := New(context.Background(), m); !errors.As(err, &e) || e.Field != "part.held" {
		t.Errorf("loose part: %v", err)
	}
	m.Axis[4] = r3.Vec{Z: 1}
	if _, err := New(context.Background(), m); !errors.As(err, &e) || e.Field != "plies.warp" {
		t.Errorf("warp through the wall: %v", err)
	}
	m.Axis[4] = xDir
	m.Mesh.Vertices[0] = m.Mesh.Vertices[1]
	if _, err := New(context.Background(), m); !errors.As(err, &e) || e.Field != "mesh" {
		t.Errorf("flat triangle: %v", err)
	}
}

// The normals that a mesh is given are the sphere's own: exactly within, nearly at
// the rims, where those of the triangles are off by a third of a side's angle, 0.07.
func TestNormalsOfASphere(t *testing.T) {
	s := octant(8, 2)
	surface := newCurved(s.m)
	for f, tri := range s.m.Triangles {
		for k, n := range surface.normals(f) {
			p, limit := r3.Unit(s.m.Vertices[tri[k]]), 1e-12
			if p.X*p.Y*p.Z < 1e-9 {
				limit = 0.02
			}
			if off := r3.Norm(r3.Sub(n, p)); off > limit {
				t.Fatalf("triangle %d corner %d: normal off by %.2e", f, k, off)
			}
		}
	}
}

// Two flats that meet at a right angle keep their own normals at the fold.
func TestFoldsStaySharp(t *testing.T) {
	s := newSheet(6, 3, true, func(u, v float64) r3.Vec {
		return r3.Vec{X: math.Min(u, 0.5), Y: v, Z: math.Min(0, 0.5-u)}
	})
	surface := newCurved(s.m)
	for f := range s.m.Triangles {
		for _, n := range surface.normals(f) {
			if r3.Norm(r3.Sub(n, s.m.FaceNormal(f))) > 1e-12 {
				t.Fatalf("triangle %d: normal %v, want %v", f, n, s.m.FaceNormal(f))
			}
		}
	}
}

// A flat in large triangles that runs into a fillet in small ones keeps its own
// normal where they meet, and the fillet has those of its arc: curve on one side
// does not curve the other.
func TestFilletDoesNotCurveTheFlat(t *testing.T) {
	const long, r, rows = 0.1, 0.01, 4
	s := newSheet(2+rows, 6, true, func(u, v float64) r3.Vec {
		at := r3.Vec{X: long * math.Min(u*(2+rows)/2, 1), Y: 0.1 * v}
		if turned := math.Max(0, u*(2+rows)-2) / rows * math.Pi / 2; turned > 0 {
			at.X, at.Z = long+r*math.Sin(turned), r*(1-math.Cos(turned))
		}
		return at
	})
	surface := newCurved(s.m)
	for f, tri := range s.m.Triangles {
		for k, n := range surface.normals(f) {
			at := s.m.Vertices[tri[k]]
			want := r3.Vec{Z: 1}
			if at.X > long {
				want = r3.Scale(1/r, r3.Vec{X: long - at.X, Z: r - at.Z})
			}
			if off := r3.Norm(r3.Sub(n, want)); off > 0.01 {
				t.Errorf("triangle %d: normal %v at %v, want %v", f, n, at, want)
			}
		}
	}
}

// A curved part that moves as a rigid body has no forces in it.
func TestRigidMotionOfACurvedPartIsFree(t *testing.T) {
	s := octant(5, 0.3)
	sv := solver(t, func() *Model { m := s.model(laminated(t), r3.Vec{X: 1, Y: -2, Z: 0.1}); m.Held[0] = Clamped; return m }())
	shift, spin := r3.Vec{X: 0.1, Y: -0.2, Z: 0.3}, r3.Vec{X: -0.02, Y: 0.03, Z: 0.05}
	var q Motion
	for _, v := range s.m.Vertices {
		q.Move, q.Turn = append(q.Move, r3.Add(shift, r3.Cross(spin, v))), append(q.Turn, spin)
	}
	f, mo := sv.inner(q, 0, all)
	for v := range f {
		if r3.Norm(f[v]) > 1e-5 || r3.Norm(mo[v]) > 1e-5 { // A is 1e8 N/m
			t.Fatalf("vertex %d: %v %v", v, f[v], mo[v])
		}
	}
}

// A free part of one material that is heated evenly grows without stress, folds
// and curves and all.
func TestHeatedFreePartHasNoStress(t *testing.T) {
	for name, s := range map[string]sheet{"sphere": octant(6, 0.3), "fold": newSheet(6, 4, true, func(u, v float64) r3.Vec {
		return r3.Vec{X: math.Min(u, 0.5), Y: v, Z: math.Min(0, 0.5-u)}
	})} {
		m := s.model(isotropic(70e9, 0.3, 1e-3, 1), r3.Vec{X: 1, Y: -2, Z: 0.1})
		m.Held[4] = Clamped // one vertex, no force
		sv := solver(t, m)
		load := sv.NoLoad()
		load.DT = 40
		got := sv.Solve(load)
		w := &m.Sections[0].Wall
		for f := range m.Mesh.Triangles {
			for _, e := range sv.Strains(f, got)[0].At {
				n, k := w.A.Times(e.Mid), e.Curvature
				for i := range 3 {
					if off := math.Abs(n[i] - 40*w.NT[i]); off > 1e-8*40*w.NT[0] || math.Abs(k[i]) > 1e-8 {
						t.Fatalf("%s: triangle %d: force %g of %g, curvature %g", name, f, off, 40*w.NT[0], k[i])
					}
				}
			}
		}
	}
}
