package job_test

import (
	"math"
	"os"
	"testing"

	"laywright/internal/stage/laminate"
	"laywright/internal/stage/strength"
)

// The wall that is checked weighs what is laid: each ply's cloth on the part, its laps
// counted, with the resin in it; and it is as thick as the pieces put back on the mould
// add up to at each vertex.
func TestWallCheckedIsTheWallLaid(t *testing.T) {
	t.Parallel()
	b, err := os.ReadFile("../../examples/dunlin-demist-box/dunlin-demist-box.job.yaml")
	if err != nil {
		t.Fatal(err)
	}
	p := mustMake(t, string(b))
	if p.Plies.LapArea == 0 {
		t.Fatal("the demo has no laps")
	}
	var mass float64
	cloth := 0
	for _, l := range p.Laminate.Layers {
		if l.Kind == laminate.Cloth {
			mass += float64(p.Plies.Relaid.Plies[cloth].Mass) * float64(l.ArealMass()/l.Fibre)
			cloth++
		}
	}
	if got := float64(*p.Strength.Mass); math.Abs(got/mass-1) > 1e-6 {
		t.Errorf("checked %.9g kg, laid %.9g kg", got, mass)
	}
	m, heights := p.Mould.Surface, p.Heights()
	sum, whole := make([]float64, len(heights)), make([]float64, len(heights))
	for f, v := range m.Triangles {
		for _, u := range v {
			sum[u] += m.FaceArea(f) * p.Strength.Wall[f]
			whole[u] += m.FaceArea(f)
		}
	}
	for v, h := range heights {
		if got := sum[v] / whole[v]; math.Abs(got/h-1) > 1e-6 {
			t.Fatalf("vertex %d: %.9g m, laid %.9g m", v, got, h)
		}
	}
	if p.Strength.Thickest <= p.Laminate.Thickness*5/4 || p.Strength.Thinnest < p.Laminate.Thickness*0.9 {
		t.Errorf("from %g to %g m, the stack %g m", p.Strength.Thinnest, p.Strength.Thickest, p.Laminate.Thickness)
	}
}

// A flat lid of two plies, the first in two pieces: butted, the second carries all of
// the load over the seam and the index rises; lapped, the strip that lies double weighs
// as much as it is wide.
func TestSeamsOfALid(t *testing.T) {
	lid := func(plies string) *strength.Result {
		return mustMake(t, `
laywright: 1
mould: {kind: plug, triangle: "10 mm", solids: [{plate: {length: "240 mm", width: "160 mm"}}], pull: [0, 0, 1]}
part: {trim: whole, held: {edge: clamped}}
duty: {loads: {pressure: "200 Pa", factor: 2.0}}
laminate: {resin: laminating-epoxy-slow, fibre_fraction: 0.45, stack: [{fabric: carbon-plain-193, angle: "0 deg"}, {fabric: carbon-plain-193, angle: "0 deg"}]}
plies: {`+plies+"}\n").Strength
	}
	const line = `slits: [{from: {unit: mm, xyz: [0, -80, 0]}, to: {unit: mm, xyz: [0, 80, 0]}, through: true, plies: [1]}], lap: "15 mm", mode: `
	whole, lapped, butted := lid("slits: none"), lid(line+"lapped"), lid(line+"butted")
	if got, want := float64(*lapped.Mass / *whole.Mass), 1+0.5*0.015/0.24; math.Abs(got/want-1) > 1e-3 {
		t.Errorf("lapped it weighs %.6f of the whole, want %.6f", got, want)
	}
	if got := float64(*butted.Mass / *whole.Mass); math.Abs(got-1) > 1e-4 {
		t.Errorf("butted it weighs %.6f of the whole", got)
	}
	if got := *butted.Index / *whole.Index; !(got > 1.5) {
		t.Errorf("butted its index is %.3f of the whole", got)
	}
	if lapped.Deflection >= whole.Deflection {
		t.Errorf("lapped it moves %g m for %g m: the lap is a rib", lapped.Deflection, whole.Deflection)
	}
}
