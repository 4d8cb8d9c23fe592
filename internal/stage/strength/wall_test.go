package strength

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
	"laywright/internal/stage/shell"
)

// The strip of the tests here: 200 mm long, 20 mm wide, of one layer of 0.5 mm, E
// 70 GPa and no Poisson's ratio, with a lap of 20 mm from 100 mm on.
const (
	stripLong, stripWide   = 0.2, 0.02
	lapFrom, lapTo         = 0.1, 0.12
	thick, modulus, pulled = 0.5e-3, 70e9, 100.0 // m, Pa, N
)

func lappedStrip(n int) Input {
	m := panel(n, func(u, v float64) r3.Vec { return r3.Vec{X: stripLong * u, Y: stripWide * v} })
	l := metal(0)
	l.Thickness, l.Mass = thick, 0.8
	return Input{Mesh: m, Layers: []Layer{l}, Warp: r3.Vec{X: 1}, Walls: lapped(m, lapFrom, lapTo), MassKnown: true}
}

// lapped lays the layer once everywhere, and twice from one x to another.
func lapped(m *mesh.Mesh, from, to float64) [][]Part {
	out := make([][]Part, len(m.Triangles))
	one := Lay{0, &Cloth{Warp: r3.Vec{X: 1}, Weft: r3.Vec{Y: 1}, Bulk: 1}}
	for f := range out {
		double := between(m, f, from, to)
		for _, p := range []Part{{1 - double, []Lay{one}}, {double, []Lay{one, one}}} {
			if p.Share > 0 {
				out[f] = append(out[f], p)
			}
		}
	}
	return out
}

// between is the share of triangle f that lies between two lines across x.
func between(m *mesh.Mesh, f int, from, to float64) float64 {
	a, b, c := m.Corners(f)
	var xs [3]float64 // sorted
	xs[0], xs[2] = min(a.X, b.X, c.X), max(a.X, b.X, c.X)
	xs[1] = a.X + b.X + c.X - xs[0] - xs[2]
	below := func(x float64) float64 {
		x = math.Max(xs[0], math.Min(xs[2], x))
		switch wide := xs[2] - xs[0]; {
		case x < xs[1]:
			return (x - xs[0]) * (x - xs[0]) / (wide * (xs[1] - xs[0]))
		case xs[2] > xs[1]:
			return 1 - (xs[2]-x)*(xs[2]-x)/(wide*(xs[2]-xs[1]))
		}
		return 1
	}
	share := below(to) - below(from)
	if share < 1e-9 {
		return 0
	}
	return share
}

// pull draws the strip's far end along x, its near end clamped, with more held
// everywhere, and returns how its far end moves.
func pull(t *testing.T, in Input, everywhere shell.Hold) (long, up float64) {
	t.Helper()
	top, err := mesh.NewTopology(in.Mesh)
	if err != nil {
		t.Fatal(err)
	}
	axis, err := reference(top, in.Warp)
	if err != nil {
		t.Fatal(err)
	}
	s, err := in.stacks(axis)
	if err != nil {
		t.Fatal(err)
	}
	held := make([]shell.Hold, len(in.Mesh.Vertices))
	for v, p := range in.Mesh.Vertices {
		held[v] = everywhere
		if p.X == 0 {
			held[v] |= shell.Clamped
		}
	}
	solver, err := shell.New(context.Background(), &shell.Model{Mesh: in.Mesh, Sections: s.sections, Section: s.of, Axis: axis, Held: held})
	if err != nil {
		t.Fatal(err)
	}
	l := solver.NoLoad()
	half := pulled / stripWide / 2
	var ends []int
	for v, p := range in.Mesh.Vertices {
		if p.X > stripLong-1e-9 {
			ends = append(ends, v)
		}
	}
	for i := 1; i < len(ends); i++ {
		step := r3.Norm(r3.Sub(in.Mesh.Vertices[ends[i]], in.Mesh.Vertices[ends[i-1]]))
		for _, v := range ends[i-1 : i+1] {
			l.Force[v].X += half * step
		}
	}
	m := solver.Solve(l)
	for _, v := range ends {
		long += m.Move[v].X / float64(len(ends))
		up += m.Move[v].Z / float64(len(ends))
	}
	return long, up
}

// Held flat, a strip with a lap is springs in series:
//
//	u = F/(w·E·t)·(L − lap + lap/2)
func TestLapIsSpringsInSeries(t *testing.T) {
	long, _ := pull(t, lappedStrip(20), shell.MoveZ|shell.TurnX|shell.TurnY|shell.TurnZ)
	within(t, "pull", long, pulled/(stripWide*modulus*thick)*(stripLong-(lapTo-lapFrom)/2), 1e-9)
}

// Where an edge of the lap runs through triangles these are too stiff, for taking one
// strain in both of their parts. With a share s double a length h gives way by h/(1+s)
// in place of h·(1−s/2), less by (3/2 − √2)·h at the most.
func TestLapThroughTriangles(t *testing.T) {
	want := pulled / (stripWide * modulus * thick) * (stripLong - (lapTo-lapFrom)/2)
	for _, n := range []int{11, 22, 43} {
		in := lappedStrip(n)
		long, _ := pull(t, in, shell.MoveZ|shell.TurnX|shell.TurnY|shell.TurnZ)
		most := 2 * (1.5 - math.Sqrt2) * stripLong / float64(n) / (stripLong - (lapTo-lapFrom)/2)
		if off := 1 - long/want; !(off > 0 && off < most) {
			t.Errorf("%d along: too stiff by %g, at the most %g", n, off, most)
		}
	}
}

// Free to bend, the strip takes its force at the height of the reference plane, H
// above the mould face: where the middle lies e above that, the force has a moment, and
//
//	ε = N/(E·t) + e²·N/D,   κ = −e·N/D,   D = E·t³/12
//
// since N acts with no moment about the plane: the strip curves to bring its middle
// into line. Slope and motion of the end follow by adding up κ along the strip.
func TestLapBendsTheStrip(t *testing.T) {
	in := lappedStrip(40)
	long, up := pull(t, in, 0)
	n := pulled / stripWide
	mean := thick * (stripLong + lapTo - lapFrom) / stripLong
	var want, rise, slope float64
	for _, s := range []struct{ length, t float64 }{{lapFrom, thick}, {lapTo - lapFrom, 2 * thick}, {stripLong - lapTo, thick}} {
		e, d := s.t/2-mean/2, modulus*s.t*s.t*s.t/12
		κ := -e * n / d
		want += s.length * (n/(modulus*s.t) + e*e*n/d)
		rise += slope*s.length - κ*s.length*s.length/2 // w″ = −κ
		slope -= κ * s.length
	}
	within(t, "pull", long, want, 1e-3)
	within(t, "rise", up, rise, 5e-3)
}

// Two halves that overlap everywhere are a wall of two plies.
func TestDoubledEverywhereIsTwoPlies(t *testing.T) {
	in := plate(12, Clamped, 0.3)
	in.Walls = lapped(in.Mesh, -1, 1)
	got := run(t, in)
	in = plate(12, Clamped, 0.3)
	in.Layers = append(in.Layers, in.Layers[0])
	want := run(t, in)
	within(t, "deflection", float64(got.Deflection), float64(want.Deflection), 1e-12)
	within(t, "index", *got.Index, *want.Index, 1e-12)
	within(t, "frequency", float64(*got.Frequency), float64(*want.Frequency), 1e-9)
	within(t, "mass", float64(*got.Mass), float64(*want.Mass), 1e-12)
	within(t, "thickness", got.Wall[0], 4e-3, 1e-12)
}

// A lap's mass and thickness are those of its area, whatever the triangles.
func TestMassAndThicknessOfALap(t *testing.T) {
	in := lappedStrip(10)
	in.Walls = lapped(in.Mesh, lapFrom-0.005, lapTo-0.005)
	in.Edge, in.Cases = Clamped, []Case{{Name: "pressure", Pressure: 10}}
	r := run(t, in)
	within(t, "mass", float64(*r.Mass), 0.8*stripWide*(stripLong+lapTo-lapFrom), 1e-12)
	var volume float64
	for f, h := range r.Wall {
		volume += h * in.Mesh.FaceArea(f)
	}
	within(t, "volume", volume, thick*stripWide*(stripLong+lapTo-lapFrom), 1e-12)
	if r.Thinnest != thick || !(r.Thickest > 1.7*thick) || math.Abs(r.ThickestAt[0]-0.105) > 0.01 {
		t.Errorf("from %g to %g at %v", r.Thinnest, r.Thickest, r.ThickestAt)
	}
}

// A plate of three layers, clamped to what does not grow and heated by 50 K, is squeezed by E·α·ΔT both ways. Over
// a butted seam of the middle layer the outer two carry all of it, 3/2 as much; along
// the seam nothing changes. Butted everywhere at once, nothing is left.
func TestOthersCarryOverAButtedSeam(t *testing.T) {
	in := plate(8, Clamped, 0)
	in.Cases, in.Ground = []Case{{Name: "heat", DT: 50}}, Ground{Expansion: new(si.Expansion)}
	in.Layers = []Layer{metal(0), metal(0), metal(0)}
	whole := run(t, in).ByCriterion[wall.MaxStress]
	squeeze := 70e9 * 2e-5 * 50 / 500e6
	within(t, "without a seam", whole.Index, squeeze, 1e-9)
	in.Butts = []Butt{{Face: 40, Layer: 1, Along: r3.Vec{X: 1}}}
	r := run(t, in)
	seam := r.ByCriterion[wall.MaxStress]
	within(t, "with one", seam.Index, 1.5*squeeze, 1e-9)
	if seam.Ply == 1 || r3.Norm(r3.Sub(r3.Vec{X: seam.At[0], Y: seam.At[1]}, in.Mesh.Centroid(40))) > 0.05 || !has(r, "butts-judged") {
		t.Errorf("%+v, %v", seam, r.Findings)
	}
	in.Butts = []Butt{{40, 0, r3.Vec{X: 1}}, {40, 1, r3.Vec{X: 1}}, {40, 2, r3.Vec{X: 1}}}
	if r := run(t, in); !has(r, "butt-alone") {
		t.Errorf("%v", r.Findings)
	}
}

// A triangle without cloth is told of, and the rest is solved.
func TestBareTrianglesAreTold(t *testing.T) {
	in := plate(12, Clamped, 0.3)
	in.Walls = lapped(in.Mesh, -1, 1)
	whole := run(t, in)
	for _, f := range []int{150, 151} {
		in.Walls[f] = []Part{{Share: 1}}
	}
	r := run(t, in)
	if !has(r, "wall-bare") || !(r.Deflection > whole.Deflection) {
		t.Errorf("%g against %g, %v", r.Deflection, whole.Deflection, r.Findings)
	}
}

// Without Poisson's ratio a layer butted along a seam at 50 degrees is strips along it: in
// a wall whose own x runs at 20 degrees they add E·t·(c⁴, s²c², c³s) to A₁₁, A₁₂, A₁₆, with
// the seam 30 degrees from x, to what the other layer has.
func TestButtedLayerIsStripsAlongItsSeam(t *testing.T) {
	in := plate(4, Clamped, 0)
	in.Layers, in.Warp = []Layer{metal(0), metal(0)}, level(20)
	in.Butts = []Butt{{Face: 7, Layer: 1, Along: level(50)}}
	top, err := mesh.NewTopology(in.Mesh)
	if err != nil {
		t.Fatal(err)
	}
	axis, err := reference(top, in.Warp)
	if err != nil {
		t.Fatal(err)
	}
	s, err := in.stacks(axis)
	if err != nil {
		t.Fatal(err)
	}
	butts, alone := in.butts(s)
	if len(butts) != 1 || alone != 0 {
		t.Fatalf("%d butted, %d alone", len(butts), alone)
	}
	a, sin, cos := butts[7].wall.A, 0.5, math.Sqrt(0.75)
	within(t, "A11", a[0][0]/(70e9*2e-3)-1, cos*cos*cos*cos, 1e-9)
	within(t, "A12", a[0][1]/(70e9*2e-3), sin*sin*cos*cos, 1e-9)
	within(t, "A16", a[0][2]/(70e9*2e-3), sin*cos*cos*cos, 1e-9)
}

// Where triangles are cut finer the wall follows: laps, seams and mass stay.
func TestWallFollowsFinerTriangles(t *testing.T) {
	in := plate(6, Clamped, 0.3)
	in.Walls = lapped(in.Mesh, 0.11, 0.23)
	in.Butts = []Butt{{Face: 40, Layer: 0, Along: r3.Vec{X: 1}}}
	as := run(t, in)
	in.Spec.MeshError = 0.12
	fine := run(t, in)
	if fine.Elements < 2*as.Elements || len(fine.Wall) != fine.Elements || !(fine.MeshError <= 0.12) {
		t.Errorf("%d triangles, %d walls, error %g", fine.Elements, len(fine.Wall), fine.MeshError)
	}
	within(t, "mass", float64(*fine.Mass), float64(*as.Mass), 1e-9)
	within(t, "deflection", float64(fine.Deflection), float64(as.Deflection), 0.1)
}

// A stated error that can't be met is told, with what was reached.
func TestMeshErrorLeft(t *testing.T) {
	in := plate(4, Clamped, 0.3)
	in.Spec.MeshError = 0.001
	if r := run(t, in); !has(r, "mesh-error-left") || r.Elements < 16*32 {
		t.Errorf("%d triangles, error %g: %v", r.Elements, r.MeshError, r.Findings)
	}
}
