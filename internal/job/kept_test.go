package job_test

import (
	"context"
	"encoding/json"
	"maps"
	"os"
	"strings"
	"testing"

	"laywright/internal/job"
	"laywright/internal/store/catalogue"
)

// planKept plans a text with what was kept, and tells which results were made anew.
func planKept(t *testing.T, kept *job.Kept, text string) string {
	t.Helper()
	f, problems := job.Read([]byte(text))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	library, err := catalogue.Library()
	if err != nil {
		t.Fatal(err)
	}
	plan, err := job.Make(context.Background(), f, job.Inputs{Library: library, Kept: kept})
	if err != nil {
		t.Fatal(err)
	}
	out, err := json.Marshal(plan)
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

// A job planned after another, with what that one left, has the same plan as one
// planned alone; so has the first when it is planned again, in the other units too.
func TestKeptPlansAlike(t *testing.T) {
	source, err := os.ReadFile("../../examples/dunlin-hatch-cover/dunlin-hatch-cover.job.yaml")
	if err != nil {
		t.Fatal(err)
	}
	text := string(source)
	var edits []string
	for _, change := range [][2]string{{"", ""}, {"cup_limit: \"100", "cup_limit: \"60"}, {"show: us", "show: metric"}, {"", ""}} {
		if !strings.Contains(text, change[0]) {
			continue
		}
		edits = append(edits, strings.Replace(text, change[0], change[1], 1))
	}
	if len(edits) < 3 {
		t.Fatalf("the example has nothing to change: %d texts", len(edits))
	}
	kept, alone := &job.Kept{}, map[string]string{}
	for i, e := range edits {
		if _, planned := alone[e]; !planned {
			alone[e] = planKept(t, nil, e)
		}
		if planKept(t, kept, e) != alone[e] {
			t.Errorf("edit %d: the plan differs from one worked out alone", i)
		}
	}
}

// A change to what a stage does not see leaves it as it was, and one that it sees
// does not.
func TestKeptWorksOnlyWhatChanged(t *testing.T) {
	const text = `
laywright: 1
part: {area: "0.2 m^2"}
laminate: {resin: laminating-epoxy-slow, fibre_fraction: 0.45, stack: [{fabric: carbon-twill-200, angle: "0 deg"}]}
wetout: {cup_limit: "100 g"}
cure: {schedule: {unit: [h, degC], points: [[0, 20], [24, 20]]}}
`
	kept := &job.Kept{}
	planKept(t, kept, text)
	before := kept.Made()
	planKept(t, kept, strings.Replace(text, "[24, 20]", "[30, 20]", 1))
	want := maps.Clone(before)
	want["cure"]++
	if got := kept.Made(); !maps.Equal(got, want) {
		t.Errorf("a change of the schedule: made %v, not %v", got, want)
	}
	planKept(t, kept, text)
	if got := kept.Made(); !maps.Equal(got, want) {
		t.Errorf("going back: made %v, not %v", got, want)
	}
}
