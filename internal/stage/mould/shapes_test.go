package mould

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/material"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

// uncrossed checks that no two triangles of a surface run through each other.
func uncrossed(t testing.TB, m *mesh.Mesh) {
	t.Helper()
	if f, _, found := mesh.NewLocator(m).SelfCrossing(); found {
		t.Errorf("the surface runs through itself near %s", placeText(m.Centroid(f)))
	}
}

// ring is the volume left between a square and a quarter circle of radius r,
// turned about an axis that its corner lies R from, outside (Pappus; the centroid
// as in TestFilletRing).
func ring(R, r float64) float64 {
	return 2 * math.Pi * (R + r*(10-3*math.Pi)/(3*(4-math.Pi))) * r * r * (1 - math.Pi/4)
}

// Two cylinders on one flange, each with its own fillet at its root: by the
// solid's own, or by the pair's.
func TestFilletOfEachJoint(t *testing.T) {
	t.Parallel()
	const two = `
mould:
  triangle: "3.4 mm"
  fillet: "6 mm"
  flange: "30 mm"
  solids:
    - cylinder: {diameter: "60 mm", height: "40 mm", at: {unit: mm, xyz: [-50, 0, 0]}}
    - cylinder: {diameter: "60 mm", height: "40 mm", at: {unit: mm, xyz: [50, 0, 0]}}`
	bare := 2 * math.Pi * 0.03 * 0.03 * 0.04
	for _, c := range []struct {
		more string
		want float64
	}{
		{"\n      fillet: \"14 mm\"", ring(0.03, 0.006) + ring(0.03, 0.014)},
		{"\n      fillet: \"14 mm\"\n  joints: [{between: [2, 0], fillet: \"10 mm\"}]", ring(0.03, 0.006) + ring(0.03, 0.010)},
	} {
		b, face := covered(t, read(t, two+c.more))
		if wrong := soundFace(face.whole.Mesh); wrong != "" {
			t.Error(wrong)
		}
		near(t, "volume with"+c.more, bodyVolume(face.whole), bare+c.want, 1e-3)
		near(t, "filler with"+c.more, fillerVolume(b), c.want, 0.05)
	}
}

// A large fillet first, a small one into it: a stub of 4 mm fillet in the 12 mm
// fillet of a block's foot stays one clean sheet, and each hollow keeps its radius.
func TestSmallFilletIntoLarge(t *testing.T) {
	t.Parallel()
	r := work(t, read(t, `
mould:
  triangle: "6 mm"
  fillet: "12 mm"
  flange: "40 mm"
  solids:
    - block: {size: {unit: mm, xyz: [120, 90, 60]}, edge: "10 mm", draft: "5 deg", at: {unit: mm, xyz: [0, 0, 0]}}
    - cylinder: {diameter: "24 mm", height: "50 mm", at: {unit: mm, xyz: [62, 0, 0]}, edge: "3 mm"}
      fillet: "4 mm"`))
	sane(t, r)
	uncrossed(t, r.Surface)
	near(t, "tightest hollow", float64(*r.MinHollow), 0.004, 0.03)
}

func TestJointsRefused(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ yaml, path string }{
		{"joints: [{between: [1, 1], fillet: \"3 mm\"}]", "mould.joints[0].between"},
		{"joints: [{between: [1, 7], fillet: \"3 mm\"}]", "mould.joints[0].between"},
		{"joints: [{between: [0, 1], fillet: \"-3 mm\"}]", "mould.joints[0].fillet"},
		{"flanges: [{at: {unit: mm, xyz: [0, 0, 0]}, normal: [1, 0, 0], width: \"0 mm\"}]", "mould.flanges[0].width"},
		{"joggle: {depth: \"1 mm\", width: \"20 mm\"}\n  flange: \"20 mm\"", "mould.joggle"},
		{"joggle: {width: \"20 mm\"}", "mould.joggle.depth"},
		{"joggle: {depth: \"1 mm\"}", "mould.joggle.width"},
		{"drawn: outer skin", "mould.drawn"},
		{"drawn: outside of part", "mould.drawn"},
		{"drawn: outside of part\n  wall: \"30 mm\"", "mould.drawn"},
	} {
		_, err := Work(read(t, "mould:\n  solids: [{block: {size: {unit: mm, xyz: [120, 80, 50]}, at: {unit: mm, xyz: [0, 0, 0]}}}]\n  "+c.yaml))
		if err == nil || !strings.HasPrefix(err.Error(), c.path+":") && !strings.HasPrefix(err.Error(), c.path+" ") {
			t.Errorf("%s\n\tgave %v, want %s", c.yaml, err, c.path)
		}
	}
}

// A stub on the side of a block: its bead's closed form is a ring of a circle's
// segment, seen from outside as half its height over the pipe.
func TestStub(t *testing.T) {
	t.Parallel()
	const yaml = `
mould:
  triangle: "6 mm"
  solids:
    - block: {size: {unit: mm, xyz: [120, 100, 90]}, at: {unit: mm, xyz: [0, 0, 0]}}
    - stub: {diameter: "40 mm", length: "50 mm", at: {unit: mm, xyz: [60, 0, 45]}, axis: [1, 0, 0]BEAD}`
	plain := work(t, read(t, strings.ReplaceAll(yaml, "BEAD", "")))
	sane(t, plain)
	pipe := math.Pi * 0.02 * 0.02 * 0.05
	near(t, "pipe", volume(plain), 0.12*0.1*0.09+pipe, 1e-3)
	if len(plain.Rims) != 2 {
		t.Errorf("%d rims, want the foot's and the mouth's", len(plain.Rims))
	}
	beaded := work(t, read(t, strings.ReplaceAll(yaml, "BEAD", `, bead: {height: "3 mm", width: "12 mm"}, shoulder: {diameter: "56 mm", length: "10 mm"}`)))
	sane(t, beaded)
	uncrossed(t, beaded.Surface)
	// Segment of a circle of radius a over a chord w: a² acos(1 − h/a) − (a − h) √(2ah − h²), h high;
	// its centroid lies w³/(12 A) from the circle's middle. Both by Pappus, and
	// what the bead's root fillets of 3 mm fill besides, less than 0.3 cm³.
	const h, w = 0.003, 0.012
	a := (w*w/4 + h*h) / (2 * h)
	segment := a*a*math.Acos(1-h/a) - (a-h)*w/2
	bead := 2 * math.Pi * (0.02 - (a - h) + w*w*w/12/segment) * segment
	collar := math.Pi * (0.028*0.028 - 0.02*0.02) * 0.01
	got := volume(beaded) - volume(plain)
	if got < 0.97*(bead+collar)-1e-7 || got > bead+collar+0.6e-6 {
		t.Errorf("bead and shoulder hold %.4g m³, want %.4g and a little filler", got, bead+collar)
	}
}

// A stub at an angle to its wall, on a curved one.
func TestStubAtAnAngle(t *testing.T) {
	t.Parallel()
	r := work(t, read(t, `
mould:
  triangle: "8 mm"
  fillet: "5 mm"
  flange: "40 mm"
  solids:
    - dome: {diameter: "220 mm", height: "70 mm", at: {unit: mm, xyz: [0, 0, 0]}}
    - stub: {diameter: "38 mm", length: "45 mm", at: {unit: mm, xyz: [50, 20, 55]}, axis: [1, 0.4, 1.2], bead: {height: "2 mm"}}`))
	sane(t, r)
	uncrossed(t, r.Surface)
	if len(r.Rims) != 2 || r.MinAngle.Degrees() < 10 {
		t.Errorf("%d rims, least angle %.1f deg", len(r.Rims), r.MinAngle.Degrees())
	}
}

// A rib over a round edge and across a dome lies on the face.
func TestRib(t *testing.T) {
	t.Parallel()
	bent := work(t, read(t, `
mould:
  triangle: "5 mm"
  fillet: "4 mm"
  flange: "30 mm"
  solids:
    - dome: {diameter: "220 mm", height: "70 mm", at: {unit: mm, xyz: [0, 0, 0]}}
    - rib: {path: {unit: mm, points: [[-70, 0, 40], [0, 10, 70], [70, 0, 40]]}, width: "14 mm", height: "5 mm"}`))
	sane(t, bent)
	uncrossed(t, bent.Surface)
	near(t, "its root", float64(*bent.MinHollow), 0.004, 0.03)
}

// A flange in an upright plane at the end of a half cylinder: the plane's ring
// about the half circle, and its fillet.
func TestFlangeInPlane(t *testing.T) {
	t.Parallel()
	r := work(t, read(t, `
mould:
  triangle: "4 mm"
  fillet: "5 mm"
  flanges: [{at: {unit: mm, xyz: [0, 0, 0]}, normal: [1, 0, 0], width: "20 mm"}]
  solids:
    - cylinder: {diameter: "80 mm", height: "100 mm", at: {unit: mm, xyz: [0, 0, 0]}, axis: [1, 0, 0]}`))
	sane(t, r)
	uncrossed(t, r.Surface)
	if len(r.Rims) != 1 {
		t.Errorf("%d rims", len(r.Rims))
	}
	const R, f, w, l = 0.04, 0.005, 0.02, 0.1
	torus := math.Pi * (R + f - 2*f/math.Pi) * math.Pi * f / 2
	flat := math.Pi / 2 * ((R+w)*(R+w) - (R+f)*(R+f))
	near(t, "area", area(r), math.Pi*R*(l-f)+math.Pi*R*R/2+torus+flat, 2e-3)
	tilted := work(t, read(t, `
mould:
  triangle: "8 mm"
  fillet: "5 mm"
  flange: "20 mm"
  flanges: [{at: {unit: mm, xyz: [0, 0, 60]}, normal: [-0.5, 0, -1], width: "25 mm"}]
  solids:
    - block: {size: {unit: mm, xyz: [80, 60, 120]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: "8 mm"}`))
	sane(t, tilted)
	uncrossed(t, tilted.Surface)
}

// A joggle along the foot of a cylinder: the face stands in by its depth within
// its width, comes back over its ramp, and the volume is that of the turned
// profile.
func TestJoggle(t *testing.T) {
	t.Parallel()
	r := work(t, read(t, `
mould:
  triangle: "4 mm"
  joggle: {depth: "2 mm", width: "15 mm"}
  solids: [{cylinder: {diameter: "100 mm", height: "60 mm", at: {unit: mm, xyz: [0, 0, 0]}}}]`))
	sane(t, r)
	uncrossed(t, r.Surface)
	// π∫(R − hφ)² dz with φ = 1 over w and the cubic over l: ∫φ = w + l/2, ∫φ² = w + 13l/35.
	const R, h, w, l, H = 0.05, 0.002, 0.015, 0.008, 0.06
	near(t, "volume", volume(r), math.Pi*(R*R*H-2*R*h*(w+l/2)+h*h*(w+13*l/35)), 1e-3)
	for _, p := range r.Surface.Vertices {
		if p.Z > 1e-6 && p.Z < w-1e-6 && math.Abs(math.Hypot(p.X, p.Y)-R+h) > 1e-7 {
			t.Fatalf("at %v the step is not %g m deep", p, h)
		}
	}
}

// A duct from flat to upright draws in on its way: the mix of both ellipses in
// the middle has radius ρ = 1/√(½/a² + ½/b²) across the corners by symmetry, and
// its area is told as a throat. A cone's areas are (1−t)r₀ + t r₁ squared times π.
func TestDuctAreas(t *testing.T) {
	t.Parallel()
	r := work(t, read(t, `
mould:
  triangle: "6 mm"
  solids: [{sweep: {path: {unit: mm, points: [[0, 0, 60], [150, 0, 60]]}, from: {ellipse: {width: "80 mm", height: "30 mm"}}, to: {ellipse: {width: "30 mm", height: "80 mm"}}}}]`))
	if !has(r, "duct-narrows") || len(r.Ducts) != 1 {
		t.Fatalf("ducts %v, findings %v", r.Ducts, r.Findings)
	}
	d := r.Ducts[0]
	near(t, "first end", float64(d.Area[0]), math.Pi*0.04*0.015, 1e-6)
	near(t, "least at", d.LeastAt[0], 0.075, 1e-9)
	cone := work(t, read(t, `
mould:
  triangle: "6 mm"
  solids: [{sweep: {path: {unit: mm, points: [[0, 0, 60], [150, 0, 60]]}, from: {circle: "80 mm"}, to: {circle: "50 mm"}}}]`))
	if has(cone, "duct-narrows") {
		t.Error("a cone does not narrow below its end")
	}
	for i, a := range cone.Ducts[0].Area {
		ρ := 0.04 - 0.015*float64(i)/20
		near(t, "cone", float64(a), math.Pi*ρ*ρ, 1e-6)
	}
}

// What is worked out on solids is refused beside a mesh file.
func TestSolidsOnly(t *testing.T) {
	t.Parallel()
	for _, line := range []string{"joggle: {depth: \"1 mm\", width: \"10 mm\"}", "drawn: outside of part", "joints: [{between: [0, 1], fillet: \"1 mm\"}]"} {
		in := read(t, "mould:\n  file: a.stl\n  unit: mm\n  "+line)
		in.Imported = &mesh.Mesh{Vertices: []r3.Vec{{}, {X: 1}, {Y: 1}}, Triangles: [][3]int32{{0, 1, 2}}}
		if _, err := Work(in); err == nil {
			t.Errorf("%s beside a file was taken", line)
		}
	}
}

// far returns how far a surface stands off a distance, at vertices where pick holds.
func far(m *mesh.Mesh, at func(r3.Vec) float64, pick func(r3.Vec) bool) (worst float64) {
	for _, p := range m.Vertices {
		if pick(p) {
			worst = max(worst, math.Abs(at(p)))
		}
	}
	return worst
}

// The outside of a part on a plug, and its inside in a cavity: the face stands
// off the drawn one by the wall, within 0.02 mm, on box, ball, cylinder and torus
// (a bent duct).
func TestMovedByWall(t *testing.T) {
	t.Parallel()
	const wall = 0.0032
	for _, c := range []struct {
		name, solid string
		at          func(p r3.Vec, t float64) float64 // distance of the face moved out by t
	}{
		{"box", `block: {size: {unit: mm, xyz: [120, 80, 50]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: "10 mm"}`, func(p r3.Vec, t float64) float64 {
			e := 0.01 + t // its rounded edges grow with it
			x, y, z := math.Abs(p.X)-0.06-t+e, math.Abs(p.Y)-0.04-t+e, p.Z-0.05-t+e
			q := r3.Vec{X: max(x, 0), Y: max(y, 0), Z: max(z, 0)}
			return r3.Norm(q) + min(max(x, y, z), 0) - e
		}},
		{"ball", `dome: {diameter: "120 mm", height: "60 mm", at: {unit: mm, xyz: [0, 0, 0]}}`, func(p r3.Vec, t float64) float64 { return r3.Norm(p) - 0.06 - t }},
		{"cylinder", `cylinder: {diameter: "100 mm", height: "40 mm", at: {unit: mm, xyz: [0, 0, 0]}, edge: "8 mm"}`, func(p r3.Vec, t float64) float64 {
			e := 0.008 + t
			ρ, z := math.Hypot(p.X, p.Y)-0.05-t+e, p.Z-0.04-t+e
			return math.Hypot(max(ρ, 0), max(z, 0)) + min(max(ρ, z), 0) - e
		}},
		{"torus", `sweep: {path: {unit: mm, points: [[0, -100, 60], [0, 0, 60], [100, 0, 60]]}, bend: "70 mm", from: {circle: "60 mm"}}`, func(p r3.Vec, t float64) float64 {
			if p.X < 0.07 && p.Y > -0.07 {
				return math.Hypot(math.Hypot(p.X-0.07, p.Y+0.07)-0.07, p.Z-0.06) - 0.03 - t
			}
			return math.Min(math.Hypot(p.X, p.Z-0.06), math.Hypot(p.Y, p.Z-0.06)) - 0.03 - t
		}},
	} {
		for _, side := range []struct {
			kind, drawn string
			out         float64
		}{{"plug", "outside of part", -wall}, {"cavity", "inside of part", wall}, {"plug", "inside of part", 0}, {"cavity", "outside of part", 0}} {
			if side.out == 0 && c.name != "box" {
				continue
			}
			r := work(t, read(t, fmt.Sprintf("mould:\n  kind: %s\n  drawn: %s\n  wall: \"3.2 mm\"\n  triangle: \"12 mm\"\n  solids: [{%s}]", side.kind, side.drawn, c.solid)))
			sane(t, r)
			off := far(r.Surface, func(p r3.Vec) float64 { return c.at(p, side.out) }, func(r3.Vec) bool { return true })
			if off > 0.02e-3 {
				t.Errorf("%s, %s of a %s: the face is %.4f mm off", c.name, side.drawn, side.kind, 1e3*off)
			}
			if r.Fit == nil || math.Abs(float64(r.Fit.Offset)-side.out) > 1e-12 || math.Abs(float64(r.Fit.Wrong[0])+2*side.out) > 1e-9 || has(r, "size-moved") != (side.out != 0) {
				t.Errorf("%s, %s of a %s: %+v", c.name, side.drawn, side.kind, r.Fit)
			}
		}
	}
}

// With a flange and fillets: the filler's ball stays where it was, so that the
// part's outside gets the drawn fillet. The flange's face sinks by the wall.
func TestMovedFilletAndFlange(t *testing.T) {
	t.Parallel()
	const wall = 0.003
	r := work(t, read(t, `
mould:
  drawn: outside of part
  wall: "3 mm"
  fillet: "9 mm"
  flange: "30 mm"
  triangle: "5 mm"
  solids: [{cylinder: {diameter: "100 mm", height: "50 mm", at: {unit: mm, xyz: [0, 0, 0]}, edge: "8 mm"}}]`))
	sane(t, r)
	near(t, "hollow", float64(*r.MinHollow), 0.009+wall, 3e-3)
	// The ball of 9 mm rolls at ρ = 59 mm, z = 9 mm; the face is 12 mm from there.
	off := far(r.Surface, func(p r3.Vec) float64 {
		return math.Hypot(math.Hypot(p.X, p.Y)-0.059, p.Z-0.009) - 0.009 - wall
	}, func(p r3.Vec) bool { return math.Hypot(p.X, p.Y) < 0.0585 && p.Z < 0.0085 })
	if off > 0.02e-3 {
		t.Errorf("the fillet is %.4f mm off", 1e3*off)
	}
	if low := r.Surface.Bounds().Min.Z; math.Abs(low+wall) > 1e-9 {
		t.Errorf("the flange lies at %g", low)
	}
}

// A fillet or an edge of less than the wall comes out sharp, and is told with its
// place and radius.
func TestRadiusUnderWall(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		yaml string
		want float64 // mm; 0: none told
	}{
		{"drawn: outside of part\n  wall: \"5 mm\"\n  solids: [{block: {size: {unit: mm, xyz: [120, 80, 50]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: \"3 mm\"}}]", 3},
		{"drawn: outside of part\n  wall: \"5 mm\"\n  solids: [{block: {size: {unit: mm, xyz: [120, 80, 50]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: \"9 mm\"}}]", 0},
		{"kind: cavity\n  drawn: inside of part\n  wall: \"5 mm\"\n  fillet: \"4 mm\"\n  flange: \"30 mm\"\n  solids: [{block: {size: {unit: mm, xyz: [120, 80, 50]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: \"20 mm\"}}]", 4},
	} {
		r := work(t, read(t, "mould:\n  triangle: \"6 mm\"\n  "+c.yaml))
		sane(t, r)
		told := 0.0
		for _, f := range r.Findings {
			if f.Code == "radius-under-wall" {
				told = *f.Value
			}
		}
		if math.Abs(told-c.want) > 0.05 {
			t.Errorf("%s\ntold %.3f mm, want %.0f", c.yaml, told, c.want)
		}
	}
}

// A plug of 1 m of extruded polystyrene (63e-6/K) set at 30 K over the shop grows
// by 1.9 mm, a carbon laminate (3e-6/K) by 0.1 mm (the usual
// expansions of both, as the library has them): carved to size the part would come out 1.8 mm too long. The
// mould is made smaller by that, and the flat rim of a cut-out with it.
func TestMovedByGrowth(t *testing.T) {
	t.Parallel()
	in := read(t, `
mould:
  drawn: inside of part
  gel_temperature: "50 degC"
  triangle: "60 mm"
  solids: [{block: {size: {unit: mm, xyz: [1000, 600, 400]}, at: {unit: mm, xyz: [0, 0, 0]}}}]
part: {cutouts: [{polygon: {outline: {unit: mm, points: [[-200, -100], [200, -100], [200, 100], [-200, 100]]}, at: {unit: mm, xyz: [0, 0, 400]}}}]}`)
	alpha := si.Expansion(3e-6)
	in.Laminate = Laminate{Thickness: 0.002, Expansion: &alpha, Shop: si.Celsius(20)}
	in.Materials = []Material{{Name: "foam", Record: material.MouldMaterial{Alpha: material.Datum[si.Expansion]{Known: true, Value: 63e-6}}}}
	r := work(t, in)
	sane(t, r)
	scale := (1 + 3e-6*30) / (1 + 63e-6*30)
	near(t, "scale", r.Fit.Scale, scale, 1e-12)
	near(t, "length", r.Surface.Bounds().Max.X-r.Surface.Bounds().Min.X, scale, 1e-9)
	near(t, "too long", float64(r.Fit.Wrong[0]), 1.8e-3, 2e-3)
	near(t, "too high", float64(r.Fit.Wrong[2]), 0.4*1.8e-3, 2e-3)
	for _, rim := range r.Rims {
		if rim.Kind == CutRim {
			near(t, "cut-out", rimLength(r, rim), 1.2*scale, 1e-9)
		}
	}
	if r.Fit.Offset != 0 {
		t.Errorf("the inside of a part on a plug is moved by %g", r.Fit.Offset)
	}
}

// Carved deeper where cloth lies double: the finished side, the local height over
// the carved face, comes out on the drawn one.
func TestCarvedFor(t *testing.T) {
	t.Parallel()
	r := work(t, read(t, `
mould:
  drawn: outside of part
  wall: "2 mm"
  triangle: "6 mm"
  solids: [{block: {size: {unit: mm, xyz: [120, 80, 50]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: "15 mm"}}]`))
	heights := make([]float64, len(r.Surface.Vertices))
	for v, p := range r.Surface.Vertices {
		if heights[v] = 0.002; math.Abs(p.X) < 0.02 {
			heights[v] = 0.0028
		}
	}
	f, err := r.CarvedFor(heights)
	if err != nil {
		t.Fatal(err)
	}
	for v, p := range r.Surface.Vertices {
		if p.Z > 0.048-1e-9 && math.Abs(p.Y) < 0.02 {
			if finished := f.Mesh.Vertices[v].Z + heights[v]; math.Abs(finished-0.05) > 1e-6 {
				t.Fatalf("over %v the finished side lies at %g m, want 0.05", p, finished)
			}
		}
	}
}
