package job_test

import (
	"math"
	"strings"
	"testing"

	"laywright/internal/stage/laminate"
	"laywright/internal/stage/mould"
)

const fitJob = `
laywright: 1
shop: {temperature: "20 degC"}
mould:
  drawn: outside of part
  triangle: "12 mm"
  fillet: "8 mm"
  flange: "25 mm"
  materials: [birch-ply]
  solids: [{block: {size: {unit: mm, xyz: [140, 100, 40]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: "15 mm", draft: "20 deg"}}]
laminate:
  resin: laminating-epoxy-slow
  fibre_fraction: 0.45
  stack: [{fabric: carbon-twill-200, angle: "0 deg"}, {core: pvc-foam-80, thickness: "3 mm"}, {fabric: carbon-twill-200, angle: "0 deg"}]
`

// The mould's face is moved by the whole stack, its core included, before the
// laminate's own stage has run, and the free side told where it is not drawn.
func TestFaceMovedByStack(t *testing.T) {
	t.Parallel()
	p := mustMake(t, fitJob)
	if got, want := p.Mould.Fit.Wall, p.Laminate.Thickness; math.Abs(float64(got-want)) > 1e-12 || got < 0.003 {
		t.Errorf("moved by %g m, the laminate is %g m thick", got, want)
	}
	if low := p.Mould.Surface.Bounds().Min.Z; math.Abs(low+float64(p.Laminate.Thickness)) > 1e-9 {
		t.Errorf("the flange lies at %g", low)
	}
	if a := p.Mould.Fit.PartAlpha; a == nil || math.Abs(float64(*a-(*p.Laminate.AlphaX+*p.Laminate.AlphaY)/2)) > 1e-15 {
		t.Errorf("expansion %v", a)
	}
	plain := mustMake(t, strings.ReplaceAll(fitJob, "drawn: outside of part", "drawn: mould face"))
	if finding(plain, "free-side") == nil || plain.Mould.Fit != nil {
		t.Error("the free side of a drawn mould face is not told")
	}
	_, err := refusal(t, strings.ReplaceAll(fitJob, "carbon-twill-200, angle: \"0 deg\"}, {core", "none-such, angle: \"0 deg\"}, {core"))
	if !strings.Contains(err.Error(), "none-such") {
		t.Errorf("the laminate's own fault is not told: %v", err)
	}
}

// Local heights are those of the laid cloth and the core's everywhere; the
// finished side stands proud where cloth lies double, and the carved face is set
// deeper there by just that.
func TestStandsProud(t *testing.T) {
	t.Parallel()
	p := mustMake(t, fitJob+"plies: {lap: \"15 mm\", slits: auto}\n")
	heights := p.Heights()
	stack := p.Plies.Relaid.Stack.Thickness
	core := 0.0
	for _, l := range p.Laminate.Layers {
		if l.Kind == laminate.CoreLay {
			core += float64(l.Thickness)
		}
	}
	most := 0.0
	for v, h := range heights {
		if math.Abs(h-stack[v]-core) > 1e-12 {
			t.Fatalf("height %g over cloth of %g and a core of %g", h, stack[v], core)
		}
		most = max(most, h-float64(p.Laminate.Thickness))
	}
	f := finding(p, "stands-proud")
	if (f != nil) != (most > 0.1e-3) || f != nil && math.Abs(*f.Value-1e3*most) > 1e-6 {
		t.Errorf("stands proud by %g mm, told %+v", 1e3*most, f)
	}
	face, ok := p.CarvedFace()
	if !ok {
		t.Fatal("no face to carve")
	}
	flat := 0
	for v, n := range p.Mould.Normals {
		if n.Z > 1-1e-9 && p.Mould.Surface.Vertices[v].Z > 0.03 {
			flat++
			if got := face.Vertices[v].Z + heights[v]; math.Abs(got-0.04) > 0.02e-3 {
				t.Fatalf("the finished top lies at %g m, want 0.04", got)
			}
		}
	}
	if flat < 5 {
		t.Errorf("only %d places on the flat top", flat)
	}
}

// A resin that sets hot in an oven on a mould reckoned at the shop's temperature.
func TestSetsElsewhere(t *testing.T) {
	t.Parallel()
	source := strings.ReplaceAll(fitJob, "birch-ply", "xps-foam")
	hot := mustMake(t, source+"cure: {in: box-oven, schedule: {unit: [min, degC], points: [[0, 20], [20, 55], [600, 55]]}}\n")
	f := finding(hot, "sets-elsewhere")
	if f == nil || *f.Value < 0.15 {
		t.Fatalf("told %+v", f)
	}
	t.Log(f.What)
	known := mustMake(t, strings.ReplaceAll(source, "drawn: outside of part", "drawn: outside of part\n  gel_temperature: \"55 degC\"")+"cure: {in: box-oven, schedule: {unit: [min, degC], points: [[0, 20], [20, 55], [600, 55]]}}\n")
	if g := finding(known, "sets-elsewhere"); g != nil && *g.Value > *f.Value/3 {
		t.Errorf("reckoned hot, it still is off by %g mm: %s", *g.Value, g.What)
	}
	if known.Mould.Fit.Scale >= 1 || known.Mould.Fit.Drawn != mould.Outside {
		t.Errorf("%+v", known.Mould.Fit)
	}
}
