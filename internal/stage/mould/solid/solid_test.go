package solid

import (
	"fmt"
	"maps"
	"math"
	"math/bits"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

func vec(x, y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} }

var up = Along(r3.Vec{}, vec(0, 0, 1))

func rad(deg float64) float64 { return deg * math.Pi / 180 }

func sweep(t testing.TB, bend float64, path ...r3.Vec) *Sweep {
	s, corner := NewSweep(path, bend, Oval(0.02, 0.02), Rounded(0.03, 0.015, 0.006), 0.035)
	if corner >= 0 {
		t.Fatal("no room at corner", corner)
	}
	return s
}

// exact lists solids whose distance claims to be Euclidean outside.
func exact() map[string]Field {
	tilted := Along(vec(0.01, -0.02, 0.03), vec(1, 2, 3))
	d := Draft{PosX: rad(3), NegX: rad(5), PosY: rad(10), NegY: 0}
	block := Block(tilted, vec(0.1, 0.06, 0.05), 0.01, d)
	cone := Cone(up, 0.04, 0.03, 0.06, 0.005)
	return map[string]Field{
		"block":   block,
		"wedge":   Wedge(up, vec(0.1, 0.06, 0.05), 0.02, 0.008, d),
		"cone":    cone,
		"cap":     Cap(up, 0.05, 0.02),
		"dome":    Dome(tilted, vec(0.1, 0.06, 0.02)),
		"joined":  &Joined{Parts: []Field{Block(up, vec(0.1, 0.06, 0.05), 0.01, Draft{}), cone, ground}, Radius: 0.008},
		"blister": &Blister{F: up, Front: 0.05, Back: 0.1, HalfWidth: 0.04, Height: 0.02, Fullness: 3},
	}
}

var ground = Behind{N: r3.Vec{Z: 1}}

// A distance never changes faster than the way gone, and its direction is its
// gradient.
func TestDistanceIsOne(t *testing.T) {
	for name, f := range exact() {
		rng := rand.New(rand.NewPCG(1, 2))
		place := func() r3.Vec {
			return vec(0.16*(rng.Float64()-0.5), 0.16*(rng.Float64()-0.5), 0.12*rng.Float64())
		}
		for range 2000 {
			p := place()
			d, n := f.At(p)
			if math.Abs(r3.Norm(n)-1) > 1e-9 {
				t.Fatalf("%s: |n| = %g at %v", name, r3.Norm(n), p)
			}
			if math.Abs(d) > 0.02 {
				continue // deep inside the nearest face changes from place to place
			}
			h := 1e-7
			q := r3.Add(p, r3.Scale(h, n))
			e, m := f.At(q)
			if r3.Dot(n, m) < 0.999 {
				continue // across an edge or the middle
			}
			if math.Abs((e-d)/h-1) > 2e-3 {
				t.Errorf("%s: distance grows by %.6f along its normal at %v (d = %g)", name, (e-d)/h, p, d)
				break
			}
		}
	}
}

// The surface point p − d·n lies on the surface.
func TestFootLiesOnSurface(t *testing.T) {
	for name, f := range exact() {
		rng := rand.New(rand.NewPCG(3, 4))
		for range 500 {
			p := vec(0.16*(rng.Float64()-0.5), 0.16*(rng.Float64()-0.5), 0.12*rng.Float64())
			d, n := f.At(p)
			if d < 0 || d > 0.007 {
				continue
			}
			if e, _ := f.At(r3.Sub(p, r3.Scale(d, n))); math.Abs(e) > 1e-8 {
				t.Errorf("%s: the foot of %v is %g m off the surface", name, p, e)
				break
			}
		}
	}
}

// Outside a box the distance is that to the nearest face, edge or corner.
func TestBlockClosedForms(t *testing.T) {
	f := Block(up, vec(0.1, 0.06, 0.05), 0, Draft{})
	rounded := Block(up, vec(0.1, 0.06, 0.05), 0.01, Draft{})
	// The rounded block's corner ball sits at (40, 20, 40) mm, radius 10 mm.
	for _, c := range []struct {
		f    Field
		p    r3.Vec
		want float64
	}{
		{f, vec(0.06, 0, 0.02), 0.01},
		{f, vec(0.053, 0.034, 0.02), 0.005},
		{f, vec(0.052, 0.033, 0.056), 0.007},
		{f, vec(0, 0, 0.045), -0.005},
		{rounded, vec(0.042, 0.023, 0.046), 0.007 - 0.01},
		{rounded, vec(0.06, 0.03, 0.05), math.Sqrt(0.02*0.02+0.01*0.01+0.01*0.01) - 0.01},
	} {
		if d, _ := c.f.At(c.p); math.Abs(d-c.want) > 1e-12 {
			t.Errorf("distance of %v is %.9g, want %.9g", c.p, d, c.want)
		}
	}
}

// The nearest of a dense cloud of points on the ellipsoid is never nearer than
// the distance says, and hardly farther.
func TestEllipsoidAgainstCloud(t *testing.T) {
	a := vec(0.05, 0.03, 0.015)
	e := &Ellipsoid{F: up, A: a}
	for _, p := range []r3.Vec{vec(0.07, 0.01, 0.02), vec(0.01, 0.005, 0.03), vec(0.02, 0.001, 0.001), vec(0.049, 0, 0), vec(0, 0, 0.004), vec(0.03, -0.02, 0.002)} {
		best := math.Inf(1)
		const n = 900
		for i := range n {
			for j := range n / 2 {
				s, c := math.Sincos(2 * math.Pi * float64(i) / n)
				st, ct := math.Sincos(math.Pi * (float64(j) + 0.5) / (n / 2))
				best = min(best, r3.Norm(r3.Sub(p, vec(a.X*st*c, a.Y*st*s, a.Z*ct))))
			}
		}
		if d, _ := e.At(p); math.Abs(math.Abs(d)-best) > 2e-6 {
			t.Errorf("distance of %v is %.8g, the cloud says %.8g", p, d, best)
		}
	}
}

// A ball of radius r in a groove of opening angle θ leaves r(1/sin(θ/2) − 1)
// of filler over the groove's bottom; in a square corner of three walls
// r(√3 − 1). Both from plane geometry.
func TestFilletInGrooveAndCorner(t *testing.T) {
	const r = 0.01
	for _, θ := range []float64{40, 60, 90, 120, 160} {
		// The wall leans over the ground: θ is free between them.
		wall := wallField{vec(math.Sin(rad(θ)), 0, -math.Cos(rad(θ)))}
		j := &Joined{Parts: []Field{ground, wall}, Radius: r}
		half := rad(θ / 2)
		deep := r * (1/math.Sin(half) - 1)
		if d, _ := j.At(r3.Scale(deep, vec(math.Cos(half), 0, math.Sin(half)))); math.Abs(d) > 1e-8 {
			t.Errorf("opening %.0f deg: the fillet is %g m off", θ, d)
		}
	}
	j := &Joined{Parts: []Field{ground, wallField{vec(1, 0, 0)}, wallField{vec(0, 1, 0)}}, Radius: r}
	p := r3.Scale(r*(math.Sqrt(3)-1)/math.Sqrt(3), vec(1, 1, 1))
	if d, n := j.At(p); math.Abs(d) > 1e-8 || r3.Norm(r3.Sub(n, r3.Unit(vec(1, 1, 1)))) > 1e-6 {
		t.Errorf("corner of three walls: d = %g, n = %v", d, n)
	}
}

// wallField is the half-space behind a plane through the origin.
type wallField struct{ n r3.Vec }

func (w wallField) At(p r3.Vec) (float64, r3.Vec) { return r3.Dot(p, w.n), w.n }

// Round a cylinder on the ground the fillet is part of a torus.
func TestFilletIsTorus(t *testing.T) {
	const R, r = 0.03, 0.012
	j := &Joined{Parts: []Field{Cone(up, R, R, 0.1, 0), ground}, Radius: r}
	for i := range 20 {
		a, b := rad(5+4*float64(i)), rad(18*float64(i))
		ρ, z := R+r-r*math.Cos(a), r-r*math.Sin(a)
		if d, _ := j.At(vec(ρ*math.Cos(b), ρ*math.Sin(b), z)); math.Abs(d) > 1e-8 {
			t.Errorf("the torus at %.0f deg is %g m off", a*180/math.Pi, d)
		}
	}
}

// Where the joint is wide open, nothing is filled.
func TestFilletLeavesSolidsAlone(t *testing.T) {
	block := Block(up, vec(0.1, 0.06, 0.05), 0.004, Draft{})
	j := &Joined{Parts: []Field{block, ground}, Radius: 0.01}
	for _, p := range []r3.Vec{vec(0.051, 0.01, 0.03), vec(0.01, 0.01, 0.052), vec(0.09, 0.05, 0.003)} {
		d, _ := j.At(p)
		if e, _ := j.Sharp(p); math.Abs(d-e) > 1e-12 {
			t.Errorf("at %v the filled distance is %g, the bare one %g", p, d, e)
		}
	}
}

// A sweep of one circle along a bend is a piece of a torus, along a leg a tube.
func TestSweepIsTube(t *testing.T) {
	const R, r = 0.1, 0.02
	s, corner := NewSweep([]r3.Vec{vec(0, 0, 0), vec(0.2, 0, 0), vec(0.2, 0.3, 0)}, R, Oval(r, r), Oval(r, r), r)
	if corner >= 0 {
		t.Fatal("no room")
	}
	want := 0.1 + R*math.Pi/2 + 0.2
	if math.Abs(s.length-want) > 1e-12 {
		t.Errorf("length %.9g, want %.9g", s.length, want)
	}
	for i := range 12 {
		a := 2 * math.Pi * float64(i) / 12
		b := rad(7 * float64(i)) // along the bend, whose centre is (100, 100, 0) mm
		ρ := R + (r+0.003)*math.Cos(a)
		for _, p := range []r3.Vec{
			vec(0.05, (r+0.003)*math.Cos(a), (r+0.003)*math.Sin(a)),
			vec(0.1+ρ*math.Sin(b), 0.1-ρ*math.Cos(b), (r+0.003)*math.Sin(a)),
		} {
			if d, _ := s.At(p); math.Abs(d-0.003) > 1e-12 {
				t.Errorf("%v: %g, want 0.003", p, d)
			}
		}
	}
}

// Where the section changes, the direction is the gradient on the surface.
func TestSweepGradient(t *testing.T) {
	s := sweep(t, 0.08, vec(0, 0, 0.05), vec(0.15, 0, 0.05), vec(0.25, 0.12, 0.09))
	rng := rand.New(rand.NewPCG(5, 6))
	for range 400 {
		p := vec(0.02+0.2*rng.Float64(), 0.1*rng.Float64()-0.02, 0.05+0.06*(rng.Float64()-0.5))
		for range 60 { // onto the surface
			d, n := s.At(p)
			p = r3.Sub(p, r3.Scale(d, n))
		}
		d, n := s.At(p)
		if math.Abs(d) > 1e-9 {
			continue // beyond the ends
		}
		h := 1e-7
		var g r3.Vec
		for _, e := range []r3.Vec{vec(1, 0, 0), vec(0, 1, 0), vec(0, 0, 1)} {
			a, _ := s.At(r3.Add(p, r3.Scale(h, e)))
			b, _ := s.At(r3.Sub(p, r3.Scale(h, e)))
			g = r3.Add(g, r3.Scale((a-b)/(2*h), e))
		}
		if r3.Norm(r3.Sub(g, n)) > 1e-3 {
			t.Errorf("at %v the gradient is %v, the normal %v", p, g, n)
			break
		}
	}
}

func TestSections(t *testing.T) {
	for i, c := range []struct {
		s    Section
		p    r2.Vec
		want float64
	}{
		{Oval(0.02, 0.02), r2.Vec{X: 0.03, Y: 0.04}, 0.03},
		{Oval(0.02, 0.01), r2.Vec{X: 0.03}, 0.01},
		{Oval(0.02, 0.01), r2.Vec{Y: -0.013}, 0.003},
		{Rounded(0.03, 0.02, 0.005), r2.Vec{X: 0.028, Y: 0.019}, 0},
		{Rounded(0.03, 0.02, 0.005), r2.Vec{X: 0.035}, 0.005},
		{Rounded(0.03, 0.02, 0), r2.Vec{Y: 0.015}, -0.005},
	} {
		if d, _ := c.s(c.p); math.Abs(d-c.want) > 1e-12 {
			t.Errorf("section %d: %g, want %g", i, d, c.want)
		}
	}
}

func ExampleCap() {
	// A dome 100 mm wide and 20 mm high is part of a sphere of 72.5 mm radius.
	d, _ := Cap(Along(r3.Vec{}, r3.Vec{Z: 1}), 0.05, 0.02).At(r3.Vec{Z: 0.03})
	fmt.Printf("%.3f mm\n", 1e3*d)
	// Output: 10.000 mm
}

// Groups against a list of all subsets: those that are joined throughout and
// that no further member fits.
func TestCliques(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for range 60 {
		const n = 6
		var on [n][n]bool
		for i := range n {
			for j := range i {
				on[i][j] = rng.IntN(3) > 0
			}
		}
		whole := func(set int) bool {
			for i := range n {
				for j := range i {
					if set>>i&1 == 1 && set>>j&1 == 1 && !on[i][j] {
						return false
					}
				}
			}
			return true
		}
		want := map[int]bool{}
		for set := range 1 << n {
			grows := false
			for k := range n {
				grows = grows || set>>k&1 == 0 && whole(set|1<<k)
			}
			if whole(set) && !grows && bits.OnesCount(uint(set)) > 1 {
				want[set] = true
			}
		}
		got := map[int]bool{}
		for _, g := range cliques(n, func(i, j int) bool { return on[i][j] }) {
			set := 0
			for _, i := range g {
				set |= 1 << i
			}
			got[set] = true
		}
		if !maps.Equal(got, want) {
			t.Fatalf("got %v, want %v", got, want)
		}
	}
}

// Two walls and the ground with a radius for each pair: along each joint, clear
// of the others, the fillet is that of its own radius, and where a small ball
// meets the large fillet it rolls over that too, with nothing sharp left.
func TestFillRollsEachRadius(t *testing.T) {
	x, y := wallField{vec(1, 0, 0)}, wallField{vec(0, 1, 0)}
	radii := [3][3]float64{{}, {0.02}, {0.008, 0.012}}
	j, err := Fill([]Field{x, y, ground}, func(a, b int) float64 { return radii[max(a, b)][min(a, b)] })
	if err != nil {
		t.Fatal(err)
	}
	c := 1 - 1/math.Sqrt2
	for _, at := range []r3.Vec{
		vec(0.02*c, 0.02*c, 0.3),   // the walls' joint
		vec(0.008*c, 0.3, 0.008*c), // the first wall's foot
		vec(0.3, 0.012*c, 0.012*c), // the second's
	} {
		if d, _ := j.At(at); math.Abs(d) > 1e-9 {
			t.Errorf("at %v the fillet is %g m off", at, d)
		}
	}
	// Down in the corner the surface turns nowhere faster than the smallest ball.
	for i := range 200 {
		a := rad(45 + 20*math.Sin(float64(i)))
		p := vec(0.01*math.Cos(a), 0.01*math.Sin(a), 0.001+0.02*float64(i)/200)
		for range 60 {
			d, n := j.At(p)
			p = r3.Sub(p, r3.Scale(d, n))
		}
		_, n := j.At(p)
		side := r3.Unit(r3.Cross(n, vec(0.3, 0.5, 0.8)))
		const h = 2e-5
		_, m := j.At(r3.Add(p, r3.Scale(h, side)))
		if turn := r3.Norm(r3.Sub(m, n)) / h; turn > 1.3/0.008 {
			t.Errorf("at %v it turns by %.0f rad/m", p, turn)
			break
		}
	}
}

// With one radius for all, Fill is the plain joint.
func TestFillOfOneRadius(t *testing.T) {
	parts := []Field{Cone(up, 0.03, 0.03, 0.1, 0), Block(up, vec(0.1, 0.03, 0.05), 0.004, Draft{}), ground}
	j, err := Fill(parts, func(int, int) float64 { return 0.008 })
	if err != nil || j.filled != nil || j.Radius != 0.008 {
		t.Fatalf("%v, %v", j, err)
	}
}

// Closed forms of the distances: a wall's side, top and rounded edge, a ring's
// tube, a cord's side and end.
func TestWallRingCord(t *testing.T) {
	w := &Wall{F: up, Outline: Oval(0.03, 0.03), Reach: 0.03, Thickness: 0.01, Height: 0.02, Edge: 0.003}
	ring := &Ring{up, 0.03, 0.004}
	cord := NewCord([]r3.Vec{vec(0, 0, 0), vec(0.1, 0, 0), vec(0.1, 0.05, 0)}, 0.01)
	s := 0.003 / math.Sqrt2
	for i, c := range []struct {
		f    Field
		p    r3.Vec
		want float64
	}{
		{w, vec(0.04, 0, 0.005), 0.005}, {w, vec(0, 0.02, 0.005), 0.005}, {w, vec(0.03, 0, 0.03), 0.01}, {w, vec(0.03, 0, 0.01), -0.005},
		{w, vec(0.032+s, 0, 0.017+s), 0}, {w, vec(0.028-s, 0, 0.017+s), 0},
		{ring, vec(0.03, 0, 0.01), 0.006}, {ring, vec(0, 0.037, 0), 0.003}, {ring, vec(0, 0.03, 0), -0.004},
		{cord, vec(0.05, 0, 0.015), 0.005}, {cord, vec(-0.02, 0, 0), 0.01}, {cord, vec(0.1, 0.03, 0.013), 0.003},
	} {
		if d, _ := c.f.At(c.p); math.Abs(d-c.want) > 1e-12 {
			t.Errorf("%d: %g, want %g", i, d, c.want)
		}
	}
}

// The area inside a section: ellipse πab; rounded rectangle 4ab − (4 − π)c².
func TestSectionArea(t *testing.T) {
	for _, c := range []struct {
		s    Section
		want float64
	}{{Oval(0.03, 0.03), math.Pi * 9e-4}, {Oval(0.04, 0.01), math.Pi * 4e-4}, {Rounded(0.03, 0.02, 0.008), 24e-4 - (4-math.Pi)*64e-6}} {
		if got := c.s.Area(0.05); math.Abs(got/c.want-1) > 2e-6 {
			t.Errorf("area %.9g, want %.9g", got, c.want)
		}
	}
}

// A step's flat is the parallel at its depth, beyond its ramp nothing changes,
// and on the ramp the direction is the gradient.
func TestStep(t *testing.T) {
	ball := &Ellipsoid{F: up, A: vec(0.05, 0.05, 0.05)}
	j := &Joined{Parts: []Field{ball}, Steps: []Step{{At: vec(0, 0, 0), N: vec(0, 0, 1), Depth: 0.002, Width: 0.01, Ramp: 0.008}}}
	for _, c := range []struct{ z, r float64 }{{0.005, 0.048}, {0.03, 0.05}} {
		if d, _ := j.At(vec(math.Sqrt(c.r*c.r-c.z*c.z), 0, c.z)); math.Abs(d) > 1e-12 {
			t.Errorf("at height %g it is %g off", c.z, d)
		}
	}
	p := vec(0.048, 0, 0.014)
	for range 60 {
		d, n := j.At(p)
		p = r3.Sub(p, r3.Scale(d, n))
	}
	_, n := j.At(p)
	var g r3.Vec
	for _, e := range []r3.Vec{vec(1, 0, 0), vec(0, 1, 0), vec(0, 0, 1)} {
		a, _ := j.At(r3.Add(p, r3.Scale(1e-7, e)))
		b, _ := j.At(r3.Sub(p, r3.Scale(1e-7, e)))
		g = r3.Add(g, r3.Scale((a-b)/2e-7, e))
	}
	if r3.Norm(r3.Sub(g, n)) > 1e-4 {
		t.Errorf("gradient %v, direction %v", g, n)
	}
}
