package mould

import (
	"math"
	"os"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
)

func imported(t testing.TB, m *mesh.Mesh, yaml string) (Result, error) {
	t.Helper()
	in := read(t, yaml)
	in.Imported = m
	return Work(in)
}

func mustImport(t testing.TB, m *mesh.Mesh, yaml string) Result {
	t.Helper()
	r, err := imported(t, m, yaml)
	if err != nil {
		t.Fatalf("%s\n%v", yaml, err)
	}
	return r
}

// plate is flat, 300 by 200 mm, its triangles some 12 mm.
func flatPlate() *mesh.Mesh {
	return shapes.Patch(25, 17, func(u, v float64) r3.Vec { return r3.Vec{X: 0.3 * u, Y: 0.2 * v} })
}

// A mirror image is the same part of the other hand: the volume stays positive,
// each vertex lies where the mirror shows it, and the plan says so. A part without
// a plane of symmetry, three unlike arms, tells the hands apart.
func TestMirrorKeepsTrackOfHand(t *testing.T) {
	t.Parallel()
	m := shapes.Sphere(0.1, 2)
	for v, p := range m.Vertices { // drawn out along +x, a little along +y, less along +z
		m.Vertices[v] = r3.Vec{X: p.X * (1 + 5*max(0, p.X)), Y: p.Y * (1 + 3*max(0, p.Y)), Z: p.Z * (1 + max(0, p.Z))}
	}
	plain := mustImport(t, m, "mould: {file: a.stl, unit: mm}")
	for _, axis := range []string{"x", "y", "z"} {
		r := mustImport(t, m, "mould: {file: a.stl, unit: mm, import: {mirror: "+axis+"}}")
		if r.Hand != "mirrored" || !has(r, "mesh-mirrored") || plain.Hand != "as drawn" {
			t.Errorf("hand %q, before %q", r.Hand, plain.Hand)
		}
		near(t, "volume", volume(r), volume(plain), 1e-12)
		if got, want := handOf(r.Face), -handOf(plain.Face); math.Abs(got-want) > 1e-9*math.Abs(want) || want == 0 {
			t.Errorf("across %s: chirality %g, want %g", axis, got, want)
		}
	}
	back := mustImport(t, m, `mould: {file: a.stl, unit: mm, import: {mirror: x, turn: [{axis: [1, 0, 0], by: "180 deg"}]}}`)
	if got, want := handOf(back.Face), -handOf(plain.Face); math.Abs(got-want) > 1e-9*math.Abs(want) {
		t.Errorf("turned after the mirror: chirality %g, want %g", got, want)
	}
}

// handOf is a pseudoscalar of the enclosed body: its third moments' triple product,
// which no turn changes and every mirror negates.
func handOf(m *mesh.Mesh) float64 {
	var centre, a, b, c r3.Vec
	for _, p := range m.Vertices {
		centre = r3.Add(centre, r3.Scale(1/float64(len(m.Vertices)), p))
	}
	for _, p := range m.Vertices {
		d := r3.Sub(p, centre)
		l := r3.Norm2(d)
		a, b, c = r3.Add(a, r3.Scale(l, d)), r3.Add(b, r3.Scale(l*l, d)), r3.Add(c, r3.Scale(l*l*l, d))
	}
	return r3.Dot(r3.Unit(a), r3.Cross(r3.Unit(b), r3.Unit(c)))
}

// Scale, mirror, turn, move: in that order, each exact.
func TestPlaceInOrder(t *testing.T) {
	t.Parallel()
	m := flatPlate()
	r := mustImport(t, m, `
mould:
  file: a.stl
  unit: mm
  import:
    scale: 2
    mirror: x
    turn: [{axis: [0, 0, 1], by: "90 deg"}, {axis: [1, 0, 0], by: "90 deg"}]
    move: {unit: mm, xyz: [1, 2, 3]}`)
	for v, p := range m.Vertices {
		p = r3.Vec{X: -2 * p.X, Y: 2 * p.Y} // scaled, mirrored
		p = r3.Vec{X: -p.Y, Y: p.X, Z: p.Z} // a quarter turn about z
		p = r3.Vec{X: p.X, Y: -p.Z, Z: p.Y} // and about x
		p = r3.Add(p, r3.Vec{X: 1e-3, Y: 2e-3, Z: 3e-3})
		if d := r3.Norm(r3.Sub(r.Face.Vertices[v], p)); d > 1e-12 {
			t.Fatalf("vertex %d is %g m off", v, d)
		}
	}
}

// Cut by a plane and outlines, areas in closed form: a half plate, a plate inside
// an outline, an L-shaped hole whose six corners are vertices of the rim, and a slot
// narrower than a triangle.
func TestCutAreas(t *testing.T) {
	t.Parallel()
	const head = "mould: {file: a.stl, unit: mm"
	for _, c := range []struct {
		name, yaml string
		want       float64
		corners    [][2]float64 // mm
	}{
		{"plane", head + ", import: {cuts: [{plane: {at: {unit: mm, xyz: [100, 50, 0]}, normal: [3, 4, 0]}}]}}", 0.06 - beyondLine(), nil},
		{"outline", head + ", import: {cuts: [{outline: {outline: {unit: mm, points: [[-71, -33], [71, -33], [20, 61]]}, at: {unit: mm, xyz: [150, 100, 0]}}}]}}", 0.5 * 0.142 * 0.094, [][2]float64{{79, 67}, {221, 67}, {170, 161}}},
		{"hole", head + "}\npart: {cutouts: [{polygon: {outline: {unit: mm, points: [[0, 0], [61, 0], [61, 23], [25, 23], [25, 57], [0, 57]]}, at: {unit: mm, xyz: [121, 77, 0]}}}]}", 0.06 - (0.061*0.023 + 0.025*0.034), [][2]float64{{121, 77}, {182, 77}, {182, 100}, {146, 100}, {146, 134}, {121, 134}}},
		{"slot", head + "}\npart: {cutouts: [{polygon: {outline: {unit: mm, points: [[-40, -1], [40, -1], [40, 1], [-40, 1]]}, at: {unit: mm, xyz: [150, 101, 0]}}}]}", 0.06 - 0.08*0.002, [][2]float64{{110, 100}, {190, 102}}},
		{"dot", head + "}\npart: {cutouts: [{polygon: {outline: {unit: mm, points: [[-2, -2], [2, -2], [0, 2]]}, at: {unit: mm, xyz: [150, 103, 0]}}}]}", 0.06 - 0.5*0.004*0.004, [][2]float64{{150, 105}}},
		{"trim", head + "}\npart: {trim: {polyline: {unit: mm, points: [[33, 21], [271, 21], [271, 177], [33, 177]]}}}", 0.238 * 0.156, [][2]float64{{33, 21}, {271, 177}}},
	} {
		r := mustImport(t, flatPlate(), c.yaml)
		sane(t, r)
		if got := area(r); math.Abs(got-c.want) > 1e-10 {
			t.Errorf("%s: area %.9g m², want %.9g", c.name, got, c.want)
		}
		for _, want := range c.corners {
			found := false
			for _, rim := range r.Rims {
				for _, v := range rim.Vertices {
					p := r.Surface.Vertices[v]
					found = found || math.Hypot(1e3*p.X-want[0], 1e3*p.Y-want[1]) < 1e-6
				}
			}
			if !found {
				t.Errorf("%s: no rim vertex at the corner %v", c.name, want)
			}
		}
	}
}

// beyondLine is the plate's area where 3(x−100) + 4(y−50) > 0 in mm: a trapezium
// for each x, y from max(0, 50−¾(x−100)) to 200.
func beyondLine() float64 {
	// the line meets y = 0 at x = 500/3, and x = 0 at y = 125
	return 0.3*0.2 - 0.5*0.125*(0.5/3)
}

// What belongs to scans: a fill is tagged and its area told, noise is taken out
// within the bound, the repairs are listed, and the part still comes out.
func TestScanOfSwells(t *testing.T) {
	t.Parallel()
	m := shapes.Scan(1, 20_000, shapes.UsualFlaws)
	r := mustImport(t, m, `
mould:
  file: scan.stl
  unit: mm
  pull: [0, 0, 1]
  import: {smooth: "0.3 mm", fill: "40 mm", triangles: "6 mm", within: "4 mm"}`)
	sane(t, r)
	if len(r.Rims) != 1 || r.FilledArea == nil || !(*r.FilledArea > 0) || !has(r, "mesh-filled") || !has(r, "mesh-mended") {
		t.Errorf("%d rims, filled %v", len(r.Rims), r.FilledArea)
	}
	var tagged float64
	for f, is := range r.Filled {
		if is {
			tagged += r.Surface.FaceArea(f)
		}
	}
	near(t, "tagged area", tagged, float64(*r.FilledArea), 1e-9)
	moved := 0.0
	for _, one := range r.Repairs {
		if strings.Contains(one.What, "noise") {
			moved = float64(one.Moved)
		}
	}
	if !(moved > 0 && moved <= 0.3e-3*(1+1e-9)) || len(r.Repairs) < 5 {
		t.Errorf("noise moved vertices by %g m; %d repairs", moved, len(r.Repairs))
	}
	if has(r, "mesh-crosses") {
		for _, f := range r.Findings {
			if f.Code == "mesh-crosses" {
				t.Error(f.What)
			}
		}
		for _, q := range r.Repairs {
			t.Logf("%+v", q)
		}
	}
}

// The fairing thickened to a plug of foam stands on a flat base, closed; its
// volume is that of the body under z = H(1 − |s|ⁿ − |t|ᵐ) and the slab below,
// whose integrals are Beta functions.
func TestFairingPlug(t *testing.T) {
	t.Parallel()
	data, err := os.ReadFile(fairingFile)
	if err != nil {
		t.Fatal(err)
	}
	r := mustImport(t, soup(t, data), `mould: {file: a.stl, unit: mm, pull: [0, 0, 1], import: {thicken: {base: "25 mm"}}}`)
	const n, m = 2.5, 2.2
	foot := math.Gamma(1+1/n) * math.Gamma(1+1/m) / math.Gamma(1+1/n+1/m) // of the area 1 in s, t > 0
	body := foot / (1 + 1/n + 1/m)                                        // ∫∫ 1 − sⁿ − tᵐ
	want := 2 * 0.08 * 0.5 * (foot*0.025 + body*0.12)
	near(t, "volume", volume(r), want, 2e-3)
	if r.Body == nil || r.Body.Triangles <= r.Triangles {
		t.Fatal("no body")
	}
	top, err := mesh.NewTopology(r.Body.Mesh)
	if err != nil || !top.Closed() {
		t.Errorf("the plug is not closed: %v", err)
	}
}

// Units: asked for with what the file would measure in each; a written unit that
// can't be is doubted with the one that can.
func TestUnitAsked(t *testing.T) {
	t.Parallel()
	err := AskUnit("hull.obj", r3.Vec{X: 440, Y: 340, Z: 80})
	for _, want := range []string{"440 x 340 x 80 mm if mm", "11.2 x 8.64 x 2.03 m if inch", "440 x 340 x 80 m if m", "unit: mm"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v lacks %q", err, want)
		}
	}
	if err := AskUnit("a.stl", r3.Vec{X: 17, Y: 12, Z: 3}); !strings.Contains(err.Error(), "unit: inch") {
		t.Error(err) // 20 mm across: 432 x 305 x 76 mm in inches is likelier
	}
	r := mustImport(t, shapes.Scaled(flatPlate(), 1000), "mould: {file: a.stl, unit: m}") // drawn in mm
	for _, f := range r.Findings {
		if f.Code == "mesh-size" && strings.Contains(f.Do, "mould.unit: mm") && strings.Contains(f.Do, "300 x 200 x 0 mm") {
			return
		}
	}
	t.Errorf("no doubt about 300 m: %v", r.Findings)
}

// What can't be done is refused at its field with what to write instead.
func TestImportRefused(t *testing.T) {
	t.Parallel()
	two := shapes.Together(false, flatPlate(), shapes.Moved(flatPlate(), r3.Vec{Z: 0.1}))
	for _, c := range []struct {
		m          *mesh.Mesh
		yaml, want string
	}{
		{flatPlate(), "import: {mirror: w}", "mould.import.mirror"},
		{flatPlate(), "import: {keep: best}", "mould.import.keep"},
		{flatPlate(), `import: {edge: "200 deg"}`, "mould.import.edge"},
		{flatPlate(), `import: {smooth: "100 mm"}`, "mould.import.smooth"},
		{flatPlate(), `import: {triangles: "0.01 mm"}`, "mould.import.triangles"},
		{flatPlate(), `import: {cuts: [{plane: {at: {unit: mm, xyz: [0, 0, 50]}, normal: [0, 0, 1]}}]}`, "it misses"},
		{flatPlate(), `import: {cuts: [{}]}`, "a plane or an outline"},
		{flatPlate(), `import: {thicken: {base: "5 mm", shell: "5 mm"}}`, "one of base: and shell:"},
		{shapes.Sphere(0.1, 2), `import: {thicken: {base: "5 mm"}}`, "a solid already"},
		{two, "", "keep: largest"},
		{shapes.Moebius(0.1, 0.03, 40, 4), "", "one side only"},
	} {
		_, err := imported(t, c.m, "mould: {file: a.stl, unit: mm, "+c.yaml+"}")
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.yaml, err, c.want)
		}
	}
	r := mustImport(t, two, "mould: {file: a.stl, unit: mm, import: {keep_at: {unit: mm, xyz: [0, 0, 90]}}}")
	if b := r.Face.Bounds(); b.Min.Z != 0.1 {
		t.Errorf("the piece at z = %g was kept", b.Min.Z)
	}
	if _, err := Work(read(t, "mould: {solids: [{dome: {diameter: \"100 mm\", height: \"20 mm\", at: {unit: mm, xyz: [0, 0, 0]}}}], import: {scale: 2}}")); err == nil {
		t.Error("import without a file was taken")
	}
}

// crossing is a strip that comes back through itself, as the letter alpha does.
func crossing() *mesh.Mesh {
	return shapes.Patch(61, 10, func(u, v float64) r3.Vec {
		a := 2.2*math.Pi*u - 1.1*math.Pi
		return r3.Vec{X: 0.1 * math.Sin(a), Y: 0.1*v + 0.001*u, Z: 0.1*math.Cos(a) + 0.02*math.Sin(2*a)}
	})
}

// An open surface that looks against the pull is turned over and that is listed; a
// cavity's free side is its inside.
func TestTurnedToPull(t *testing.T) {
	t.Parallel()
	cap := shapes.Cap(0.1, 1, 12)
	for _, c := range []struct {
		m      *mesh.Mesh
		kind   string
		pull   string
		turned bool
	}{{cap, "plug", "[0, 0, 1]", false}, {cap.Flipped(), "plug", "[0, 0, 1]", true}, {cap, "cavity", "[0, 0, -1]", false}, {cap.Flipped(), "cavity", "[0, 0, -1]", true}} {
		r := mustImport(t, c.m, "mould: {file: a.stl, unit: mm, kind: "+c.kind+", pull: "+c.pull+"}")
		if has(r, "mesh-turned") != c.turned || *r.UndercutArea > 0 {
			t.Errorf("%s: turned %v, undercut %g m²", c.kind, !c.turned, float64(*r.UndercutArea))
		}
	}
}

// A surface that runs through itself is told with the place.
func TestCrossingTold(t *testing.T) {
	t.Parallel()
	r := mustImport(t, crossing(), "mould: {file: a.stl, unit: mm}")
	if !has(r, "mesh-crosses") {
		t.Error("not told")
	}
}
