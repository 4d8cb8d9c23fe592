package job_test

import (
	"math"
	"strings"
	"testing"

	"laywright/internal/base/fault"
	"laywright/internal/job"
)

// foamPlug is a block of foam in an envelope, cured at an even heat.
const foamPlug = `
laywright: 1
job: {seed: 1}
shop: {temperature: "20 degC", humidity: "50 %", elevation: "0 m"}
mould:
  solids: [{block: {size: {unit: mm, xyz: [300, 200, 80]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: "30 mm", draft: "10 deg"}}]
  triangle: "12 mm"
  fillet: "10 mm"
  flange: "30 mm"
  materials: [xps-foam]
laminate: {resin: laminating-epoxy-slow, fibre_fraction: 0.42, stack: [{fabric: glass-twill-290, angle: "0 deg"}]}
plies: {slits: none}
bag: {style: envelope, vacuum: "22 inHg"}
cure: {in: box-oven, schedule: {unit: [h, degC], points: [[0, 20], [12, 20], [14, HOT], [20, HOT], [22, 20]]}, off_mould: auto}
`

// What the cure's heat makes of the mould is judged where it is known: the foam is
// told when hot, and the plan holds the numbers by hand: 65e-6·ΔT·L along each axis.
func TestMouldHeldAgainstTheCure(t *testing.T) {
	t.Parallel()
	cold, hot := mustMake(t, strings.ReplaceAll(foamPlug, "HOT", "22")), mustMake(t, strings.ReplaceAll(foamPlug, "HOT", "60"))
	if codes(cold, "mould-crushed") != 0 || codes(hot, "mould-crushed") != 1 {
		t.Errorf("told %d times cold, %d times hot", codes(cold, "mould-crushed"), codes(hot, "mould-crushed"))
	}
	s := hot.Stood
	if s == nil || s.Hottest == nil || s.Grows == nil || s.PastPart == nil {
		t.Fatalf("%+v", s)
	}
	rise := float64(*s.Hottest) - 293.15
	if rise < 39 || rise > 45 {
		t.Errorf("hottest %.1f K above the shop", rise)
	}
	for i, l := range hot.Mould.Stand.Size {
		if want := 65e-6 * rise * float64(l); math.Abs(float64(s.Grows[i])-want) > 1e-9 {
			t.Errorf("axis %d grows %.4g m, want %.4g", i, float64(s.Grows[i]), want)
		}
	}
	if s.Pressed != hot.Bag.Used {
		t.Errorf("pressed by %.0f Pa under a vacuum of %.0f", float64(s.Pressed), float64(hot.Bag.Used))
	}
}

func codes(p job.Plan, code string) (n int) {
	for _, f := range p.Findings {
		if f.Code == code && f.Severity != fault.Note {
			n++
		}
	}
	return n
}

// The cure follows heat through the body as thick as it is, not through a board.
func TestCureTakesTheBodysThickness(t *testing.T) {
	t.Parallel()
	p := mustMake(t, strings.ReplaceAll(foamPlug, "HOT", "60"))
	want := float64(*p.Mould.Volume) / float64(p.Mould.FaceArea)
	if got := float64(p.Mould.Stand.Layers[0].Thickness); math.Abs(got-want) > 1e-12 || got < 0.02 || got > 0.06 {
		t.Errorf("%.4f m thick, want %.4f", got, want)
	}
	thick := mustMake(t, strings.ReplaceAll(strings.ReplaceAll(foamPlug, "HOT", "60"), "xps-foam]", "xps-foam]\n  body: {skin: \"3 mm\"}"))
	if !(p.Cure.Lag > thick.Cure.Lag) {
		t.Errorf("a solid plug lags by %.2f K, a skin of 3 mm by %.2f K", float64(p.Cure.Lag), float64(thick.Cure.Lag))
	}
}
