package mesh

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func trace(t *testing.T, top *Topology, from, dir r3.Vec, length float64) Line {
	t.Helper()
	hit, ok := NewLocator(top.Mesh).Closest(from)
	if !ok {
		t.Fatal("no place to start from")
	}
	line, err := top.Trace(hit.Point, dir, length)
	if err != nil {
		t.Fatal(err)
	}
	return line
}

// On a flat plate a straightest line is straight, through sides and corners
// alike, and ends at the rim.
func TestLineOnPlateIsStraight(t *testing.T) {
	top := topologyOf(t, plate(10))
	rng := rand.New(rand.NewPCG(8, 1))
	for i := range 200 {
		from := r3.Vec{X: 0.3 + 0.4*rng.Float64(), Y: 0.3 + 0.4*rng.Float64()}
		s, c := math.Sincos(2 * math.Pi * rng.Float64())
		if i%3 == 0 { // from a corner, along sides and diagonals, through corners
			from = r3.Vec{X: 0.5, Y: 0.4}
			s, c = math.Sincos(math.Pi / 4 * float64(i/3%8))
		}
		dir := r3.Vec{X: c, Y: s}
		line := trace(t, top, from, r3.Add(dir, r3.Vec{Z: 0.4}), 0.25)
		near(t, "length", line.Length, 0.25, 1e-12)
		near(t, "end", r3.Norm(r3.Sub(line.End(top.Mesh).At, r3.Add(from, r3.Scale(0.25, dir)))), 0, 1e-8)
		long := trace(t, top, from, dir, 5)
		end := long.End(top.Mesh).At
		rim := math.Max(math.Abs(end.X-0.5), math.Abs(end.Y-0.5))
		if !long.AtRim || math.Abs(rim-0.5) > 1e-12 {
			t.Errorf("ended at %v, at the rim %v", end, long.AtRim)
		}
		for n, st := range line.Every(top.Mesh, 0.05) {
			near(t, "station", r3.Norm(r3.Sub(st.At, r3.Add(from, r3.Scale(0.05*float64(n), dir)))), 0, 1e-8)
		}
	}
}

// Out of the surface from its rim there is no line, and straight up none either.
func TestLineLeavingSurface(t *testing.T) {
	top := topologyOf(t, plate(4))
	if line := trace(t, top, r3.Vec{X: 0.5}, r3.Vec{X: 0.1, Y: -1}, 1); !line.AtRim || line.Length != 0 {
		t.Errorf("at the rim %v after %g m", line.AtRim, line.Length)
	}
	if line := trace(t, top, r3.Vec{X: 0.5}, r3.Vec{Y: 1}, 1); math.Abs(line.Length-1) > 1e-12 {
		t.Errorf("across: %g m, want 1", line.Length)
	}
	if _, err := top.Trace(Point{0, [3]float64{0.2, 0.3, 0.5}}, r3.Vec{Z: 1}, 1); err == nil {
		t.Error("straight up: no error")
	}
	for _, length := range []float64{-1, math.NaN(), math.Inf(1)} {
		if _, err := top.Trace(Point{0, [3]float64{0.2, 0.3, 0.5}}, r3.Vec{X: 1}, length); err == nil {
			t.Errorf("length %g: no error", length)
		}
	}
}

// On a cylinder a straightest line is a helix. A tube of n flat strips unrolls
// without stretch, so the mesh's own helix is exact: at arc s and slope β the
// line has risen by s·sinβ and turned by s·cosβ in units of the strips' width.
func TestLineOnTubeIsHelix(t *testing.T) {
	const n, slope = 48, 0.3
	top := topologyOf(t, tube(t, 1, 2, n, 20))
	from := r3.Vec{X: 1, Z: 0.05}
	sin, cos := math.Sincos(slope)
	// The first strip leans by π/n against the tangent at x = 1.
	lean := r3.Vec{X: -math.Sin(math.Pi / n), Y: math.Cos(math.Pi / n)}
	line := trace(t, top, from, r3.Add(r3.Scale(cos, lean), r3.Vec{Z: sin}), 5)
	width := 2 * math.Sin(math.Pi/n)
	for _, st := range line.Every(top.Mesh, 0.5) {
		near(t, "rise", st.At.Z-0.05, st.Arc*sin, 1e-9)
		strips := st.Arc * cos / width
		k, part := math.Modf(strips)
		corner := func(i float64) r3.Vec {
			s, c := math.Sincos(2 * math.Pi / n * i)
			return r3.Vec{X: c, Y: s, Z: st.At.Z}
		}
		near(t, "place", r3.Norm(r3.Sub(st.At, between(corner(k), corner(k+1), part))), 0, 1e-9)
		near(t, "slope", st.Dir.Z, sin, 1e-9)
	}
}

// On a sphere a straightest line comes to the great circle: wrong turns of h² in
// each of 1/h triangles, of either sign, add up as in a random walk to the power
// 3/2 of h. Measured as the mean miss at arc 2 over many starts, one level finer
// being half the size.
func TestLineOnSphereComesToGreatCircle(t *testing.T) {
	miss := func(level int) float64 {
		m := sphere(t, level)
		top, l := topologyOf(t, m), NewLocator(m)
		rng := rand.New(rand.NewPCG(12, 5))
		var sum float64
		const lines = 60
		for range lines {
			p := r3.Unit(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
			d := r3.Unit(r3.Cross(p, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}))
			hit, _ := l.Closest(p)
			line, err := top.Trace(hit.Point, d, 2)
			if err != nil {
				t.Fatal(err)
			}
			s, c := math.Sincos(2)
			sum += r3.Norm(r3.Sub(r3.Unit(line.End(m).At), r3.Add(r3.Scale(c, p), r3.Scale(s, d))))
		}
		return sum / lines
	}
	e3, e5 := miss(3), miss(5)
	if got := order(e3, e5) / 2; got < 1.3 {
		t.Errorf("observed order %.2f (misses %.2e, %.2e), want 1.5", got, e3, e5)
	}
}

// Through a corner the angle is the same on both sides: over the tip of a cube's
// corner, where three right angles meet, a line that arrives along the diagonal
// of one face leaves along the edge between the other two.
func TestLineThroughCubeCorner(t *testing.T) {
	m := cube()
	top := topologyOf(t, m)
	// On the top face along its diagonal towards the corner (1, 1, 1).
	line := trace(t, top, r3.Vec{X: 0.5, Y: 0.5, Z: 1}, r3.Vec{X: 1, Y: 1}, math.Sqrt2/2+0.5)
	near(t, "end", r3.Norm(r3.Sub(line.End(m).At, r3.Vec{X: 1, Y: 1, Z: 0.5})), 0, 1e-9)
	// And back: up that edge and over the corner along the diagonal.
	line = trace(t, top, r3.Vec{X: 1, Y: 1, Z: 0.5}, r3.Vec{Z: 1}, 0.5+math.Sqrt2/2)
	near(t, "end of the way back", r3.Norm(r3.Sub(line.End(m).At, r3.Vec{X: 0.5, Y: 0.5, Z: 1})), 0, 1e-9)
}

// At a sharp corner a direction that points off all faces there is laid along
// the nearest side; one that stands up on the corner is refused.
func TestLineFromCubeCorner(t *testing.T) {
	m := cube()
	top := topologyOf(t, m)
	line := trace(t, top, r3.Vec{X: 1, Y: 1, Z: 1}, r3.Vec{X: 1, Y: 1, Z: -0.3}, 0.5)
	near(t, "end", r3.Norm(r3.Sub(line.End(m).At, r3.Vec{X: 1, Y: 1, Z: 0.5})), 0, 1e-9)
	hit, _ := NewLocator(m).Closest(r3.Vec{X: 1, Y: 1, Z: 1})
	if _, err := top.Trace(hit.Point, r3.Vec{X: 1, Y: 1, Z: 1}, 0.5); err == nil {
		t.Error("straight up on a corner: no error")
	}
}

// A line followed backwards from its end comes back to its start.
func TestLineReverses(t *testing.T) {
	m := torus(t, 2, 0.6, 16)
	top := topologyOf(t, m)
	rng := rand.New(rand.NewPCG(6, 6))
	for range 50 {
		start := Point{rng.IntN(len(m.Triangles)), [3]float64{0.3, 0.3, 0.4}}
		d := r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
		out, err := top.Trace(start, d, 3)
		if err != nil {
			t.Fatal(err)
		}
		end := out.End(m)
		back, err := top.Trace(end.Point, r3.Scale(-1, end.Dir), 3)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "there and back", r3.Norm(r3.Sub(back.End(m).At, m.At(start))), 0, 1e-6)
	}
}
