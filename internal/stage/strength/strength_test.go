package strength

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"runtime"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
)

// panel is a sheet of n by n squares over a surface of the unit square.
func panel(n int, place func(u, v float64) r3.Vec) *mesh.Mesh {
	m := &mesh.Mesh{}
	for j := range n + 1 {
		for i := range n + 1 {
			m.Vertices = append(m.Vertices, place(float64(i)/float64(n), float64(j)/float64(n)))
		}
	}
	for j := range n {
		for i := range n {
			a := int32(j*(n+1) + i)
			b, d := a+1, a+int32(n)+1
			c := d + 1
			m.Triangles = append(m.Triangles, [3]int32{a, b, c}, [3]int32{a, c, d})
		}
	}
	return m
}

func flat(a float64) func(u, v float64) r3.Vec {
	return func(u, v float64) r3.Vec { return r3.Vec{X: a * u, Y: a * v} }
}

// metal is a 2 mm layer of one material.
func metal(nu float64) Layer {
	return Layer{Mass: 3.2, Ply: wall.Ply{Name: "m", Thickness: 2e-3,
		Elastic:   &wall.Elastic{E1: 70e9, E2: 70e9, G12: si.Pressure(70e9 / (2 * (1 + nu))), Nu12: nu},
		Expansion: &wall.Expansion{Alpha1: 2e-5, Alpha2: 2e-5},
		Strength:  &wall.Strength{Xt: 500e6, Xc: 500e6, Yt: 500e6, Yc: 500e6, S: 250e6}}}
}

// small keeps a check to small motions.
var small = Spec{LargeDeflection: new(bool)}

func plate(n int, edge Edge, nu float64) Input {
	return Input{Spec: small, Mesh: panel(n, flat(0.4)), Layers: []Layer{metal(nu)}, Warp: r3.Vec{X: 1}, Edge: edge,
		Cases: []Case{{Name: "pressure", Pressure: 1000}}, MassKnown: true}
}

func run(t *testing.T, in Input) Result {
	t.Helper()
	r, err := Check(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func within(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s: %.6g, want %.6g (off by %.2f %%)", what, got, want, 100*(got/want-1))
	}
}

func has(r Result, code string) bool {
	return slices.ContainsFunc(r.Findings, func(f fault.Finding) bool { return f.Code == code })
}

// A 400 mm plate, 2 mm thick, 1 kPa, ν 0.33: 1.986 mm pinned (Navier's series),
// 0.6187 mm clamped (Ritz series).
func TestPlates(t *testing.T) {
	pinned, clamped := run(t, plate(40, Pinned, 0.33)), run(t, plate(40, Clamped, 0.33))
	within(t, "pinned", float64(pinned.Deflection), 1.986e-3, 0.003)
	within(t, "clamped", float64(clamped.Deflection), 0.6187e-3, 0.005)
	if pinned.Elements != 3200 || pinned.Buckling != nil || !has(pinned, "moves-beyond-linear") || has(clamped, "moves-beyond-linear") {
		t.Errorf("%d elements, buckling %v, %v", pinned.Elements, pinned.Buckling, pinned.Findings)
	}
	within(t, "mass", float64(*pinned.Mass), 3.2*0.16, 1e-9)
}

// Largest moments of the square plate, ν 0.3 (Timoshenko and Woinowsky-Krieger):
// in the middle of the pinned one 0.047886·q·a², twisting at its corners
// 0.0325·q·a², at the edge of the clamped one 0.0513·q·a², of which the nearest
// places judged see a little less.
func TestPlateStress(t *testing.T) {
	stress := func(m float64) float64 { return 6 * m * 1000 * 0.4 * 0.4 / (2e-3 * 2e-3) }
	in := plate(24, Pinned, 0.3)
	corner := run(t, in).ByCriterion[wall.MaxStress]
	within(t, "corner", corner.Index, stress(0.0325)/250e6, 0.02)
	if corner.Mode != "in-plane shear" {
		t.Errorf("corner: %s", corner.Mode)
	}
	in.Layers[0].Strength = &wall.Strength{Xt: 500e6, Xc: 500e6, Yt: 500e6, Yc: 500e6, S: 5e9}
	r := run(t, in)
	w := r.ByCriterion[wall.MaxStress]
	within(t, "middle", w.Index, stress(0.047886)/500e6, 0.02)
	if math.Abs(w.At[0]-0.2) > 0.02 || math.Abs(w.At[1]-0.2) > 0.02 {
		t.Errorf("worst at %v", w.At)
	}
	within(t, "margin", *r.Margin, 1/(*r.Index*1.5)-1, 1e-12)
	in.Edge = Clamped
	within(t, "edge", run(t, in).ByCriterion[wall.MaxStress].Index, stress(0.0513)/500e6, 0.08)
}

// ω·a²·√(m/D) of the pinned square plate is 19.739 (Leissa, NASA SP-160).
func TestPlateFrequency(t *testing.T) {
	r := run(t, plate(16, Pinned, 0.3))
	d := 70e9 * 8e-9 / (12 * 0.91)
	within(t, "frequency", float64(*r.Frequency), 19.739/(2*math.Pi*0.16)*math.Sqrt(d/3.2), 0.01)
}

// Inertia of n g on a flat plate is a pressure of n·g times its mass per area, in
// the worst of the six directions.
func TestInertiaTakesItsWorstDirection(t *testing.T) {
	in := plate(16, Pinned, 0.3)
	in.Cases = []Case{{Name: "pressure", Pressure: si.Pressure(6 * gravity * 3.2)}}
	want := run(t, in).Deflection
	in.Cases = []Case{{Name: "inertia", Inertia: 6}}
	within(t, "deflection", float64(run(t, in).Deflection), float64(want), 1e-9)
	in.Cases = []Case{{Name: "both", Inertia: 6, Pressure: si.Pressure(6 * gravity * 3.2)}}
	within(t, "deflection", float64(run(t, in).Deflection), 2*float64(want), 1e-9)
}

// A force in the middle of a clamped square plate: w = 0.00560·F·a²/D
// (Timoshenko and Woinowsky-Krieger, table 37). The patch softens it slightly.
func TestHandPushesWhereTheWallIsSoftest(t *testing.T) {
	in := plate(24, Clamped, 0.3)
	in.Cases = []Case{{Name: "hand", Handling: 100}}
	r := run(t, in)
	d := 70e9 * 8e-9 / (12 * 0.91)
	within(t, "deflection", float64(r.Deflection), 0.00560*100*0.16/d, 0.02)
	if math.Abs(r.DeflectionAt[0]-0.2) > 1e-9 || math.Abs(r.DeflectionAt[1]-0.2) > 1e-9 {
		t.Errorf("pushed at %v", r.DeflectionAt)
	}
	in.At = &r3.Vec{X: 0.1, Y: 0.1}
	if off := run(t, in); off.Deflection > r.Deflection/2 {
		t.Errorf("off the middle it moves %g of %g", off.Deflection, r.Deflection)
	}
}

// A clamped plate heated by 50 K is squeezed by E·α·ΔT/(1−ν) both ways and
// stays flat. Under load that stress is held: the ratio scales the load alone.
func TestHeldHeat(t *testing.T) {
	in := plate(12, Clamped, 0.3)
	in.Cases = []Case{{Name: "heat", DT: 50}}
	r := run(t, in)
	squeeze := 70e9 * 2e-5 * 50 / 0.7
	within(t, "squeeze", r.ByCriterion[wall.MaxStress].Index, squeeze/500e6, 1e-6)
	if r.Deflection != 0 {
		t.Errorf("heat alone counts as deflection %g", r.Deflection)
	}
	in.Cases = []Case{{Name: "cold", Pressure: 1000}}
	cold := run(t, in).ByCriterion[wall.MaxStress].Index * 500e6
	in.Cases = []Case{{Name: "hot", Pressure: 1000, DT: 50}}
	hot := run(t, in).ByCriterion[wall.MaxStress].Index
	within(t, "hot under pressure", 1/hot, (500e6-squeeze)/cold, 1e-6)
}

// Yarns that lie as a layer's angle says change nothing; yarns sheared evenly
// give the wall of the sheared ply.
func TestDrapedLayers(t *testing.T) {
	y := wall.Yarns{Along: wall.Elastic{E1: 105e9, E2: 6.4e9, G12: 2.7e9, Nu12: 0.28}, WarpShare: 0.6}
	e, _ := y.Weave()
	cloth := Layer{Mass: 0.35, Ply: wall.Ply{Name: "cloth", Thickness: 0.5e-3, Angle: si.Degrees(30), Elastic: &e, Yarns: &y, Woven: true,
		Strength: &wall.Strength{Xt: 500e6, Xc: 400e6, Yt: 500e6, Yc: 400e6, S: 80e6}}}
	in := plate(12, Clamped, 0.3)
	in.Layers = []Layer{cloth}
	in.Cases[0].Pressure = 50
	want := run(t, in)
	yarns := func(warp, weft float64) *Yarn {
		n := len(in.Mesh.Vertices)
		out := &Yarn{}
		for range n {
			w, f := warp*math.Pi/180, weft*math.Pi/180
			out.Warp = append(out.Warp, r3.Vec{X: math.Cos(w), Y: math.Sin(w)})
			out.Weft = append(out.Weft, r3.Vec{X: math.Cos(f), Y: math.Sin(f)})
		}
		return out
	}
	in.Layers = []Layer{cloth}
	in.Layers[0].Yarn = yarns(30, 120)
	got := run(t, in)
	within(t, "unsheared", float64(got.Deflection), float64(want.Deflection), 1e-9)
	within(t, "unsheared index", *got.Index, *want.Index, 1e-9)
	in.Layers[0].Yarn = yarns(30, 95)
	got = run(t, in)
	in.Layers[0].Yarn = yarns(30, 95-180) // a yarn runs both ways
	within(t, "weft the other way", float64(run(t, in).Deflection), float64(got.Deflection), 1e-9)
	in.Layers[0].Yarn = nil
	in.Layers[0].Ply = cloth.Sheared(si.Degrees(25))
	want = run(t, in)
	within(t, "sheared", float64(got.Deflection), float64(want.Deflection), 1e-9)
	within(t, "sheared mass", float64(*got.Mass), 0.35*0.16/math.Cos(25*math.Pi/180), 1e-9)
	if !has(got, "sheared-strength") {
		t.Error("no word about sheared strength")
	}
}

// The shear that draping gives counts, the yarns only say where the cloth points:
// evenly sheared, it is the wall of the sheared ply, turned by half of what the
// yarns show more.
func TestGivenShearCounts(t *testing.T) {
	y := wall.Yarns{Along: wall.Elastic{E1: 105e9, E2: 6.4e9, G12: 2.7e9, Nu12: 0.28}, WarpShare: 0.6}
	e, _ := y.Weave()
	cloth := Layer{Mass: 0.35, Ply: wall.Ply{Name: "cloth", Thickness: 0.5e-3, Elastic: &e, Yarns: &y, Woven: true}}
	in := plate(12, Clamped, 0.3)
	in.Cases[0].Pressure = 50
	n := len(in.Mesh.Vertices)
	yarns := func(warp, weft float64) *Yarn {
		out := &Yarn{Shear: make([]float64, n)}
		for v := range n {
			w, f := warp*math.Pi/180, weft*math.Pi/180
			out.Warp = append(out.Warp, r3.Vec{X: math.Cos(w), Y: math.Sin(w)})
			out.Weft = append(out.Weft, r3.Vec{X: math.Cos(f), Y: math.Sin(f)})
			out.Shear[v] = 25 * math.Pi / 180
		}
		return out
	}
	in.Layers = []Layer{cloth}
	in.Layers[0].Ply = cloth.Sheared(si.Degrees(25))
	in.Layers[0].Angle = si.Degrees(30)
	want := run(t, in)
	in.Layers = []Layer{cloth}
	for _, shown := range [][2]float64{{30, 95}, {27, 98}} {
		in.Layers[0].Yarn = yarns(shown[0], shown[1])
		within(t, "sheared", float64(run(t, in).Deflection), float64(want.Deflection), 1e-9)
	}
	in.Layers[0].Yarn.Shear = in.Layers[0].Yarn.Shear[1:]
	if _, err := Check(context.Background(), in); err == nil {
		t.Error("shear that does not fit the surface passes")
	}
}

// The mass of sheared cloth is its areal mass over the cosine, summed over the
// surface: exactly so for the vertices' share of the area, whatever the shear.
func TestMassOfShearedCloth(t *testing.T) {
	in := plate(10, Clamped, 0.3)
	l := metal(0.3)
	l.Mass = 0.35
	l.Yarn = &Yarn{}
	var want float64
	areas := in.Mesh.VertexAreas()
	for v, p := range in.Mesh.Vertices {
		γ := 1.5*p.X*p.Y/0.16 - 0.5
		l.Yarn.Warp = append(l.Yarn.Warp, r3.Vec{X: math.Cos(γ / 2), Y: math.Sin(γ / 2)})
		l.Yarn.Weft = append(l.Yarn.Weft, r3.Vec{X: math.Sin(γ / 2), Y: math.Cos(γ / 2)})
		l.Yarn.Shear = append(l.Yarn.Shear, γ)
		want += 0.35 * areas[v] / math.Cos(γ)
	}
	in.Layers = []Layer{l}
	within(t, "mass", float64(*run(t, in).Mass), want, 1e-12)
}

// Cut in two the same wall fails alike: each layer is judged where it lies.
func TestSlicedWallFailsAlike(t *testing.T) {
	in := plate(10, Pinned, 0.3)
	whole := run(t, in)
	a, b := metal(0.3), metal(0.3)
	a.Thickness, b.Thickness = 1.5e-3, 0.5e-3
	in.Layers = []Layer{a, b}
	within(t, "index", *run(t, in).Index, *whole.Index, 1e-9)
}

// A sandwich carries its load's shear in the core: 0.338·q·a beside the middle of
// an edge of a pinned square plate (Timoshenko and Woinowsky-Krieger, table 8),
// spread over the distance of the skins; its motion is that of the thin plate plus
// M/S. Both hold for edges that do not turn along themselves. A pinned edge may,
// which a soft core answers with some 8 to 20 percent more motion.
func TestCoreFailsInShear(t *testing.T) {
	in := plate(20, Pinned, 0.3)
	skin := metal(0.3)
	skin.Thickness = 0.25e-3
	core := Layer{Core: true, CoreShear: 1e6, Mass: 0.8, Ply: wall.Ply{Name: "foam", Thickness: 10e-3, G13: 27e6, G23: 27e6,
		Elastic: &wall.Elastic{E1: 1e6, E2: 1e6, G12: 0.4e6, Nu12: 0.25}}}
	in.Layers = []Layer{skin, core, skin}
	in.Cases[0].Pressure = 20e3
	r := run(t, in)
	if r.Worst.Mode != "core in shear" || r.Worst.Ply != 1 {
		t.Errorf("%+v", r.Worst)
	}
	within(t, "index", *r.Index, 0.338*20e3*0.4/10.25e-3/1e6, 0.2)
	// Thin theory and M/S: D = E·t·d²/(2(1−ν²)).
	d := 70e9 * 0.25e-3 * 10.25e-3 * 10.25e-3 / (2 * 0.91)
	want := 0.0040624*20e3*0.4*0.4*0.4*0.4/d + 0.07367*20e3*0.16/(27e6*10.25e-3*10.25e-3/10e-3)
	if c := float64(r.Deflection) / want; !(c > 1.05 && c < 1.20) {
		t.Errorf("deflection %.3f of the plate with stiff edges", c)
	}
}

// Over a fold the reference goes on as on the unfolded sheet.
func TestReferenceIsCarriedOverAFold(t *testing.T) {
	m := panel(8, func(u, v float64) r3.Vec { // level, then straight down
		x := 2 * u
		if x > 1 {
			return r3.Vec{X: 1, Y: v, Z: 1 - x}
		}
		return r3.Vec{X: x, Y: v}
	})
	top, err := mesh.NewTopology(m)
	if err != nil {
		t.Fatal(err)
	}
	axis, err := reference(top, r3.Vec{X: 1})
	if err != nil {
		t.Fatal(err)
	}
	for f, a := range axis {
		want := r3.Vec{X: 1}
		if m.Centroid(f).X > 0.999 {
			want = r3.Vec{Z: -1}
		}
		if r3.Norm(r3.Sub(a, want)) > 1e-12 {
			t.Fatalf("triangle %d at %v: %v, want %v", f, m.Centroid(f), a, want)
		}
	}
	if _, err := reference(top, r3.Vec{}); err == nil {
		t.Error("no direction was taken")
	}
}

func withHole(n int) *mesh.Mesh {
	m := panel(n, flat(0.4))
	m.Triangles = slices.DeleteFunc(m.Triangles, func(t [3]int32) bool {
		c := r3.Scale(1.0/3, r3.Add(m.Vertices[t[0]], r3.Add(m.Vertices[t[1]], m.Vertices[t[2]])))
		return math.Abs(c.X-0.2) < 0.05 && math.Abs(c.Y-0.2) < 0.05
	})
	return m
}

// A cut-out's rim is free: a plate with a hole moves further than one without.
func TestCutOutIsFree(t *testing.T) {
	in := plate(16, Clamped, 0.3)
	whole := run(t, in)
	in.Mesh = withHole(16)
	r := run(t, in)
	if !has(r, "cut-outs-free") || !(r.Deflection > whole.Deflection/2) {
		t.Errorf("%g against %g, %v", r.Deflection, whole.Deflection, r.Findings)
	}
}

// Fasteners at the corners hold a plate softer than its pinned edge: 0.0249 to
// 0.0265·q·a⁴/D for point supports (Timoshenko and Woinowsky-Krieger give 0.0249
// for ν 0.25 to 0.3 from an early series), against 0.00406.
func TestFastenersHoldAtPoints(t *testing.T) {
	in := plate(16, "", 0.3)
	in.Cases[0].Pressure = 20
	for _, x := range []float64{0, 0.4} {
		for _, y := range []float64{0, 0.4} {
			in.Fasteners = append(in.Fasteners, Fastener{At: r3.Vec{X: x, Y: y}, Diameter: 4e-3})
		}
	}
	d := 70e9 * 8e-9 / (12 * 0.91)
	c := float64(run(t, in).Deflection) * d / (20 * 0.4 * 0.4 * 0.4 * 0.4)
	if !(c > 0.0245 && c < 0.0270) {
		t.Errorf("w·D/(q·a⁴) is %.4f", c)
	}
	// Each bears a quarter of the load, square to the plate, but for the diagonals
	// of the mesh, which all run one way.
	var sum float64
	for _, f := range run(t, in).Fasteners {
		within(t, "pull", float64(f.Pull), 20*0.16/4, 5e-3)
		sum += float64(f.Pull)
		if f.Shear > 1e-6 || f.Case != "pressure" {
			t.Errorf("%+v", f)
		}
	}
	within(t, "all pulls", sum, 20*0.16, 1e-9)
	in.Cases = []Case{{Name: "inertia", Inertia: 2}}
	for _, f := range run(t, in).Fasteners { // in some direction each bears its share of the weight
		if size := math.Hypot(float64(f.Pull), float64(f.Shear)); size < 2*gravity*3.2*0.16/4*(1-1e-9) {
			t.Errorf("%+v", f)
		}
	}
	in.Fasteners[0].At.Z = 0.2
	if _, err := Check(context.Background(), in); err == nil {
		t.Error("a fastener in the air was taken")
	}
}

// A shallow dome under suction buckles; under pressure it is stretched.
func TestDomeBucklesUnderSuction(t *testing.T) {
	in := plate(14, Clamped, 0.3)
	in.Mesh = panel(14, func(u, v float64) r3.Vec {
		x, y := 2*u-1, 2*v-1
		return r3.Vec{X: 0.2 * x, Y: 0.2 * y, Z: 0.04 * (1 - x*x) * (1 - y*y)}
	})
	in.Layers[0].Thickness = 0.3e-3
	in.Cases = []Case{{Name: "suction", Pressure: -20000}}
	suck := run(t, in)
	if suck.Buckling == nil || *suck.Buckling > 3 || !has(suck, "wall-buckles") {
		t.Errorf("suction: %v", suck.Buckling)
	}
	in.Cases[0].Pressure = 20000
	blow := run(t, in)
	if blow.Buckling != nil && *blow.Buckling < *suck.Buckling {
		t.Errorf("pressure buckles at %g, suction at %g", *blow.Buckling, *suck.Buckling)
	}
}

func TestFindings(t *testing.T) {
	in := plate(12, "", 0.3)
	in.Cases[0].Pressure = 60e3
	limit := si.Length(1e-3)
	in.Limit = &limit
	in.Layers[0].Expansion = nil
	in.Cases[0].DT = 20
	r := run(t, in)
	for _, code := range []string{"edge-taken-as-pinned", "wall-too-weak", "moves-too-far", "moves-beyond-linear", "expansion-unknown", "mid-wall-triangles"} {
		if !has(r, code) {
			t.Errorf("no finding %s", code)
		}
	}
	in.Layers[0].Strength = nil
	r = run(t, in)
	if r.Index != nil || r.Margin != nil || !has(r, "strength-unknown") {
		t.Error("failure without strengths")
	}
	b, err := json.Marshal(r)
	if err != nil || strings.Contains(string(b), "null") {
		t.Errorf("%v %s", err, b)
	}
}

func TestRefusals(t *testing.T) {
	for name, spoil := range map[string]func(in *Input){
		"duty.loads":             func(in *Input) { in.Cases = nil },
		"duty.loads.pressure":    func(in *Input) { in.Cases[0].Pressure = si.Pressure(math.NaN()) },
		"duty.loads.factor":      func(in *Input) { in.Factor = 0.5 },
		"laminate.stack[0]":      func(in *Input) { in.Layers[0].Elastic = nil },
		"part.held.edge":         func(in *Input) { in.Edge = "glued" },
		"plies.warp":             func(in *Input) { in.Warp = r3.Vec{Z: 1} },
		"duty.loads.handling.at": func(in *Input) { in.At, in.Cases[0].Handling = &r3.Vec{Z: 1}, 10 },
	} {
		in := plate(4, Pinned, 0.3)
		spoil(&in)
		_, err := Check(context.Background(), in)
		var i *fault.Input
		var r *fault.Range
		field := ""
		if errors.As(err, &i) {
			field = i.Field
		} else if errors.As(err, &r) {
			field = r.Field
		}
		if field != name {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// The same part gives the same bytes on one core and on several.
func TestSameBytesOnAnyNumberOfCores(t *testing.T) {
	in := plate(14, Clamped, 0.3)
	in.Cases = append(in.Cases, Case{Name: "inertia", Inertia: 6, DT: 30}, Case{Name: "hand", Handling: 50})
	before := runtime.GOMAXPROCS(1)
	one, _ := json.Marshal(run(t, in))
	runtime.GOMAXPROCS(4)
	many, _ := json.Marshal(run(t, in))
	runtime.GOMAXPROCS(before)
	if string(one) != string(many) {
		t.Errorf("%s\n%s", one, many)
	}
}
