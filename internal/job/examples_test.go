package job_test

import (
	"bytes"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"laywright/internal/base/fault"
	"laywright/internal/job"
)

const examples = "../../examples"

// The examples are whole jobs: every stage that is asked for runs, nothing
// stops the part from being made, and the plan is sound. Made again, a job gives
// the same bytes: every search has its seed, and no map decides an order.
func TestExamples(t *testing.T) {
	if testing.Short() {
		t.Skip("whole jobs take some seconds each")
	}
	files, err := filepath.Glob(filepath.Join(examples, "dunlin-*", "*.job.yaml"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no examples: %v", err)
	}
	texts := make([][]byte, len(files))
	t.Run("each", func(t *testing.T) {
		for i, file := range files {
			t.Run(strings.TrimSuffix(filepath.Base(file), ".job.yaml"), func(t *testing.T) {
				t.Parallel()
				p, err := planFile(t, file)
				if err != nil {
					t.Fatal(err)
				}
				checkWhole(t, p)
				texts[i] = encoded(t, p)
			})
		}
	})
	t.Run("again", func(t *testing.T) {
		i := slices.IndexFunc(files, func(file string) bool { return strings.Contains(file, "air-scoop") })
		p, err := planFile(t, files[i])
		if err != nil {
			t.Fatal(err)
		}
		if text := encoded(t, p); !bytes.Equal(text, texts[i]) {
			t.Errorf("two plans of one job differ:\n%s", difference(texts[i], text))
		}
	})
}

func checkWhole(t *testing.T, p job.Plan) {
	t.Helper()
	for _, f := range p.Findings {
		if f.Severity == fault.Stop {
			t.Errorf("%s: %s: %s", f.Stage, f.Code, f.What)
		}
	}
	if ran(p) != strings.Join(job.StageNames[:], " ") {
		t.Errorf("ran %s; the examples ask for every stage", ran(p))
	}
	for i, ply := range p.Plies.Plies {
		least := 0.9995
		if len(ply.Within) > 0 {
			least = 0.997 // cut without allowance: a hair, as drawing smooths an outline, lacks along the edge
		}
		if whole := p.Mould.Surface.Area(); float64(ply.Locked) > 1e-4*whole || p.Plies.Relaid.Plies[i].Coverage < least {
			t.Errorf("ply %d: %.2f cm² locked, %.3f %% covered", ply.Number, 1e4*float64(ply.Locked), 100*p.Plies.Relaid.Plies[i].Coverage)
		}
	}
	checkStages(t, p)
	checkFindings(t, p)
	checkJSON(t, p)
}

// difference shows the first line in which two texts differ.
func difference(a, b []byte) string {
	x, y := strings.Split(string(a), "\n"), strings.Split(string(b), "\n")
	for i := range min(len(x), len(y)) {
		if x[i] != y[i] {
			return x[i] + "\n" + y[i]
		}
	}
	return "one is longer"
}

// What a bag lacks is told in the same words each time.
func TestSameRefusalSameWords(t *testing.T) {
	source := kit + "bag: {style: envelope, film: none-such, bleeder: no-such, bag_film: nowhere}\n"
	f, err := refusal(t, source)
	for range 20 {
		if _, again := refusal(t, source); again.Error() != err.Error() {
			t.Fatalf("refused by\n%v\nand by\n%v", err, again)
		}
	}
	if got := places(f.Locate(err)); got != placeOf(source, "none-such")+" "+placeOf(source, "no-such")+" "+placeOf(source, "nowhere") {
		t.Errorf("three wrong names stand at %s", got)
	}
}
