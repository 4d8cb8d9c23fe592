package mould

import (
	"math"
	"strings"
	"testing"

	"laywright/internal/base/material"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould/release"
)

// A dovetail: two ends lean back by θ over the height h, so that they have the
// area 2·w·h/cos θ and hook by h·tan θ; the flange under them is hidden over
// the same depth.
func TestDovetail(t *testing.T) {
	t.Parallel()
	const w, h = 0.1, 0.05
	θ := 20 * math.Pi / 180
	r := work(t, read(t, `
mould:
  triangle: "6 mm"
  solids: [{block: {size: {unit: mm, xyz: [160, 100, 50]}, at: {unit: mm, xyz: [0, 0, 0]}, drafts: {"+x": "-20 deg", "-x": "-20 deg", "+y": "0 deg", "-y": "0 deg"}}}]
  flange: "40 mm"`))
	near(t, "undercut", float64(*r.UndercutArea), 2*w*h/math.Cos(θ), 1e-6)
	near(t, "least draft", float64(*r.MinDraft), -θ, 1e-6)
	near(t, "hidden", float64(*r.HiddenArea), 2*w*h*math.Tan(θ), 0.06) // triangles are as wide as a third of it
	hook := 0.0
	for _, a := range r.Release.Areas {
		if a.Hook != nil {
			hook = max(hook, float64(*a.Hook))
		}
	}
	near(t, "hook", hook, h*math.Tan(θ), 0.005)
	if r.Way != Locked || !has(r, "undercut") {
		t.Errorf("way %s", r.Way)
	}
	// The whole plug is locked; cut at a slant, one half slides off along the cut.
	if m := r.Release.Mould; m == nil || len(m.Pieces) != 2 {
		t.Errorf("split of the plug: %+v", m)
	}
}

// A mushroom: the cap's underside leans back by 90 deg, the flange under it and the
// stem are hidden.
func TestMushroom(t *testing.T) {
	t.Parallel()
	const stem, top, below = 0.02, 0.05, 0.06
	r := work(t, read(t, `
mould:
  triangle: "5 mm"
  solids:
    - cylinder: {diameter: "40 mm", height: "70 mm", at: {unit: mm, xyz: [0, 0, 0]}}
    - cylinder: {diameter: "100 mm", height: "20 mm", at: {unit: mm, xyz: [0, 0, 60]}}
  flange: "60 mm"`))
	ring := math.Pi * (top*top - stem*stem)
	near(t, "undercut", float64(*r.UndercutArea), ring, 0.01)
	near(t, "hidden", float64(*r.HiddenArea), ring+2*math.Pi*stem*below, 0.03)
	near(t, "least draft", r.MinDraft.Degrees(), -90, 1e-3)
	// The ring's inmost place has to go out by the cap's overhang.
	near(t, "hook", float64(*r.Release.Areas[0].Hook), top-stem, 0.02)
}

// A box with draft 10, 0, 3 and 3 deg has the best pull where tan t = sin 3 deg,
// tilted by t; see the engine's test of it.
func TestBetterPull(t *testing.T) {
	t.Parallel()
	r := work(t, read(t, `
mould:
  triangle: "9 mm"
  solids: [{block: {size: {unit: mm, xyz: [150, 100, 40]}, at: {unit: mm, xyz: [0, 0, 0]}, drafts: {"+x": "10 deg", "-x": "0 deg", "+y": "3 deg", "-y": "3 deg"}}}]`))
	want := math.Atan(math.Sin(3 * math.Pi / 180))
	b := r.Release.Better
	if b == nil {
		t.Fatal("none offered")
	}
	near(t, "least draft", float64(b.MinDraft), want, 1e-4)
	near(t, "tilt", math.Atan2(-b.Dir[0], b.Dir[2]), want, 1e-3)
	if !has(r, "pull-better") || r.Way != InOnePull || r.Pull[2] != 1 {
		t.Errorf("way %s, pull %v", r.Way, r.Pull)
	}
}

const lying = `
mould:
  triangle: "6 mm"
  solids: [{sweep: {path: {unit: mm, points: [[-60, 0, 60], [0, 0, 60], [50, 50, 60], [110, 50, 60]]}, bend: "50 mm", from: {circle: "40 mm"}}}]
  release: {RELEASE}
part: {trim: whole}`

// A way that the job asks for is told in the sentence, and the undercut along the
// pull is no stop then.
func TestWayAsked(t *testing.T) {
	t.Parallel()
	foam := []Material{{"foam", material.MouldMaterial{Lost: "dissolve"}}}
	for _, c := range []struct {
		release string
		way     Way
		says    string
		finding string
	}{
		{"way: split-part, flange: \"30 mm\"", SplitPart, "made in 2 pieces that are parted at z = 60 mm, comes off along +z and -z and is joined by a lap of 30 mm", ""},
		{"way: lost-plug", LostMould, "dissolved through the opening", "plug-solvent"},
		{"way: split-mould", Locked, "It does not come out by the way split-mould", "way-blocked"},
		{"one_piece: true", Locked, "the plug is dissolved", "undercut"},
	} {
		in := read(t, strings.Replace(lying, "RELEASE", c.release, 1))
		in.Materials = foam
		r := work(t, in)
		if r.Way != c.way || !strings.Contains(r.Out, c.says) {
			t.Errorf("%s: way %s, %s", c.release, r.Way, r.Out)
		}
		if c.finding != "" && !has(r, c.finding) {
			t.Errorf("%s: no %s among %v", c.release, c.finding, r.Findings)
		}
		if c.way != Locked {
			noStop(t, r)
		}
	}
}

// Nothing frees a part that is closed round a hard plug and has to stay whole.
func TestNothingFrees(t *testing.T) {
	t.Parallel()
	r := work(t, read(t, `
mould:
  triangle: "6 mm"
  solids: [{cylinder: {diameter: "80 mm", height: "120 mm", at: {unit: mm, xyz: [-60, 0, 60]}, axis: [1, 0, 0]}}]
  release: {one_piece: true}`))
	for _, f := range r.Findings {
		if f.Code == "locked" {
			if f.Severity != "stop" || !strings.Contains(f.Why, "closed all round") {
				t.Errorf("%s: %s", f.Severity, f.Why)
			}
			return
		}
	}
	t.Errorf("no refusal among %v", r.Findings)
}

func TestReleaseRefused(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ release, field string }{
		{"way: pray", "mould.release.way"},
		{"way: split-part, one_piece: true", "mould.release.one_piece"},
		{"flange: \"2 mm\"", "mould.release.flange"},
	} {
		_, err := Work(read(t, strings.Replace(lying, "RELEASE", c.release, 1)))
		if err == nil || !strings.HasPrefix(err.Error(), c.field) {
			t.Errorf("%s: %v", c.release, err)
		}
	}
}

// A foam plug that grows into a carbon wall by more than a tenth of a percent is a
// caution; a wooden one of the same shape is not.
func TestGripTold(t *testing.T) {
	t.Parallel()
	in := read(t, `
mould:
  triangle: "9 mm"
  solids: [{block: {size: {unit: mm, xyz: [400, 200, 40]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: "10 mm", draft: "4 deg"}}]`)
	in.Warmth = &Warmth{Wall: release.Wall{Alpha: 3e-6, Fibre: -0.5e-6, Resin: 65e-6}, Gel: si.Celsius(20), Hottest: si.Celsius(60), Room: si.Celsius(20)}
	for alpha, severity := range map[si.Expansion]string{65e-6: "caution", 7e-6: ""} {
		in.Materials = []Material{{"body", material.MouldMaterial{Alpha: material.Exactly(alpha)}}}
		r := work(t, in)
		near(t, "over", float64(r.Release.Grip.Over), math.Hypot(0.4, 0.2), 0.12) // somewhere between side and diagonal
		got := ""
		for _, f := range r.Findings {
			if f.Code == "grip-warm" {
				got = string(f.Severity)
			}
		}
		if got != severity {
			t.Errorf("expansion %g: %q, want %q", float64(alpha), got, severity)
		}
	}
}
