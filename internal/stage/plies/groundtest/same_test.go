package groundtest

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/bind"
	"laywright/internal/base/material"
	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/base/si"
	"laywright/internal/stage/plies"
)

// How far the same mould, given another way, may move a result: by the rounding
// of its coordinates, grown by a solver that stops at a residual.
const (
	sameShear   = 0.02 * deg
	sameArea    = 1e-5 // relative, of the cloth inside the trim line
	sameOutline = 5e-5 // of the place of a cut line, m, which is drawn to 0.2 mm

	// A mirrored mould is laid from the other quadrant first, and comes to rest
	// from the other side: by what the solver's residual leaves.
	mirroredShear = 0.1 * deg
	mirroredArea  = 1e-4
)

// pose is how a mould is given: mirrored in x, turned about a skew axis, sized,
// then shifted; with its vertices and triangles in another order where mixed is
// a seed and not 0.
type pose struct {
	how    string
	mirror bool
	angle  float64 // rad
	size   float64
	shift  r3.Vec
	mixed  uint64
}

var poses = []pose{
	{how: "numbered anew", size: 1, mixed: 11},
	{how: "moved", size: 1, shift: r3.Vec{X: 2, Y: -3, Z: 1}},
	{how: "turned", size: 1, angle: 1.1},
	{how: "tenfold", size: 10},
	{how: "a tenth", size: 0.1},
	{how: "mirrored", size: 1, mirror: true},
	{how: "all at once", size: 2.5, angle: -2, shift: r3.Vec{X: 100, Y: 20, Z: 3}, mixed: 12},
}

func (p pose) direction(d r3.Vec) r3.Vec {
	if p.mirror {
		d.X = -d.X
	}
	if p.angle != 0 {
		d = r3.NewRotation(p.angle, r3.Unit(r3.Vec{X: 0.3, Y: -0.5, Z: 1})).Rotate(d)
	}
	return d
}

func (p pose) place(q r3.Vec) r3.Vec { return r3.Add(r3.Scale(p.size, p.direction(q)), p.shift) }

// input gives the mould, with the warp turned, the plies' angles turned over
// where it is mirrored, and all lengths of the section `plies` and the width of
// the cloth sized alike.
func (p pose) input(t *testing.T, m *mesh.Mesh, seed *r3.Vec) plies.Input {
	t.Helper()
	m = m.Clone()
	for v, q := range m.Vertices {
		m.Vertices[v] = p.place(q)
	}
	if p.mirror {
		m = m.Flipped()
	}
	if p.mixed != 0 {
		m = shapes.Shuffled(m, p.mixed)
	}
	in := input(t, m)
	for i := range in.Plies {
		if p.mirror {
			in.Plies[i].Angle *= -1
		}
		f := &in.Plies[i].Fabric
		f.Width, f.Selvedge = material.Exactly(f.Width.Or(0)*si.Length(p.size)), material.Exactly(f.Selvedge.Or(0)*si.Length(p.size))
	}
	sized := func(x float64) *si.Length { l := si.Length(x * p.size); return &l }
	// The warp runs along no side and no diagonal of the moulds' triangles.
	in.Spec = plies.Spec{Warp: bind.Direction{V: p.direction(r3.Vec{X: 1, Y: 0.1})}, Lap: sized(0.015), Stagger: sized(0.025), TrimAllowance: sized(0.02)}
	if seed != nil {
		in.Spec.Seed = bind.Auto[bind.Point]{Given: true, Value: bind.Point{V: p.place(*seed)}}
	}
	return in
}

// The same mould mirrored, turned, moved, numbered anew or of another size is laid
// alike: no result may hang on how a drawing program happened to write it down.
// Seeds are given, off the middle, inside a triangle.
func TestSameMould(t *testing.T) {
	for _, c := range []struct {
		name string
		seed r3.Vec
	}{
		{"swell", r3.Vec{X: 0.131, Y: 0.087, Z: 0.05}},
		{"saddle", r3.Vec{X: 0.013, Y: 0.007}},
		{"duct", r3.Vec{X: 0.193, Y: 0.003, Z: 0.05}},
		{"box", r3.Vec{X: 0.113, Y: 0.069, Z: 0.07}},
	} {
		if c.name != "swell" && !*long {
			continue
		}
		m := named(t, c.name)
		want := mustLay(t, pose{size: 1}.input(t, m, &c.seed))
		for _, p := range poses {
			t.Run(c.name+" "+p.how, func(t *testing.T) { same(t, mustLay(t, p.input(t, m, &c.seed)), want, p) })
		}
	}
}

// A seed that the program looks for is found in the same place, even where that
// is a vertex, as it is on every mould that has a middle.
func TestSameSeed(t *testing.T) {
	for _, name := range []string{"saddle", "duct"} {
		if name != "saddle" && !*long {
			continue
		}
		m := named(t, name)
		want := mustLay(t, pose{size: 1}.input(t, m, nil))
		at := vec(want.Seed)
		for _, p := range poses {
			t.Run(name+" "+p.how, func(t *testing.T) {
				got := mustLay(t, p.input(t, m, nil))
				if d := r3.Norm(r3.Sub(vec(got.Seed), p.place(at))); d > sameOutline*p.size {
					t.Errorf("seed %.2f mm off", 1000*d)
				}
				same(t, got, want, p)
			})
		}
	}
}

func same(t *testing.T, got, want plies.Result, how pose) {
	t.Helper()
	size, shear, area := how.size, sameShear, sameArea
	if how.mirror {
		shear, area = mirroredShear, mirroredArea
	}
	for i, q := range want.Plies {
		p := got.Plies[i]
		if d := math.Abs(float64(p.ShearMax - q.ShearMax)); d > shear {
			t.Errorf("ply %d: shear max %.3f° against %.3f°", p.Number, p.ShearMax.Degrees(), q.ShearMax.Degrees())
		}
		if len(p.Seams) != len(q.Seams) || len(p.Pieces) != len(q.Pieces) {
			t.Errorf("ply %d: %d seams and %d pieces against %d and %d", p.Number, len(p.Seams), len(p.Pieces), len(q.Seams), len(q.Pieces))
			continue
		}
		for k := range q.Pieces {
			a, b := float64(p.Pieces[k].Area)/size/size, float64(q.Pieces[k].Area)
			if math.Abs(a/b-1) > area {
				t.Errorf("ply %d: %s holds %.7f m² against %.7f", p.Number, p.Pieces[k].Name, a, b)
			}
			a, b = ringArea(p.Pieces[k].Outline)/size/size, ringArea(q.Pieces[k].Outline)
			if miss := max(1, 1/size) * sameOutline * perimeter(q.Pieces[k].Outline); math.Abs(a-b) > miss {
				t.Errorf("ply %d: outline of %s holds %.7f m² against %.7f", p.Number, p.Pieces[k].Name, a, b)
			}
		}
	}
}

func perimeter(ring [][2]float64) (sum float64) {
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		sum += math.Hypot(b[0]-a[0], b[1]-a[1])
	}
	return sum
}

func vec(p [3]float64) r3.Vec { return r3.Vec{X: p[0], Y: p[1], Z: p[2]} }
