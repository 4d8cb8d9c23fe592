package shell

import (
	"context"
	"math"
	"runtime"
	"strconv"
	"testing"
	"time"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
)

// Plies of the comparison, their shear through the wall as in the plane but for
// 3.5 GPa across the fibres.
var (
	// T300/5208 (Kaw, table 2.1)
	straight = wall.Ply{G13: 7.17e9, G23: 3.5e9, Elastic: &wall.Elastic{E1: 181e9, E2: 10.3e9, G12: 7.17e9, Nu12: 0.28}}
	cloth    = wall.Ply{G13: 3.5e9, G23: 3.5e9, Elastic: &wall.Elastic{E1: 55e9, E2: 55e9, G12: 4.2e9, Nu12: 0.05}}
)

func stackOf(p wall.Ply, thick float64, degrees ...float64) (plies []wall.Ply) {
	for _, d := range degrees {
		p.Thickness, p.Angle = si.Length(thick), si.Degrees(d)
		plies = append(plies, p)
	}
	return plies
}

// comparison is a wall under pressure that both work out, on the same points.
type comparison struct {
	name     string
	surface  *quads
	plies    []wall.Ply
	pressure si.Pressure
	large    bool
}

// tray is a box of 324 by 244 mm and 60 deep, with fillets of 15 mm.
func tray(n int) *quads {
	return pan{0.12, 0.08, 0.03, 0.015, 10 * math.Pi / 180, 0.06, [3]int{n * 3 / 8, n / 2, n * 3 / 4}}.mesh(n)
}

// Small motions against layered quadratic shells of a general-purpose solver,
// with stacks that couple stretch and bending: the largest motion within 2 percent,
// and off the row of squares at the clamped rim each stress in each ply within 5
// percent of the largest of its kind, and of itself where it is above 0.7 of that.
func TestSmallMotionsAgainstOutsideSolver(t *testing.T) {
	for _, c := range []comparison{
		{"box", tray(16), stackOf(straight, 0.25e-3, 0, 90, 45, -45), 1000, false},
		{"dome", dome(16, 24, 0.25, 40*math.Pi/180), stackOf(straight, 0.5e-3, 0, 90, 45, -45), 1000, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			theirs, ours := c.run(t)
			sameMotion(t, theirs, ours, 0.02)
			for kind, name := range [3]string{"along", "across", "shear"} {
				c.sameStress(t, name, kind, theirs, ours)
			}
		})
	}
}

// Motions of two to three times the wall's thickness, well short of the linear ones:
// within 3 percent.
func TestLargeMotionsAgainstOutsideSolver(t *testing.T) {
	for _, c := range []comparison{
		{"plate", disc(6, 6, 0.1), stackOf(cloth, 0.25e-3, 0, 45, 45, 0), 30e3, true},
		{"box", tray(8), stackOf(straight, 0.25e-3, 0, 90, 45, -45), 10e3, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			theirs, ours := c.run(t)
			sameMotion(t, theirs, ours, 0.03)
			c.large = false
			linear, _ := furthest(c.inside(t).move)
			most, _ := furthest(ours.move)
			if thick := float64(len(c.plies)) * float64(c.plies[0].Thickness); most < 2*thick || most > linear/1.3 {
				t.Errorf("moves %.2g m, linear %.2g: not a case of large motion", most, linear)
			}
		})
	}
}

// run works it out both ways and tells how long each took.
func (c *comparison) run(t testing.TB) (theirs, ours outside) {
	t.Helper()
	theirs, ours = askOutside(t, c), c.inside(t)
	t.Logf("%d points, %d squares: ccx took %.2f s, ours %.3f s, one to %.1f", len(c.surface.at), len(c.surface.squares),
		theirs.took.Seconds(), ours.took.Seconds(), theirs.took.Seconds()/ours.took.Seconds())
	return theirs, ours
}

func sameMotion(t testing.TB, theirs, ours outside, bar float64) {
	t.Helper()
	want, _ := furthest(theirs.move)
	got, _ := furthest(ours.move)
	t.Logf("moves %.4g m, ccx %.4g: %+.2f %%", got, want, 100*(got/want-1))
	within(t, "largest motion", got, want, bar)
}

// sameStress leaves out the squares along the rim, which come last.
func (c *comparison) sameStress(t *testing.T, name string, kind int, theirs, ours outside) {
	t.Helper()
	const bar, high = 0.05, 0.7
	var most, off, own float64
	each := func(f func(want, got float64)) {
		for k := range len(c.surface.squares) - len(c.surface.rim)/2 {
			for i := range c.plies {
				for z := range layerHeights {
					f(theirs.stress[k][i][z][kind], ours.stress[k][i][z][kind])
				}
			}
		}
	}
	each(func(want, _ float64) { most = math.Max(most, math.Abs(want)) })
	each(func(want, got float64) {
		off = math.Max(off, math.Abs(got-want)/most)
		if math.Abs(want) > high*most {
			own = math.Max(own, math.Abs(got/want-1))
		}
	})
	t.Logf("stress %s: largest %.3g Pa, off by %.1f %% of it, high ones by %.1f %% of themselves", name, most, 100*off, 100*own)
	if !(off <= bar && own <= bar) {
		t.Errorf("stress %s is off by %.1f %% of the largest, high ones by %.1f %%", name, 100*off, 100*own)
	}
}

// BenchmarkBesideOutsideSolver times both on the same points and cores in one run.
func BenchmarkBesideOutsideSolver(b *testing.B) {
	b.Setenv("OMP_NUM_THREADS", strconv.Itoa(runtime.GOMAXPROCS(0)))
	for _, c := range []comparison{
		{"box", tray(24), stackOf(straight, 0.25e-3, 0, 90, 45, -45), 1000, false},
		{"dome", dome(24, 36, 0.25, 40*math.Pi/180), stackOf(cloth, 0.5e-3, 0, 45, 45, 0), 1000, false},
		{"box sucked in", tray(8), stackOf(cloth, 0.25e-3, 0, 45, 45, 0), -10e3, true},
		{"large motion", tray(16), stackOf(straight, 0.25e-3, 0, 90, 45, -45), 10e3, true},
	} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				theirs, ours := c.run(b)
				b.ReportMetric(theirs.took.Seconds(), "ccx-s")
				sameMotion(b, theirs, ours, 0.03)
				b.ReportMetric(ours.took.Seconds(), "ours-s")
			}
		})
	}
}

// inside is our own answer in the same shape.
func (c *comparison) inside(t testing.TB) outside {
	t.Helper()
	q, plies, p := c.surface, c.plies, c.pressure
	start := time.Now()
	w, err := wall.Stiffen(plies)
	if err != nil {
		t.Fatal(err)
	}
	s, err := New(context.Background(), q.model(Section{Wall: w, Mass: 1}))
	if err != nil {
		t.Fatal(err)
	}
	o := outside{stress: make([][][2]wall.Vec, len(q.squares))}
	var strains func(f int) Answer
	if c.large {
		m, err := s.Large(context.Background(), Push{Load: s.NoLoad(), Follow: p}, 4)
		if err != nil {
			t.Fatal(err)
		}
		o.move, strains = m.Move, m.Strains
	} else {
		load := s.NoLoad()
		s.Pressure(&load, p)
		m := s.Solve(load)
		o.move, strains = m.Move, func(f int) Answer { return s.Strains(f, m)[0] }
	}
	for k := range o.stress {
		o.stress[k] = middleStress(q.ours, plies, strains, k)
	}
	o.took = time.Since(start)
	return o
}

// middleStress is of the mean strain of a square's triangles.
func middleStress(m *mesh.Mesh, plies []wall.Ply, strains func(f int) Answer, k int) [][2]wall.Vec {
	var e wall.Strain
	var whole float64
	for f := trianglesASquare * k; f < trianglesASquare*(k+1); f++ {
		area := r3.Norm(m.AreaVector(f))
		whole += area
		for _, at := range strains(f).At {
			for i := range 3 {
				e.Mid[i] += area / 3 * at.Mid[i]
				e.Curvature[i] += area / 3 * at.Curvature[i]
			}
		}
	}
	for i := range 3 {
		e.Mid[i], e.Curvature[i] = e.Mid[i]/whole, e.Curvature[i]/whole
	}
	out := make([][2]wall.Vec, len(plies))
	var h float64
	for _, p := range plies {
		h += float64(p.Thickness)
	}
	z := -h / 2
	for i, p := range plies {
		half := float64(p.Thickness) / 2
		for c, at := range layerHeights {
			out[i][c] = p.Stress(e.At(z+half+at*half), 0)
		}
		z += 2 * half
	}
	return out
}

func furthest(move []r3.Vec) (size float64, at int) {
	for v, u := range move {
		if r3.Norm(u) > size {
			size, at = r3.Norm(u), v
		}
	}
	return size, at
}
