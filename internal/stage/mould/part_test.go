package mould

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
)

const boxYAML = `
mould:
  triangle: "12 mm"
  solids: [{block: {size: {unit: mm, xyz: [120, 80, 50]}, at: {unit: mm, xyz: [0, 0, 0]}}}]
  flange: "20 mm"
`

// Cut-outs take their own area off flat walls, and only off the wall they are
// at: the wall opposite stays.
func TestCutoutsOnFlats(t *testing.T) {
	t.Parallel()
	fine := strings.ReplaceAll(boxYAML, "12 mm", "6 mm")
	whole := work(t, read(t, fine))
	r := work(t, read(t, fine+`
part:
  cutouts:
    - circle: {diameter: "30 mm", at: {unit: mm, xyz: [60, 0, 25]}}
    - polygon: {outline: {unit: mm, points: [[-20, -10], [20, -10], [20, 10], [-20, 10]]}, at: {unit: mm, xyz: [0, 0, 50]}}
    - circle: {diameter: "4 mm", at: {unit: mm, xyz: [-40, 25, 50]}, axis: [0, 0, 1]}
`))
	sane(t, r)
	near(t, "area taken off", area(whole)-area(r), math.Pi*0.015*0.015+0.04*0.02+math.Pi*0.002*0.002, 0.01)
	count := map[RimKind]int{}
	want := []float64{math.Pi * 0.03, 2 * 0.06, math.Pi * 0.004}
	for _, rim := range r.Rims {
		count[rim.Kind]++
		if rim.Kind == CutRim {
			near(t, "rim", rimLength(r, rim), want[rim.Index], 0.03)
		}
	}
	if count[Outer] != 1 || count[CutRim] != 3 {
		t.Errorf("rims %v", count)
	}
	if float64(r.FaceArea) != float64(whole.FaceArea) || volume(r) != volume(whole) {
		t.Error("cut-outs must not change the mould")
	}
}

// A hole through a tube's wall: its rim lies on both cylinders.
func TestCutoutOnTube(t *testing.T) {
	t.Parallel()
	r := work(t, read(t, `
mould:
  triangle: "6 mm"
  solids: [{cylinder: {diameter: "100 mm", height: "80 mm", at: {unit: mm, xyz: [0, 0, 0]}}}]
part: {cutouts: [{circle: {diameter: "40 mm", at: {unit: mm, xyz: [50, 0, 40]}}}]}`))
	sane(t, r)
	for _, rim := range r.Rims {
		if rim.Kind != CutRim {
			continue
		}
		for _, v := range rim.Vertices {
			p := r.Surface.Vertices[v]
			if a, b := math.Hypot(p.X, p.Y)-0.05, math.Hypot(p.Y, p.Z-0.04)-0.02; math.Abs(a) > 1e-8 || math.Abs(b) > 1e-8 || p.X < 0 {
				t.Fatalf("a rim vertex stands %g and %g m off", a, b)
			}
		}
		return
	}
	t.Error("no rim of the cut-out")
}

func TestTrimPlaneAndLine(t *testing.T) {
	t.Parallel()
	whole := work(t, read(t, boxYAML))
	half := work(t, read(t, boxYAML+"part: {trim: {plane: {at: {unit: mm, xyz: [0, 0, 0]}, normal: [1, 0, 0]}}}"))
	sane(t, half)
	near(t, "half", area(half), area(whole)/2, 1e-4)
	for _, v := range half.Surface.Vertices {
		if v.X > 1e-8 {
			t.Fatalf("%v lies beyond the plane", v)
		}
	}
	line := work(t, read(t, boxYAML+"part: {trim: {polyline: {unit: mm, points: [[-72, -52], [72, -52], [72, 52], [-72, 52]]}}}"))
	sane(t, line)
	near(t, "trimmed", area(line), 0.4*0.05+0.144*0.104, 1e-6)
}

func TestAreaOnly(t *testing.T) {
	t.Parallel()
	in := read(t, `part: {area: "0.35 m^2"}`)
	r := work(t, in)
	if math.Abs(area(r)-0.35) > 1e-12 || r.Surface != nil {
		t.Errorf("area %g", area(r))
	}
	text, err := json.Marshal(r)
	if err != nil || string(text) != `{"area_m2":0.35}` {
		t.Errorf("%s, %v", text, err)
	}
}

// The keys that others read.
func TestKeys(t *testing.T) {
	t.Parallel()
	text, err := json.Marshal(work(t, read(t, boxYAML)))
	if err != nil {
		t.Fatal(err)
	}
	var keys map[string]any
	if err := json.Unmarshal(text, &keys); err != nil {
		t.Fatal(err)
	}
	for _, k := range []string{"area_m2", "volume_m3", "triangles", "closed", "undercut_area_m2", "min_hollow_radius_m", "min_draft_deg"} {
		if _, ok := keys[k]; !ok {
			t.Errorf("no key %s", k)
		}
	}
}

func TestRefused(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ yaml, path string }{
		{`mould: {solids: [{block: {size: {unit: mm, xyz: [120, -80, 50]}, at: {unit: mm, xyz: [0,0,0]}}}]}`, "mould.solids[0].block.size.y"},
		{`mould: {solids: [{block: {size: {unit: mm, xyz: [120, 80, 50]}, at: {unit: mm, xyz: [0,0,0]}, edge: "41 mm"}}]}`, "mould.solids[0].block.edge"},
		{`mould: {solids: [{block: {size: {unit: mm, xyz: [120, 80, 100]}, at: {unit: mm, xyz: [0,0,0]}, draft: "25 deg"}}]}`, "mould.solids[0].block.draft"},
		{`mould: {solids: [{block: {size: {unit: mm, xyz: [120, 80, 50]}, at: {unit: mm, xyz: [0,0,0]}}}, {cylinder: {diameter: "0 mm", height: "40 mm", at: {unit: mm, xyz: [0,0,0]}}}]}`, "mould.solids[1].cylinder.diameter"},
		{`mould: {solids: [{cylinder: {diameter: "20 mm", height: "100 mm", draft: "10 deg", at: {unit: mm, xyz: [0,0,0]}}}]}`, "mould.solids[0].cylinder.draft"},
		{`mould: {solids: [{dome: {diameter: "20 mm", height: "30 mm", at: {unit: mm, xyz: [0,0,0]}}}]}`, "mould.solids[0].dome.height"},
		{`mould: {solids: [{blister: {length: "200 mm", width: "80 mm", height: "30 mm", crown: 0.95}}]}`, "mould.solids[0].blister.crown"},
		{`mould: {solids: [{sweep: {path: {unit: mm, points: [[0,0,50],[100,0,50],[100,100,50]]}, bend: "10 mm", from: {circle: "50 mm"}}}]}`, "mould.solids[0].sweep.bend"},
		{`mould: {solids: [{block: {size: {unit: mm, xyz: [120, 80, 50]}, at: {unit: mm, xyz: [0,0,-60]}}}]}`, "mould.solids[0]"},
		{`mould: {fillet: "60 mm", solids: [{block: {size: {unit: mm, xyz: [120, 80, 50]}, at: {unit: mm, xyz: [0,0,0]}}}]}`, "mould.fillet"},
		{`mould: {fillet: "20 mm", flange: "15 mm", solids: [{block: {size: {unit: mm, xyz: [120, 80, 50]}, at: {unit: mm, xyz: [0,0,0]}}}]}`, "mould.flange"},
		{`mould: {flange: "15 mm", solids: [{cylinder: {diameter: "30 mm", height: "40 mm", at: {unit: mm, xyz: [0,0,60]}, axis: [1, 0, 0]}}]}`, "mould.flange"},
		{`mould: {solids: [{block: {size: {unit: mm, xyz: [50, 50, 50]}, at: {unit: mm, xyz: [0,0,0]}}}, {block: {size: {unit: mm, xyz: [50, 50, 50]}, at: {unit: mm, xyz: [90,0,0]}}}]}`, "mould.solids"},
		{`mould: {triangle: "10 mm", fillet: "10 mm", flange: "25 mm", solids: [{block: {size: {unit: mm, xyz: [241, 152, 70]}, at: {unit: mm, xyz: [0,0,0]}, edge: "12 mm", draft: "3 deg"}}, {cylinder: {diameter: "64 mm", height: "40 mm", at: {unit: mm, xyz: [110, 0, 38]}, axis: [1, 0, 0]}}]}`, "mould.flange"},
		{`mould: {solids: [{}]}`, "mould.solids[0]"},
		{`mould: {kind: pug, solids: [{}]}`, "mould.kind"},
		{`mould: {}`, "mould.solids"},
		{boxYAML + `part: {cutouts: [{circle: {diameter: "20 mm", at: {unit: mm, xyz: [200, 0, 25]}, axis: [1, 0, 0]}}]}`, "part.cutouts[0].circle.at"},
		{boxYAML + `part: {cutouts: [{circle: {diameter: "-20 mm", at: {unit: mm, xyz: [60, 0, 25]}}}]}`, "part.cutouts[0].circle.diameter"},
		{boxYAML + `part: {trim: {plane: {at: {unit: mm, xyz: [-500, 0, 0]}, normal: [1, 0, 0]}}}`, "part.trim"},
		{boxYAML + `part: {trim: {polyline: {unit: mm, points: [[0, 0], [50, 50], [50, 0], [0, 50]]}}}`, "part.trim.polyline"},
		{boxYAML + `part: {area: "1 m^2"}`, "part.area"},
	} {
		_, err := Work(read(t, c.yaml))
		if err == nil || !strings.HasPrefix(err.Error(), c.path+":") && !strings.HasPrefix(err.Error(), c.path+" ") {
			t.Errorf("%s\n\tgave %v, want %s", c.yaml, err, c.path)
		}
		var a *fault.Input
		var b *fault.Range
		if !errors.As(err, &a) && !errors.As(err, &b) {
			t.Errorf("%s: not a fault of the input: %v", c.path, err)
		}
	}
}

// Numbers that are none are refused, never carried on.
func TestNaNRefused(t *testing.T) {
	t.Parallel()
	in := read(t, boxYAML)
	in.Mould.Solids[0].Block.Size.V = r3.Vec{X: math.NaN(), Y: 0.1, Z: 0.1}
	if _, err := Work(in); err == nil {
		t.Error("a size that is no number was taken")
	}
	in = read(t, boxYAML)
	in.Mould.Flange = -1e300
	if _, err := Work(in); err == nil {
		t.Error("a huge negative flange was taken")
	}
}
