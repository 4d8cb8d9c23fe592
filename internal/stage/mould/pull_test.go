package mould

import (
	"math"
	"strings"
	"testing"

	"laywright/internal/base/si"
)

// A sharp block pulled at a slant hooks with just its one upright side.
func TestUndercutOfTiltedPull(t *testing.T) {
	t.Parallel()
	const θ = 10 * math.Pi / 180
	r := work(t, read(t, `
mould:
  triangle: "6 mm"
  solids: [{block: {size: {unit: mm, xyz: [120, 80, 50]}, at: {unit: mm, xyz: [0, 0, 0]}}}]
  pull: [0.17364817766693, 0, 0.98480775301221]`))
	near(t, "undercut", float64(*r.UndercutArea), 0.08*0.05, 1e-6)
	near(t, "least draft", float64(*r.MinDraft), -θ, 1e-6)
	// The sides in y stand upright to this pull: zero draft, no undercut.
	near(t, "low draft", float64(*r.LowDraftArea), 2*0.12*0.05, 1e-6)
	if len(r.Findings) == 0 || r.Findings[0].Code != "undercut" || r.Findings[0].Severity != "stop" {
		t.Errorf("findings %v", r.Findings)
	}
	if !strings.Contains(r.Out, "does not come off") {
		t.Errorf("out: %s", r.Out)
	}
}

// A tube lying over the base hooks with its lower half: half the area of its
// wall, and the flat ends stand upright.
func TestUndercutOfTube(t *testing.T) {
	t.Parallel()
	r := work(t, read(t, `
mould:
  triangle: "6 mm"
  solids: [{cylinder: {diameter: "80 mm", height: "120 mm", at: {unit: mm, xyz: [-60, 0, 60]}, axis: [1, 0, 0]}}]`))
	sane(t, r)
	// Less the strip that leans back by less than 0.1 deg.
	strip := 2 * 0.04 * 0.12 * 0.1 * math.Pi / 180
	near(t, "undercut", float64(*r.UndercutArea), math.Pi*0.04*0.12-strip, 0.02)
	near(t, "volume", volume(r), math.Pi*0.04*0.04*0.12, 5e-3)
	if len(r.Rims) != 0 || r.MinDraft.Degrees() > -85 {
		t.Errorf("%d rims, least draft %.1f deg", len(r.Rims), r.MinDraft.Degrees())
	}
}

func TestDraftAsGiven(t *testing.T) {
	t.Parallel()
	for _, deg := range []float64{1.5, 3, 5} {
		in := read(t, `
mould:
  triangle: "9 mm"
  solids: [{block: {size: {unit: mm, xyz: [150, 100, 40]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: "10 mm"}}]
  fillet: "8 mm"
  flange: "20 mm"`)
		in.Mould.Solids[0].Block.Draft = si.Degrees(deg)
		r := work(t, in)
		if got := r.MinDraft.Degrees(); math.Abs(got-deg) > 0.01 {
			t.Errorf("draft %.3f deg, want %g", got, deg)
		}
		if cautioned := has(r, "draft-low"); cautioned != (deg < 3) {
			t.Errorf("draft %g: caution %v", deg, cautioned)
		}
	}
}

func has(r Result, code string) bool {
	for _, f := range r.Findings {
		if f.Code == code {
			return true
		}
	}
	return false
}

// In a cavity the block's rounded edges are the hollows, and the free side is
// the inside.
func TestCavity(t *testing.T) {
	t.Parallel()
	yaml := `
mould:
  kind: KIND
  triangle: "9 mm"
  solids: [{block: {size: {unit: mm, xyz: [150, 100, 40]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: "12 mm", draft: "5 deg"}}]
  fillet: "6 mm"
  flange: "20 mm"`
	plug := work(t, read(t, strings.ReplaceAll(yaml, "KIND", "plug")))
	cavity := work(t, read(t, strings.ReplaceAll(yaml, "KIND", "cavity")))
	sane(t, cavity)
	near(t, "plug's hollow", float64(*plug.MinHollow), 0.006, 0.05)
	near(t, "cavity's hollow", float64(*cavity.MinHollow), 0.012, 0.05)
	near(t, "area", area(cavity), area(plug), 1e-12)
	near(t, "draft", cavity.MinDraft.Degrees(), 5, 1e-3)
	if cavity.Pull[2] != -1 {
		t.Errorf("pull %v", cavity.Pull)
	}
	var up float64
	for f := range cavity.Surface.Triangles {
		up += cavity.Surface.AreaVector(f).Z
	}
	if up >= 0 {
		t.Error("the free side of a cavity looks into its mouth, down")
	}
}

func TestHollowAgainstCloth(t *testing.T) {
	t.Parallel()
	in := read(t, `
mould:
  triangle: "9 mm"
  solids: [{block: {size: {unit: mm, xyz: [150, 100, 40]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: "10 mm", draft: "4 deg"}}]
  fillet: "5 mm"
  flange: "20 mm"`)
	in.Fabrics = []Fabric{{"light", 3e-3, 1e-3}, {"just", 5e-3, 2e-3}, {"heavy", 8e-3, 3e-3}}
	r := work(t, in)
	var told []string
	for _, f := range r.Findings {
		if f.Code == "hollow-tight" {
			told = append(told, f.What)
		}
	}
	if len(told) != 1 || !strings.Contains(told[0], "heavy") {
		t.Errorf("told: %q", told)
	}
}
