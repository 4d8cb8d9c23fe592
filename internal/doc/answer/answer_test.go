package answer

import (
	"fmt"
	"strings"
	"testing"

	"laywright/internal/base/fault"
	"laywright/internal/job"
)

func TestUnitStaysWithItsNumber(t *testing.T) {
	text := strings.Repeat("a", 70) + " until 150 °C, then 3 cups"
	got := wrap("", "  ", text)
	if len(got) != 2 || got[1] != "  150 °C, then 3 cups" {
		t.Errorf("%q", got)
	}
}

// What finds no room is counted, and a screen stays a screen.
func TestScreenHasAnEnd(t *testing.T) {
	for n := range 40 {
		a := Answer{Says: []string{"Yes."}}
		for i := range n {
			a.Minds = append(a.Minds, fmt.Sprintf("NOTE %d: %s", i, strings.Repeat("word ", 10+i)))
		}
		var b strings.Builder
		if err := a.Write(&b); err != nil {
			t.Fatal(err)
		}
		shown := strings.Count(b.String(), "NOTE ")
		counted := strings.Contains(b.String(), "And "+fault.Count(n-shown, "finding", "findings")+" more")
		if lines := strings.Count(b.String(), "\n"); lines > Lines || shown < n && !counted {
			t.Errorf("%d findings: %d lines, %d shown:\n%s", n, lines, shown, b.String())
		}
	}
}

// The worst finding stands before the dangers, and those before the others; notes
// and other stages' findings are left out.
func TestWorstFirst(t *testing.T) {
	got := minded([]fault.Finding{
		{Stage: "cure", Severity: fault.Stop, What: "A.", Do: "do a"}, {Stage: "bag", Severity: fault.Stop, What: "X."},
		{Stage: "cure", Severity: fault.Caution, What: "B."}, {Stage: "cure", Severity: fault.Note, What: "Y."},
		{Stage: "job", Severity: fault.Note, Code: "caution-oven-fire", What: "C."}}, []string{"cure"}, []string{"oven-fire"})
	if want := "STOP: A. Do a.|MIND: C.|CAUTION: B."; strings.Join(got, "|") != want {
		t.Errorf("%s, want %s", strings.Join(got, "|"), want)
	}
}

// A plan that lacks what is asked for is told, not guessed.
func TestEmptyPlan(t *testing.T) {
	for q := range kinds {
		if a, err := To(q, job.Plan{}); err == nil {
			t.Errorf("%s is answered from nothing: %+v", q, a)
		}
	}
}
