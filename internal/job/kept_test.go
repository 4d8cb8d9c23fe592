package job_test

import (
	"context"
	"maps"
	"strings"
	"testing"

	"laywright/internal/job"
	"laywright/internal/store/catalogue"
)

// hood is a small whole part.
const hood = `
laywright: 1
show: us
job: {name: Hood, seed: 1}
shop: {temperature: "20 degC", humidity: "45 %"}
duty: {loads: {pressure: "2 kPa", deflection_limit: "4 mm", factor: 2}}
mould:
  kind: plug
  solids: [{block: {size: {unit: mm, xyz: [120, 90, 30]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: "12 mm", draft: "30 deg"}}]
  fillet: "10 mm"
  triangle: "9 mm"
  flange: "20 mm"
  materials: [birch-ply]
part: {trim: flange, held: {edge: clamped}}
laminate:
  resin: laminating-epoxy-slow
  fibre_fraction: 0.45
  stack: [{fabric: carbon-twill-200, angle: "0 deg"}, {fabric: carbon-twill-200, angle: "45 deg"}]
roll: {search: "0.2 s"}
wetout: {cup_limit: "100 g"}
bag: {vacuum: "22 inHg"}
cure: {schedule: {unit: [h, degC], points: [[0, 20], [24, 20]]}}
`

func made(t *testing.T, in job.Inputs, text string) job.Plan {
	t.Helper()
	f, problems := job.Read([]byte(text))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	var err error
	if in.Library, err = catalogue.Library(); err != nil {
		t.Fatal(err)
	}
	plan, err := job.Make(context.Background(), f, in)
	if err != nil {
		t.Fatal(err)
	}
	return plan
}

// A job planned after others, with what those left, has the same plan as one planned
// alone; so has the first when it is planned again, in the other units too.
func TestKeptPlansAlike(t *testing.T) {
	kept, alone := &job.Kept{}, map[string]string{}
	for i, change := range [][2]string{{"", ""}, {"100 g", "60 g"}, {"show: us", "show: metric"}, {"2 kPa", "1 kPa"}, {"", ""}} {
		text := strings.Replace(hood, change[0], change[1], 1)
		if _, planned := alone[text]; !planned {
			alone[text] = string(encoded(t, made(t, job.Inputs{}, text)))
		}
		if string(encoded(t, made(t, job.Inputs{Kept: kept}, text))) != alone[text] {
			t.Errorf("change %d: the plan differs from one worked out alone", i)
		}
	}
}

// A change to what a stage does not see leaves it as it was, and one that it sees
// does not.
func TestKeptWorksOnlyWhatChanged(t *testing.T) {
	kept := &job.Kept{}
	plan := func(text string) map[string]int {
		made(t, job.Inputs{Kept: kept}, text)
		return kept.Made()
	}
	want := plan(hood)
	for _, stage := range job.StageNames {
		if want[stage] != 1 {
			t.Errorf("%s was worked out %d times", stage, want[stage])
		}
	}
	want["cure"], want["bench"] = 2, 2
	if got := plan(strings.Replace(hood, "[24, 20]", "[30, 20]", 1)); !maps.Equal(got, want) {
		t.Errorf("after a change of the schedule: made %v, not %v", got, want)
	}
	if got := plan(hood); !maps.Equal(got, want) {
		t.Errorf("going back: made %v, not %v", got, want)
	}
}

// A quick run leaves what takes long as it stands and says so, whatever became of the
// stack; what is cheap follows the job.
func TestQuick(t *testing.T) {
	const two = `{fabric: carbon-twill-200, angle: "0 deg"}, {fabric: carbon-twill-200, angle: "45 deg"}`
	kept := &job.Kept{}
	first := made(t, job.Inputs{Kept: kept}, hood)
	before := kept.Made()
	for _, stack := range []string{two + ", " + two, `{fabric: carbon-twill-200, angle: "0 deg"}`, `{fabric: glass-light-105, angle: "0 deg"}, {core: pvc-foam-80, thickness: "3 mm"}, {fabric: glass-light-105, angle: "0 deg"}`} {
		text := strings.Replace(hood, two, stack, 1)
		quick := made(t, job.Inputs{Kept: kept, Quick: true}, text)
		for _, s := range quick.Stages {
			if dear := strings.Contains("mould plies strength roll", s.Name); s.Stale != dear {
				t.Errorf("%s: stale is %v", s.Name, s.Stale)
			}
		}
		if quick.Laminate.Thickness == first.Laminate.Thickness || *quick.Mass == *first.Mass {
			t.Error("the wall did not follow the stack")
		}
	}
	after := kept.Made()
	for _, stage := range []string{"mould", "plies", "strength", "roll", "boards", "dress"} {
		if after[stage] != before[stage] {
			t.Errorf("a quick run worked %s out", stage)
		}
	}
}
