package job_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"laywright/internal/job"
	"laywright/internal/stage/nest"
)

// rolled is the panel with rules of the roll in place of its own.
func rolled(rules string) string {
	return strings.Replace(panel, `roll: {search: "0.1 s"}`, `roll: {search: "0.1 s", `+rules+`}`, 1)
}

func turnsOf(p job.Plan, material string) (out []float64) {
	for _, r := range p.Roll.Rolls {
		for _, x := range r.Placements {
			if deg := math.Round(x.Turn.Degrees()); r.Material == material && !slices.Contains(out, deg) {
				out = append(out, deg)
			}
		}
	}
	return out
}

// A quarter turn is for cloth that is balanced, and nothing turns that runs one way.
func TestClothTurnsAsItMay(t *testing.T) {
	t.Parallel()
	own := func(more string) string {
		return `materials: {fabrics: {glass-light-105: {areal_mass: "105 g/m^2", fibre: e-glass, weave: plain, width: "1 m", locking: "40 deg", ` + more + "}}}\n"
	}
	for _, c := range []struct{ rules, cloth, code string }{
		{"turn: [90]", `warp_share: 0.5`, ""},
		{"turn: [0, 90]", `warp_share: 0.9`, "cloth-not-balanced"},
		{"turn: [0, 180]", `warp_share: 0.5, one_way: true`, "cloth-runs-one-way"},
		{"flip: true", `warp_share: 0.5, may_flip: false`, "faces-differ"},
	} {
		p := mustMake(t, rolled(c.rules)+own(c.cloth))
		got := turnsOf(p, "glass-light-105")
		if across := slices.Contains(got, 90); across != (c.rules == "turn: [90]") {
			t.Errorf("%s, %s: pieces lie at %v", c.rules, c.cloth, got)
		}
		if slices.ContainsFunc(got, func(deg float64) bool { return deg != 0 }) && strings.Contains(c.cloth, "one_way") {
			t.Errorf("cloth that runs one way lies at %v", got)
		}
		if c.code != "" && !hasFinding(p, c.code) {
			t.Errorf("%s, %s: no finding %s", c.rules, c.cloth, c.code)
		}
	}
}

func hasFinding(p job.Plan, code string) bool {
	for _, f := range p.Findings {
		if f.Code == code {
			return true
		}
	}
	return false
}

// Stock of the right cloth goes first, whole plies of it, and what it cannot hold is
// bought by the yard where the job shows US units.
func TestStockGoesFirst(t *testing.T) {
	const stock = `stock: [{name: R7, material: glass-twill-290, lot: A41, outline: {unit: mm, points: [[0, 0], [400, 0], [400, 300], [0, 300]]}},
  {name: R8, material: glass-light-105, lot: B1, outline: {unit: mm, points: [[0, 0], [200, 0], [200, 100], [0, 100]]}}]`
	p := mustMake(t, "show: us\n"+strings.TrimPrefix(rolled(stock), "\n"))
	on := map[string]int{}
	for _, r := range p.Roll.Rolls {
		on[r.Material+"/"+r.Stock] = len(r.Placements)
	}
	// the remnant of twill holds one of the two panels of 340 by 240 mm, that of light glass none
	if on["glass-twill-290/R7"] != 1 || on["glass-twill-290/"] != 1 || on["glass-light-105/"] != 2 || on["glass-light-105/R8"] != 0 {
		t.Errorf("pieces lie on %v", on)
	}
	if !hasFinding(p, "stock-too-small") {
		t.Error("nothing says that cloth is to be bought")
	}
	i := slices.IndexFunc(p.Roll.Shelf, func(s nest.Stock) bool { return s.Name == "R8" })
	if i < 0 {
		t.Error("the remnant that was not touched is gone from the shelf")
	}
	for _, c := range p.Cloth {
		if math.Abs(math.Remainder(float64(c.Bought), 0.9144)) > 1e-9 || c.Bought == 0 {
			t.Errorf("%s is bought by %v m", c.Material, float64(c.Bought))
		}
		if c.Material == "glass-twill-290" && math.Abs(float64(c.Stock)-0.12) > 1e-9 {
			t.Errorf("stock used %v m2, want 0.12", float64(c.Stock))
		}
	}
}

// By hand each ply has its blank, cut straight across, one behind the other.
func TestBlanksByHand(t *testing.T) {
	p := mustMake(t, strings.Replace(rolled("by_hand: true"), "fabric: glass-light-105", "fabric: glass-twill-290", 1))
	if len(p.Roll.Rolls) != 1 || len(p.Roll.Rolls[0].Blanks) != 4 {
		t.Fatalf("rolls %+v", p.Roll.Rolls)
	}
	r, last := p.Roll.Rolls[0], 0.0
	for i, b := range r.Blanks {
		if float64(b.From) < last-1e-9 || b.To <= b.From || b.Pieces != 1 {
			t.Errorf("blank %d from %v to %v with %d pieces, the one before ends at %v", i, float64(b.From), float64(b.To), b.Pieces, last)
		}
		last = float64(b.To)
	}
	// 4 panels of 240 by 340 mm behind each other, and side by side on 1.27 m less selvedges
	if r.Together == nil || !(float64(*r.Together) < 0.5*float64(r.Length)) {
		t.Errorf("blanks take %v m, nested together %v", float64(r.Length), r.Together)
	}
	if !hasFinding(p, "blanks-cost-cloth") {
		t.Error("the price of cutting by hand is not told")
	}
}

func TestRollRulesRefuse(t *testing.T) {
	t.Parallel()
	for rules, says := range map[string]string{
		`table: "200 mm"`:                               "cutting table",
		`tilt: "20 deg"`:                                "roll.tilt",
		`stock: [{material: glass-light-105}]`:          "has no name",
		`stock: [{name: a, material: glass-light-105}]`: "roll.stock[0].width",
		`defects: [{from: "0.3 m", to: "0.3 m"}]`:       "roll.defects[0]",
	} {
		if _, err := refusal(t, rolled(rules)); !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v does not say %q", rules, err, says)
		}
	}
}
