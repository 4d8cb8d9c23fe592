package job_test

import (
	"strings"
	"testing"

	"laywright/internal/base/fault"
	"laywright/internal/job"
)

const wetJob = kit + "cure: {in: room}\nbench: {hands: 1}\n"

// withCups is the kit in a shop that has timed gels.
func withCups(cups string) string {
	return strings.Replace(wetJob, "part:", `shop: {temperature: "20 degC", humidity: "50 %", gel_cups: [`+cups+`]}`+"\npart:", 1)
}

func found(p job.Plan, code string) (f fault.Finding, ok bool) {
	for _, f := range p.Findings {
		if f.Code == code {
			return f, true
		}
	}
	return f, false
}

// A shop's own film moves pots and cure alike, and a reading of another resin waits.
func TestGelCupMovesThePlan(t *testing.T) {
	plain := mustMake(t, withCups(`{resin: laminating-epoxy-fast, temperature: "20 degC", gel: "1 h"}`))
	slow := mustMake(t, withCups(`{temperature: "20 degC", gel: "14 h"}`))
	if plain.Cure.Fit.Shop != nil || slow.Cure.Fit.Shop == nil {
		t.Fatal("which resin a reading is of")
	}
	if !(*slow.Cure.Gel > *plain.Cure.Gel*5/4 && *slow.Wetout.FilmGel > *plain.Wetout.FilmGel*5/4) {
		t.Errorf("gel %v s and %v s, film %v s and %v s", *plain.Cure.Gel, *slow.Cure.Gel, *plain.Wetout.FilmGel, *slow.Wetout.FilmGel)
	}
	if f, ok := found(slow, "gel-cup-disagrees"); !ok || f.Severity != fault.Caution || f.Unit != "min" {
		t.Errorf("%+v", f)
	}
	if _, ok := found(slow, "law-from-shop"); !ok {
		t.Error("nothing says that the law follows the shop")
	}
	if _, ok := found(slow, "data-sheet-misfit"); ok {
		t.Error("the sheet is blamed for what the shop has read")
	}
	width := func(p job.Plan) float64 { return float64(*p.Cure.GelHigh / *p.Cure.GelLow) }
	if !(width(slow) < width(plain)) {
		t.Errorf("range of the gel %.2f with a reading, %.2f without", width(slow), width(plain))
	}
	checkJSON(t, slow)
	checkFindings(t, slow)
}

func TestGelCupRefusals(t *testing.T) {
	for cups, want := range map[string]string{
		`{gel: "34 min"}`:          "shop.gel_cups[0].temperature",
		`{temperature: "20 degC"}`: "shop.gel_cups[0].gel",
		`{resin: laminating-epxy-fast, temperature: "20 degC", gel: "1 h"}`: "shop.gel_cups[0].resin",
	} {
		if _, err := refusal(t, withCups(cups)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", cups, err)
		}
	}
	for _, cups := range []string{`{mass: "2 g", temperature: "20 degC", gel: "1 h"}`, `{temperature: "20 degC", gel: "0 min"}`, `{temperature: "20 degC", gel: "nan min"}`} {
		if _, problems := job.Read([]byte(withCups(cups))); len(problems) == 0 {
			t.Errorf("%s is taken", cups)
		}
	}
}

// One formula of pace: what the pots take to lay is what the bench's steps take.
func TestPotsKeepTheBenchsPace(t *testing.T) {
	for _, more := range []string{"", "wetout: {pace: \"8 min\"}\n"} {
		p := mustMake(t, wetJob+more)
		steps := 0.0
		for _, s := range p.Bench.Steps {
			if strings.HasPrefix(s.Name, "Wet out") || strings.HasPrefix(s.Name, "Place") || strings.HasPrefix(s.Name, "Mix") {
				steps += float64(s.Seconds)
			}
		}
		if first := float64(p.Bench.Steps[0].Seconds); first <= 0 {
			t.Fatal("no first step")
		}
		if got, mix := float64(p.Wetout.Total), 300.0; got < steps-mix-1e-6 || got > steps+1e-6 {
			t.Errorf("%q: pots take %.0f s, the bench's steps %.0f", more, got, steps)
		}
	}
}
