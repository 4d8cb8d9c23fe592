package mould

import (
	"math"
	"strings"
	"testing"

	"laywright/internal/base/si"
)

// Composed solids of known volume: at the size that is taken where none is given the
// whole is right within 0.1 %, what was set on the block within 1 %, and the error of
// that falls with the square of the size.
//
// A rib is a segment of a circle along a line with a cap of a ball at either end; a lip
// is a ring over a rectangle less what its round edges take off; a stub is a tube.
func TestComposedVolumes(t *testing.T) {
	t.Parallel()
	const block = 0.16 * 0.12 * 0.04
	const w, h, l = 0.016, 0.006, 0.1
	R := (w*w/4 + h*h) / (2 * h)
	rib := (R*R*math.Acos(1-h/R)-(R-h)*w/2)*l + math.Pi*h*h*(3*R-h)/3
	lip := 2 * math.Pi * 0.04 * (0.01*0.012 - 2*(1-math.Pi/4)*0.004*0.004)
	for _, c := range []struct {
		name, yaml string
		added      float64
	}{
		{"rib", `rib: {path: {unit: mm, points: [[-50, 0, 40], [50, 0, 40]]}, width: "16 mm", height: "6 mm"}`, rib},
		{"lip", `lip: {outline: {circle: "80 mm"}, thickness: "10 mm", height: "12 mm", edge: "4 mm", at: {unit: mm, xyz: [0, 0, 40]}}`, lip},
		{"stub", `stub: {diameter: "40 mm", length: "50 mm", at: {unit: mm, xyz: [0, 0, 40]}, axis: [0, 0, 1]}`, math.Pi * 0.02 * 0.02 * 0.05},
	} {
		in := read(t, "mould: {solids: [{block: {size: {unit: mm, xyz: [160, 120, 40]}, at: {unit: mm, xyz: [0, 0, 0]}}}, {"+c.yaml+"}]}")
		b, made := covered(t, in)
		if wrong := soundFace(made.whole.Mesh); wrong != "" {
			t.Errorf("%s: %s", c.name, wrong)
		}
		usual := b.size(in.Mould)
		whole := bodyVolume(made.whole)
		near(t, c.name+" and block", whole, block+c.added, 1e-3)
		near(t, c.name, whole-block, c.added, 1e-2)
		in.Mould.Triangle = si.Length(2 * usual)
		_, coarse := covered(t, in)
		fineOff, coarseOff := c.added-(whole-block), c.added-(bodyVolume(coarse.whole)-block)
		order := math.Log2(coarseOff / fineOff)
		t.Logf("%s at %.2f mm: whole %.4f %%, itself %.3f %%, order %.2f", c.name, 1e3*usual, 100*fineOff/(block+c.added), 100*fineOff/c.added, order)
		if !(order > 1.5 && order < 2.6) {
			t.Errorf("%s: off by %.3g and %.3g m³ at twice the size: order %.2f, want 2", c.name, fineOff, coarseOff, order)
		}
	}
}

// A lip with an inner bend of 9 − 6 mm and filler of 8 mm: the bends are filled, and told.
func TestLipFilled(t *testing.T) {
	t.Parallel()
	yaml := `
mould:
  triangle: "7 mm"
  fillet: "FILLET"
  solids:
    - block: {size: {unit: mm, xyz: [120, 100, 40]}, at: {unit: mm, xyz: [0, 0, 0]}}
    - lip: {outline: {rectangle: {width: "80 mm", height: "60 mm", corner: "9 mm"}}, thickness: "12 mm", height: "15 mm", edge: "1.5 mm", at: {unit: mm, xyz: [0, 0, 40]}}`
	r := work(t, read(t, strings.ReplaceAll(yaml, "FILLET", "8 mm")))
	sane(t, r)
	near(t, "hollow", float64(*r.MinHollow), 0.008, 0.05)
	if !has(r, "lip-corner-filled") || r.MinAngle.Degrees() < 12 || r.Chord > 0.5e-3 {
		t.Errorf("least angle %.1f deg, chord %.2f mm, told %v", r.MinAngle.Degrees(), 1e3*float64(r.Chord), has(r, "lip-corner-filled"))
	}
	if r := work(t, read(t, strings.ReplaceAll(yaml, "FILLET", "3 mm"))); has(r, "lip-corner-filled") {
		t.Error("told of bends that the ball fits")
	}
}
