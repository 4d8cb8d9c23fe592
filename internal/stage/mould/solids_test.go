package mould

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func area(r Result) float64   { return float64(r.Area) }
func volume(r Result) float64 { return float64(*r.Volume) }

// roundedBlock returns area and volume above its foot of a block a × b × h, not
// leaning, whose edges but the foot's are rounded to e: Steiner's formula for
// the rounded top on straight rounded walls.
func roundedBlock(a, b, h, e float64) (area, volume float64) {
	p := 2 * (a + b - 4*e)
	flat := (a - 2*e) * (b - 2*e)
	area = (p+2*math.Pi*e)*(h-e) + flat + p*math.Pi*e/2 + 2*math.Pi*e*e
	volume = (flat+p*e+math.Pi*e*e)*(h-e) + flat*e + p*math.Pi*e*e/4 + 2.0/3*math.Pi*e*e*e
	return
}

func TestSolidsClosedForms(t *testing.T) {
	t.Parallel()
	bArea, bVolume := roundedBlock(0.12, 0.08, 0.05, 0.015)
	tan := math.Tan(5 * math.Pi / 180)
	a0, b0, a1, b1 := 0.12, 0.08, 0.12-0.1*tan, 0.08-0.1*tan
	slant := 0.05 / math.Cos(5*math.Pi/180)
	ra, rh := 0.06, 0.025
	for _, c := range []struct {
		name, yaml   string
		area, volume float64
		within       float64 // relative
	}{
		{"sharp block", `block: {size: {unit: mm, xyz: [120, 80, 50]}, at: {unit: mm, xyz: [0, 0, 0]}}`,
			2*(0.12+0.08)*0.05 + 0.12*0.08, 0.12 * 0.08 * 0.05, 1e-6},
		{"leaning block", `block: {size: {unit: mm, xyz: [120, 80, 50]}, at: {unit: mm, xyz: [0, 0, 0]}, draft: "5 deg", turn: "30 deg"}`,
			a1*b1 + slant*(a0+a1+b0+b1), 0.05 / 6 * (a0*b0 + a1*b1 + (a0+a1)*(b0+b1)), 1e-6},
		{"rounded block", `block: {size: {unit: mm, xyz: [120, 80, 50]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: "15 mm"}`, bArea, bVolume, 1e-3},
		{"wedge", `wedge: {size: {unit: mm, xyz: [120, 80, 50]}, low: "20 mm", at: {unit: mm, xyz: [0, 0, 0]}}`,
			0.08*0.05 + 0.08*0.02 + 0.12*0.07 + 0.08*math.Hypot(0.12, 0.03), 0.12 * 0.08 * 0.035, 1e-6},
		{"cylinder", `cylinder: {diameter: "100 mm", height: "40 mm", at: {unit: mm, xyz: [0, 0, 0]}}`,
			math.Pi*0.1*0.04 + math.Pi*0.05*0.05, math.Pi * 0.05 * 0.05 * 0.04, 1e-3},
		{"cone", `cone: {diameter: "100 mm", top: "60 mm", height: "40 mm", at: {unit: mm, xyz: [0, 0, 0]}}`,
			math.Pi*0.08*math.Hypot(0.04, 0.02) + math.Pi*0.03*0.03, math.Pi * 0.04 / 3 * (0.05*0.05 + 0.05*0.03 + 0.03*0.03), 1e-3},
		{"cap", `dome: {diameter: "120 mm", height: "25 mm", at: {unit: mm, xyz: [0, 0, 0]}}`,
			math.Pi * (ra*ra + rh*rh), math.Pi * rh / 6 * (3*ra*ra + rh*rh), 1e-3},
		{"half ball", `dome: {size: {unit: mm, xyz: [120, 120, 60]}, at: {unit: mm, xyz: [0, 0, 0]}}`,
			2 * math.Pi * ra * ra, 2.0 / 3 * math.Pi * ra * ra * ra, 1e-3},
		{"half ellipsoid", `dome: {size: {unit: mm, xyz: [140, 100, 40]}, at: {unit: mm, xyz: [0, 0, 0]}}`,
			0, 2.0 / 3 * math.Pi * 0.07 * 0.05 * 0.04, 1e-3},
		// ∫∫ H(1 − ρⁿ) = π a b H n/(n+2), the paraboloid with n = 2.
		{"blister", `blister: {length: "200 mm", width: "100 mm", height: "30 mm", crown: 0.3}`,
			0, math.Pi * 0.1 * 0.05 * 0.03 / 2, 1e-3},
		{"full blister", `blister: {length: "200 mm", width: "100 mm", height: "30 mm", fullness: 4}`,
			0, math.Pi * 0.1 * 0.05 * 0.03 * 2 / 3, 1e-3},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := read(t, "mould: {solids: [{"+c.yaml+"}]}")
			if c.within < 1e-5 {
				in.Mould.Triangle = 10e-3 // flat faces are exact at any size
			}
			r := work(t, in)
			sane(t, r)
			if c.area > 0 {
				near(t, "area", area(r), c.area, c.within)
			}
			near(t, "volume", volume(r), c.volume, c.within)
			if !*r.Closed || len(r.Rims) != 1 || r.Rims[0].Kind != Outer {
				t.Errorf("closed %v, rims %v", *r.Closed, len(r.Rims))
			}
			if r.MinAngle.Degrees() < 15 {
				t.Errorf("least angle %.1f deg", r.MinAngle.Degrees())
			}
		})
	}
}

// The fillet of radius r round a cylinder of radius R on its flange is a ring
// over the section left between a square and a quarter circle: Pappus, with that
// section's centroid (10 − 3π)/(3(4 − π)) r from the corner.
func TestFilletRing(t *testing.T) {
	t.Parallel()
	const R, h, r, w = 0.05, 0.05, 0.012, 0.03
	filled := work(t, read(t, `
mould:
  triangle: "4 mm"
  solids: [{cylinder: {diameter: "100 mm", height: "50 mm", at: {unit: mm, xyz: [0, 0, 0]}}}]
  fillet: "12 mm"
  flange: "30 mm"`))
	sane(t, filled)
	section := r * r * (1 - math.Pi/4)
	ring := 2 * math.Pi * (R + r*(10-3*math.Pi)/(3*(4-math.Pi))) * section
	near(t, "volume", volume(filled), math.Pi*R*R*h+ring, 1e-3)
	near(t, "filler", float64(filled.Build.FillerVolume), ring, 0.03)
	// The quarter circle's centroid lies 2r/π from its centre.
	torus := 2 * math.Pi * (R + r - 2*r/math.Pi) * math.Pi * r / 2
	flat := math.Pi * ((R+w)*(R+w) - (R+r)*(R+r))
	near(t, "area", area(filled), torus+flat+2*math.Pi*R*(h-r)+math.Pi*R*R, 1e-3)
	near(t, "hollow", float64(*filled.MinHollow), r, 2e-3)
	near(t, "rim", rimLength(filled, filled.Rims[0]), 2*math.Pi*(R+w), 1e-3)
	// The fillet itself is a piece of a torus.
	off := far(filled.Surface, func(p r3.Vec) float64 { return math.Hypot(math.Hypot(p.X, p.Y)-R-r, p.Z-r) - r },
		func(p r3.Vec) bool { return math.Hypot(p.X, p.Y) < R+r && p.Z < r })
	near(t, "fillet's radius", r+off, r, 1e-5)
}

// The error of a dome's area falls with the square of the triangles' size.
func TestSecondOrder(t *testing.T) {
	t.Parallel()
	var errs []float64
	for _, size := range []string{"16 mm", "8 mm", "4 mm"} {
		r := work(t, read(t, `mould: {triangle: "`+size+`", solids: [{dome: {diameter: "120 mm", height: "40 mm", at: {unit: mm, xyz: [0, 0, 0]}}}]}`))
		errs = append(errs, 1-area(r)/(math.Pi*(0.06*0.06+0.04*0.04)))
	}
	for i := range 2 {
		if order := math.Log2(errs[i] / errs[i+1]); !(order > 1.6 && order < 2.4) {
			t.Errorf("errors %v: order %.2f, want 2", errs, order)
		}
	}
}

// A flange of width w round a sharp rectangle is its perimeter times w and a
// disc's worth of corners.
func TestFlange(t *testing.T) {
	t.Parallel()
	r := work(t, read(t, `
mould:
  triangle: "6 mm"
  solids: [{block: {size: {unit: mm, xyz: [100, 60, 40]}, at: {unit: mm, xyz: [0, 0, 0]}, draft: "3 deg"}}]
  flange: "25 mm"`))
	sane(t, r)
	const w = 0.025
	tan := math.Tan(3 * math.Pi / 180)
	a1, b1 := 0.1-0.08*tan, 0.06-0.08*tan
	walls := a1*b1 + 0.04/math.Cos(3*math.Pi/180)*(0.16+a1+b1)
	near(t, "area", area(r), walls+0.32*w+math.Pi*w*w, 2e-3)
	if *r.MinHollow != 0 {
		t.Errorf("a sharp root counts as a hollow of radius 0, not %g", *r.MinHollow)
	}
	near(t, "draft", r.MinDraft.Degrees(), 3, 1e-6)
}

// A duct's area and volume by Pappus: its path times its section's outline and
// area. Both ends are open.
func TestSweep(t *testing.T) {
	t.Parallel()
	r := work(t, read(t, `
mould:
  solids: [{sweep: {path: {unit: mm, points: [[0, 0, 60], [150, 0, 60], [150, 120, 60]]}, bend: "60 mm", from: {circle: "50 mm"}}}]`))
	sane(t, r)
	length := 0.15 + 0.12 - 2*0.06 + 0.06*math.Pi/2
	near(t, "area", area(r), math.Pi*0.05*length, 2e-3)
	near(t, "volume", volume(r), math.Pi*0.025*0.025*length, 5e-3)
	if len(r.Rims) != 2 {
		t.Errorf("%d rims, want two open ends", len(r.Rims))
	}
	changing := work(t, read(t, `
mould:
  triangle: "5 mm"
  solids: [{sweep: {path: {unit: mm, points: [[0, 0, 60], [150, 0, 60]]}, from: {circle: "50 mm"}, to: {rectangle: {width: "80 mm", height: "30 mm", corner: "8 mm"}}}}]`))
	sane(t, changing)
	lengths := []float64{rimLength(changing, changing.Rims[0]), rimLength(changing, changing.Rims[1])}
	if lengths[0] > lengths[1] {
		lengths[0], lengths[1] = lengths[1], lengths[0]
	}
	near(t, "round end", lengths[0], math.Pi*0.05, 5e-3)
	near(t, "square end", lengths[1], 2*(0.08+0.03-0.032)+2*math.Pi*0.008, 5e-3)
}

// A duct that stands on the flange goes through it: one open end and the rim of
// the flange, with the fillet at its root.
func TestSweepOnFlange(t *testing.T) {
	t.Parallel()
	r := work(t, read(t, `
mould:
  triangle: "10 mm"
  solids: [{sweep: {path: {unit: mm, points: [[0, 0, 0], [0, 0, 120], [150, 0, 160]]}, bend: "60 mm", from: {circle: "70 mm"}, to: {rectangle: {width: "90 mm", height: "40 mm", corner: "10 mm"}}}}]
  fillet: "10 mm"
  flange: "25 mm"`))
	sane(t, r)
	if len(r.Rims) != 2 {
		t.Errorf("%d rims, want two", len(r.Rims))
	}
	near(t, "hollow", float64(*r.MinHollow), 0.010, 0.1)
	if !has(r, "undercut") {
		t.Error("a duct that bends over can't be pulled up")
	}
}

// An elliptic tube against its closed form.
func TestSweepEllipse(t *testing.T) {
	t.Parallel()
	r := work(t, read(t, `
mould:
  triangle: "3 mm"
  solids: [{sweep: {path: {unit: mm, points: [[0, 0, 60], [100, 0, 60]]}, from: {ellipse: {width: "60 mm", height: "40 mm"}}}}]`))
	sane(t, r)
	near(t, "volume", volume(r), math.Pi*0.03*0.02*0.1, 3e-3)
}

// A flat panel: the plate's top inside a rounded rectangle.
func TestPlate(t *testing.T) {
	t.Parallel()
	r := work(t, readFile(t, "dunlin-hatch-cover.yaml"))
	sane(t, r)
	near(t, "area", area(r), 0.42*0.3-(4-math.Pi)*0.03*0.03, 2e-4)
	near(t, "rim", rimLength(r, r.Rims[0]), 2*(0.42+0.3)-8*0.03+2*math.Pi*0.03, 1e-3)
	if *r.Closed || r.Volume != nil {
		t.Error("a sheet holds no water and has no volume")
	}
	if len(r.Rims) != 1 || r.MinDraft.Degrees() < 89.9 || r.MinHollow != nil {
		t.Errorf("rims %d, draft %v, hollow %v", len(r.Rims), r.MinDraft.Degrees(), r.MinHollow)
	}
	for _, n := range r.Normals {
		if n.Z < 1-1e-9 {
			t.Fatalf("a normal of the flat panel is %v", n)
		}
	}
	if r.Build != nil {
		t.Error("a flat plate is not carved")
	}
	for _, f := range r.Findings {
		if f.Severity != "note" {
			t.Errorf("%s: %s", f.Code, f.What)
		}
	}
}

func TestSameEachTime(t *testing.T) {
	t.Parallel()
	in := readFile(t, "dunlin-air-scoop.yaml")
	in.Mould.Triangle = 16e-3
	a, b := work(t, in), work(t, in)
	if len(a.Surface.Vertices) != len(b.Surface.Vertices) || fmt.Sprint(a.Surface.Triangles) != fmt.Sprint(b.Surface.Triangles) {
		t.Fatal("another mesh")
	}
	for v := range a.Surface.Vertices {
		if a.Surface.Vertices[v] != b.Surface.Vertices[v] {
			t.Fatal("another place")
		}
	}
}
