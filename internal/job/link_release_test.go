package job_test

import (
	"math"
	"testing"
)

// The wall's growth and the cure's heat reach the mould: a foam plug that is warmed
// from 20 to 60 degC, in a carbon wall, tightens by L·(α_foam − α_wall)·40 K, with
// the foam's expansion as the library has it and the wall's as the plan gives it.
func TestWarmthReachesTheMould(t *testing.T) {
	const foam = 65e-6 // 1/K, xps-foam
	source := `
laywright: 1
shop: {temperature: "20 degC"}
mould:
  solids: [{block: {size: {unit: mm, xyz: [300, 200, 30]}, draft: "5 deg", edge: "10 mm"}}]
  triangle: "12 mm"
  materials: [xps-foam]
part: {trim: whole}
laminate:
  resin: laminating-epoxy-slow
  fibre_fraction: 0.45
  stack: [{fabric: carbon-twill-200, angle: "0 deg"}]
cure: {in: box-oven, schedule: {unit: [h, degC], points: [[0, 20], [2, 60], [8, 60]]}}
`
	p := mustMake(t, source)
	g := p.Mould.Release.Grip
	if g == nil || p.Laminate.AlphaX == nil {
		t.Fatal("no grip worked out")
	}
	wall := float64(*p.Laminate.AlphaX+*p.Laminate.AlphaY) / 2
	want := float64(g.Over) * (foam - wall) * 40
	if math.Abs(float64(g.Warm)-want) > 1e-3*want {
		t.Errorf("warm %.4g mm, want %.4g", 1e3*float64(g.Warm), 1e3*want)
	}
	if g.Over < 0.2 || g.Over > 0.37 {
		t.Errorf("over %g m, want between the shorter side and the diagonal", float64(g.Over))
	}
	// Without a wall nothing is known of its growth.
	if bare := mustMake(t, "laywright: 1\nmould: {triangle: \"12 mm\", solids: [{block: {size: {unit: mm, xyz: [300, 200, 30]}}}]}\n"); bare.Mould.Release.Grip != nil {
		t.Error("grip without a laminate")
	}
}
