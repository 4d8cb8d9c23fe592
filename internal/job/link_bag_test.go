package job_test

import (
	"math"
	"strings"
	"testing"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/job"
)

// panelUnder is a flat panel with a schedule of its own and what else it says.
const panelUnder = `
laywright: 1
shop: {temperature: "20 degC", humidity: "50 %", elevation: "0 m"}
part: {area: "0.2 m^2"}
laminate: {resin: laminating-epoxy-slow, fibre_fraction: 0.46, stack: [{fabric: glass-twill-290, angle: "0 deg"}, {fabric: glass-twill-290, angle: "0 deg"}]}
`

func bagSection(t *testing.T, bag, cure string) job.Plan {
	t.Helper()
	return mustMake(t, panelUnder+"bag: "+bag+"\ncure: "+cure+"\n")
}

// A schedule that is warm before the gel is followed: the resin is warmest and thinnest
// there, and a deep vacuum boils its moisture. One that the cure searches for is not
// known yet, and the shop's temperature stays.
func TestBagFollowsAGivenSchedule(t *testing.T) {
	const deep = `{vacuum: "27 inHg"}`
	cold := bagSection(t, deep, `{in: room}`)
	warm := bagSection(t, deep, `{in: box-oven, schedule: {unit: [min, degC], points: [[0, 20], [20, 60], [600, 60]]}}`)
	late := bagSection(t, deep, `{in: box-oven, schedule: {unit: [h, degC], points: [[0, 20], [30, 20], [32, 60], [40, 60]]}}`)
	if got := cold.Bag.Warmest.Celsius(); math.Abs(got-20) > 1e-9 {
		t.Errorf("warmest %.1f degC in the shop", got)
	}
	if got := warm.Bag.Warmest.Celsius(); math.Abs(got-60) > 0.1 {
		t.Errorf("warmest %.1f degC in the oven", got)
	}
	if got := late.Bag.Warmest.Celsius(); math.Abs(got-20) > 1e-9 {
		t.Errorf("warmest before the gel %.1f degC, heated after it", got)
	}
	if finding(warm, "moisture-boils") == nil || finding(cold, "moisture-boils") != nil || finding(late, "moisture-boils") != nil {
		t.Error("boiling is not told where it is warm before the gel, or where it is not")
	}
	end := func(p job.Plan) float64 { h := p.Bag.History.Time; return h[len(h)-1] }
	if !(end(warm) < 0.5*end(cold)) {
		t.Errorf("gels after %.0f s in the oven, %.0f s in the shop", end(warm), end(cold))
	}
	// until the gel of the cure, less what went before the vacuum and the last hundredth
	if gel := float64(*warm.Cure.Gel); math.Abs(end(warm)/gel-1) > 0.35 {
		t.Errorf("the bag ends at %.0f s, the cure gels at %.0f s", end(warm), gel)
	}
}

// Foam of 0.9 MPa bears 0.9·0.5 = 450 kPa for hours when cold, and nothing above its limit.
func TestCoreIsHeldAgainstTheVacuum(t *testing.T) {
	t.Parallel()
	sandwich := strings.Replace(foamPlug, `{fabric: glass-twill-290, angle: "0 deg"}`, `{fabric: glass-twill-290, angle: "0 deg"}, {core: pvc-foam-60, thickness: "5 mm"}, {fabric: glass-twill-290, angle: "0 deg"}`, 1)
	cold, hot := mustMake(t, strings.ReplaceAll(sandwich, "HOT", "22")), mustMake(t, strings.ReplaceAll(sandwich, "HOT", "75"))
	if f := finding(cold, "core-crushed"); f != nil {
		t.Errorf("cold: %+v", f)
	}
	if f := finding(hot, "core-crushed"); f == nil || f.Severity != fault.Stop || *f.Value != 0 {
		t.Errorf("hot: %+v", f)
	}
}

func TestBreatherIsNamed(t *testing.T) {
	none := bagSection(t, `{vacuum: "22 inHg", breather: none}`, "{in: room}")
	felt := bagSection(t, `{vacuum: "22 inHg", breather: bleeder-340}`, "{in: room}")
	if none.Bag.BreatherArea != 0 || felt.Bag.BreatherArea == 0 || felt.Bag.BarrierArea == 0 {
		t.Errorf("breather %v m² left out, %v m² laid", none.Bag.BreatherArea, felt.Bag.BreatherArea)
	}
	if rest := felt.Bag.Resistance - none.Bag.Resistance; math.Abs(float64(rest-si.ThermalResistance(0.03))) > 1e-12 {
		t.Errorf("the breather keeps heat by %v", rest)
	}
}
