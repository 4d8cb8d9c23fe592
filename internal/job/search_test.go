package job_test

import (
	"fmt"
	"strings"
	"testing"

	"laywright/internal/job"
)

// lid is a flat lid under pressure with an open stack.
const lid = `
laywright: 1
mould: {kind: plug, triangle: "20 mm", solids: [{plate: {length: "240 mm", width: "160 mm"}}], pull: [0, 0, 1]}
part: {trim: whole, held: {edge: pinned}}
duty: {loads: {pressure: "1 kPa", deflection_limit: "1.5 mm", factor: 2.0}}
laminate: {resin: laminating-epoxy-slow, fibre_fraction: 0.45, stack: auto, choose: {fabrics: [carbon-plain-193], most: 5}}
`

// popping is a lid that is a little round, under suction: one ply of it pops in.
var popping = strings.NewReplacer(`plate: {length: "240 mm", width: "160 mm"}`, `dome: {diameter: "240 mm", height: "8 mm"}`, `pressure: "1 kPa"`, `suction: "2 kPa"`).Replace(lid)

// What the search chooses holds when it is written into the job, and whatever it calls
// lighter does not: each is planned again by itself.
func TestSearchTakesTheLightest(t *testing.T) {
	p := mustMake(t, popping)
	s := p.Search
	if s == nil || s.Nothing || len(s.Best) == 0 || s.OnePly == nil {
		t.Fatalf("search %+v", s)
	}
	holds := func(stack string) bool {
		lines := strings.Split(strings.TrimPrefix(stack, "carbon-plain-193 "), "/")
		for i := range lines {
			lines[i] = fmt.Sprintf(`{fabric: carbon-plain-193, angle: "%s deg"}`, lines[i])
		}
		written := strings.Replace(popping, "stack: auto, choose: {fabrics: [carbon-plain-193], most: 5}", "stack: ["+strings.Join(lines, ", ")+"]", 1)
		r := mustMake(t, written).Strength
		return *r.Margin >= 0 && r.Deflection <= 0.0015 && (r.Buckling == nil || *r.Buckling >= 2)
	}
	if !holds(s.Best[0].Stack) {
		t.Errorf("%s was chosen and does not hold", s.Best[0].Stack)
	}
	for _, f := range s.Failed {
		if f.ArealMass > s.Best[0].ArealMass || holds(f.Stack) {
			t.Errorf("%s is no lighter stack that fails", f.Stack)
		}
	}
	checkJSON(t, p)
	if got := len(p.Laminate.Layers); got != strings.Count(s.Best[0].Stack, "/")+1 {
		t.Errorf("the plan has %d plies, the search took %s", got, s.Best[0].Stack)
	}
	for _, code := range []string{"stack-chosen", "one-ply-fails"} {
		if !hasFinding(p, code) {
			t.Errorf("no finding %s", code)
		}
	}
	if hasFinding(p, "stack-by-rule") {
		t.Error("the stack is said to be taken by rule")
	}
}

// Where nothing holds the nearest is laid and the plan stops; a core helps.
func TestSearchSaysWhenNothingHolds(t *testing.T) {
	t.Parallel()
	heavy := strings.Replace(lid, `pressure: "1 kPa"`, `pressure: "20 kPa"`, 1)
	p := mustMake(t, heavy)
	if !p.Search.Nothing || !hasFinding(p, "no-stack-holds") || len(p.Laminate.Layers) != 5 {
		t.Errorf("search %+v", p.Search)
	}
	p = mustMake(t, strings.Replace(heavy, "most: 5", `most: 5, core: pvc-foam-80, core_thickness: "8 mm"`, 1))
	if p.Search.Nothing {
		t.Errorf("with a core: %+v", p.Search)
	}
}

func TestChoiceRefused(t *testing.T) {
	for bad, says := range map[string]string{
		"choose: {fabrics: [carbon-plain-139], most: 5}": "carbon-plain-139",
		"choose: {core: pvc-foam-80}":                    "its thickness",
		"choose: {most: 40}":                             "most",
	} {
		source := strings.Replace(lid, "choose: {fabrics: [carbon-plain-193], most: 5}", bad, 1)
		f, problems := job.Read([]byte(source))
		text := fmt.Sprint(problems)
		if len(problems) == 0 {
			_, err := job.Make(t.Context(), f, job.Inputs{Library: library(t)})
			text = fmt.Sprint(err)
		}
		if !strings.Contains(text, says) {
			t.Errorf("%s: %s does not say %q", bad, text, says)
		}
	}
}
