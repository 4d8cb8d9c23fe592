package job_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"laywright/internal/job"
)

// screwed is a flat part of two plies of glass with one more line, held by fasteners that
// give: stiff ones would draw more load to a thicker wall.
func screwed(line string) string {
	return `laywright: 1
duty: {loads: {pressure: "100 Pa", wall_temperature: "70 degC", handling: {force: "10 N", at: {unit: mm, xyz: [-70, 40, 0]}}, factor: 2.0}}
mould: {kind: plug, triangle: "10 mm", solids: [{plate: {length: "240 mm", width: "160 mm"}}], pull: [0, 0, 1]}
part:
  cutouts: [{circle: {diameter: "30 mm", at: {unit: mm, xyz: [20, 10, 0]}}}]
  held: {fasteners: {diameter: "5 mm", head: "10 mm", stiffness: "0.3 kN/mm", at: {unit: mm, points: [[-100, -60, 0], [100, -60, 0], [100, 60, 0], [-100, 60, 0]]}}, on: aluminium, sheet: "1.6 mm"}
laminate:
  resin: laminating-epoxy-slow
  fibre_fraction: 0.45
  stack:
    - {fabric: glass-twill-290, angle: "0 deg"}
` + line + `
    - {fabric: glass-twill-290, angle: "0 deg"}
plies: {warp: [1, 0, 0]}
strength: {large_deflection: false}
`
}

const extra = `    - {fabric: glass-twill-290, angle: "30 deg"%s}`

func within(area string) string { return screwed(fmt.Sprintf(extra, ", within: ["+area+"]")) }

// alike compares to a share.
func alike(t *testing.T, what string, got, want, share float64) {
	t.Helper()
	if !(math.Abs(got/want-1) <= share) {
		t.Errorf("%s: %.12g, want %.12g", what, got, want)
	}
}

// A doubler that lies over the whole part is one ply more: in deflection, in failure,
// in frequency, at the fasteners and in mass. (Identity.)
func TestDoublerOverEverythingIsAPly(t *testing.T) {
	got := mustMake(t, within(`{circle: {diameter: "400 mm", at: {unit: mm, xyz: [-20, 0, 0]}, axis: [0, 0, 1]}}`))
	want := mustMake(t, screwed(fmt.Sprintf(extra, "")))
	a, b := got.Strength, want.Strength
	alike(t, "deflection", float64(a.Deflection), float64(b.Deflection), 1e-9)
	alike(t, "failure index", *a.Index, *b.Index, 1e-9)
	alike(t, "frequency", float64(*a.Frequency), float64(*b.Frequency), 1e-6)
	for i := range a.Fasteners {
		alike(t, "margin at a fastener", *a.Fasteners[i].Margin, *b.Fasteners[i].Margin, 1e-9)
		alike(t, "pull", float64(a.Fasteners[i].Pull), float64(b.Fasteners[i].Pull), 1e-9)
	}
	alike(t, "mass of the wall checked", float64(*a.Mass), float64(*b.Mass), 1e-9)
	alike(t, "mass of the part", float64(got.Wetout.PartMass), float64(want.Wetout.PartMass), 1e-6)
	alike(t, "thickest", float64(a.Thickest), float64(b.Thickest), 1e-9)
	alike(t, "cloth", float64(got.Plies.ClothArea), float64(want.Plies.ClothArea), 1e-6)
	if n := len(got.Roll.Rolls[0].Placements); n != len(want.Roll.Rolls[0].Placements) {
		t.Errorf("%d pieces on the roll", n)
	}
}

// Doublers at the fasteners bring the mass of their own area, in the wall that is checked
// and on the scales; the fasteners bear on more, and what lies between stays as it was.
func TestDoublersAtFasteners(t *testing.T) {
	bare := mustMake(t, screwed(""))
	p := mustMake(t, within(`{around_fasteners: "12.5 mm"}`))
	ply := p.Plies.Plies[1]
	const r = 0.015 // half of 5 mm and 12.5 mm
	area := 4 * math.Pi * r * r
	alike(t, "area of four circles", float64(job.PlyArea(ply)), area, 2e-3)
	if len(ply.Within) != 4 || ply.Within[2].What != "at fastener 3" || ply.Within[2].At != [3]float64{0.1, 0.06, 0} || ply.Within[2].Pieces[0] != "P02C" {
		t.Errorf("places %+v", ply.Within)
	}
	each := float64(p.Laminate.Layers[1].ArealMass()) * float64(job.PlyArea(ply))
	alike(t, "mass on the scales", float64(p.Wetout.PartMass-bare.Wetout.PartMass), each, 1e-9)
	laid := float64(p.Plies.Relaid.Plies[1].Mass) * float64(p.Laminate.Layers[1].ArealMass()/p.Laminate.Layers[1].Fibre)
	alike(t, "mass in the wall", float64(*p.Strength.Mass-*bare.Strength.Mass), laid, 1e-6)
	alike(t, "mass put back on the mould", laid, each, 2e-3)
	if p.Laminate.Thickness != bare.Laminate.Thickness || *p.Laminate.ArealMass != *bare.Laminate.ArealMass {
		t.Error("the wall between is another")
	}
	compared := 0
	for i, f := range p.Strength.Fasteners {
		was := bare.Strength.Fasteners[i]
		if f.Shear > 0 && was.Shear > 0 {
			alike(t, "thickness that bears", float64(f.Shear)/float64(f.Bearing), 1.5*float64(was.Shear)/float64(was.Bearing), 1e-6)
			compared++
		}
		if *f.Margin <= *was.Margin {
			t.Errorf("fastener %d: margin %g, without doubler %g", i, *f.Margin, *was.Margin)
		}
	}
	if compared < 3 {
		t.Errorf("%d of 4 fasteners bear", compared)
	}
	heights, most := p.Heights(), 0.0
	for _, h := range heights {
		most = max(most, h)
	}
	alike(t, "height at a fastener", most, 1.5*float64(bare.Laminate.Thickness), 1e-6)
}

// Where a push breaks the lid a doubler makes it stronger and stiffer, but less so than a
// ply over all of it.
func TestDoublerStrengthensItsPlace(t *testing.T) {
	bare, all := mustMake(t, screwed("")).Strength, mustMake(t, screwed(fmt.Sprintf(extra, ""))).Strength
	got := mustMake(t, within(`{polygon: {outline: {unit: mm, points: [[-40, -30], [40, -30], [40, 30], [-40, 30]], corner: "10 mm"}, at: {unit: mm, xyz: [-70, 40, 0]}}}`)).Strength
	if !(*got.Index < 0.95**bare.Index) {
		t.Errorf("index %g, without doubler %g", *got.Index, *bare.Index)
	}
	if !(all.Deflection < got.Deflection && got.Deflection < bare.Deflection) {
		t.Errorf("deflection %g, without %g, all over %g", got.Deflection, bare.Deflection, all.Deflection)
	}
}

// A doubler round a cut-out is a ring; it may lie on the mould as the first ply.
func TestDoublerAroundCutout(t *testing.T) {
	source := screwed(`    - {fabric: glass-light-105, angle: "45 deg"}`)
	source = strings.Replace(source, `- {fabric: glass-twill-290, angle: "0 deg"}`, `- {fabric: glass-twill-290, angle: "0 deg", within: [{around_cutouts: "20 mm"}]}`, 1)
	p := mustMake(t, source)
	hole := 0.24*0.16 - float64(p.Mould.Area) // in the mesh: a ring of chords
	alike(t, "area of the ring and what it goes round", float64(job.PlyArea(p.Plies.Plies[0]))+hole, math.Pi*0.035*0.035, 2e-3)
	if c := p.Plies.Plies[0].Pieces[0].Cutouts; len(c) != 1 {
		t.Errorf("%d cut-outs marked", len(c))
	}
}

// Edges of doublers that fall on each other are told, those that step down are not.
func TestDoublerEdges(t *testing.T) {
	t.Parallel()
	two := func(a, b string) string {
		return screwed(fmt.Sprintf(extra, `, within: [{around_fasteners: "`+a+`"}]`) + "\n" + fmt.Sprintf(extra, `, within: [{around_fasteners: "`+b+`"}]`))
	}
	for _, c := range []struct {
		a, b string
		want bool
	}{{"12 mm", "12 mm", true}, {"12 mm", "14 mm", true}, {"8 mm", "18 mm", false}} {
		p := mustMake(t, two(c.a, c.b))
		if got := told(p, "doubler-edges-together"); got != c.want {
			t.Errorf("%s and %s: told %v", c.a, c.b, got)
		}
	}
	if p := mustMake(t, within(`{around_fasteners: "8 mm"}`)); told(p, "doubler-off-middle") || told(p, "stack-not-symmetric") || told(p, "coverage-low") || told(p, "edge-short") {
		t.Error("a doubler in the middle of the stack is told of")
	}
}

func told(p job.Plan, code string) bool {
	for _, f := range p.Findings {
		if f.Code == code {
			return true
		}
	}
	return false
}

// What can't be meant is refused at its line.
func TestDoublerRefused(t *testing.T) {
	const line = 12 // of the line that is added
	for _, c := range []struct {
		source, at string
	}{
		{within(`{circle: {diameter: "30 mm", at: {unit: mm, xyz: [400, 0, 0]}}}`), "laminate.stack[1].within[0].circle.at"},
		{within(`{circle: {diameter: "30 mm", at: {unit: mm, xyz: [0, 0, 40]}}}`), "laminate.stack[1].within[0].circle.at"},
		{within(`{circle: {diameter: "0 mm", at: {unit: mm, xyz: [0, 0, 0]}}}`), "laminate.stack[1].within[0].circle.diameter"},
		{within(`{}`), "laminate.stack[1].within[0]"},
		{within(``), "laminate.stack[1].within"},
		{within(`{around_fasteners: "5 mm", around_cutouts: "5 mm"}`), "laminate.stack[1].within[0]"},
		{within(`{polygon: {outline: {unit: mm, points: [[0, 0], [50, 50], [50, 0], [0, 50]]}, at: {unit: mm, xyz: [0, 0, 0]}}}`), "laminate.stack[1].within[0].polygon.outline"},
		{screwed(`    - {core: pvc-foam-80, thickness: "5 mm", within: [{around_fasteners: "15 mm"}]}`), "laminate.stack[1].within"},
		{strings.Replace(within(`{around_cutouts: "15 mm"}`), "cutouts: [{circle: {diameter: \"30 mm\", at: {unit: mm, xyz: [20, 10, 0]}}}]", "cutouts: []", 1), "laminate.stack[1].within[0].around_cutouts"},
	} {
		f, err := refusal(t, c.source)
		if !strings.Contains(err.Error(), c.at) {
			t.Errorf("%v\n\twant %s", err, c.at)
		}
		if got := f.Locate(err); len(got) != 1 || got[0].Line != line {
			t.Errorf("%v: at %+v", err, got)
		}
	}
	all := strings.ReplaceAll(screwed(""), `angle: "0 deg"}`, `angle: "0 deg", within: [{around_fasteners: "15 mm"}]}`)
	if _, err := refusal(t, all); !strings.Contains(err.Error(), "no ply lies everywhere") {
		t.Error(err)
	}
	if _, err := refusal(t, "laywright: 1\nlaminate: {resin: laminating-epoxy-slow, stack: [{fabric: glass-twill-290}, {fabric: glass-twill-290, within: [{around_fasteners: \"9 mm\"}]}]}"); !strings.Contains(err.Error(), "laminate.stack[1].within: there is no mould") {
		t.Error(err)
	}
	for _, bad := range []string{`{around_fasteners: "5 kg"}`, `{around_fasteners: 5}`, `{around_fasteners: "-5 mm"}`, `{around_bolts: "5 mm"}`} {
		_, problems := job.Read([]byte(within(bad)))
		if len(problems) == 0 || problems[0].Line != line {
			t.Errorf("%s: %+v", bad, problems)
		}
	}
}
