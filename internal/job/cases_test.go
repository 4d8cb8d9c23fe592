package job_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// expectation is one value that a plan must hold: a number within a relative or
// an absolute tolerance, something equal, or a list of so many.
type expectation struct {
	At    string   `json:"at"`
	Value *float64 `json:"value"`
	Rel   float64  `json:"rel"`
	Abs   float64  `json:"abs"`
	Equal any      `json:"equal"`
	Count *int     `json:"count"`
}

// Whole jobs against published numbers, closed forms and sums by hand. Each
// .expect.json of testdata/cases names its source.
func TestCases(t *testing.T) {
	files, err := filepath.Glob("testdata/cases/*.expect.json")
	if err != nil || len(files) < 10 {
		t.Fatalf("%d cases: %v", len(files), err)
	}
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".expect.json")
		t.Run(name, func(t *testing.T) { runCase(t, file) })
	}
}

func runCase(t *testing.T, file string) {
	var want struct {
		Source string        `json:"source"`
		Expect []expectation `json:"expect"`
	}
	text, err := os.ReadFile(file)
	if err == nil {
		err = json.Unmarshal(text, &want)
	}
	if err != nil || want.Source == "" || len(want.Expect) == 0 {
		t.Fatalf("%s: no source or nothing expected: %v", file, err)
	}
	p, err := planFile(t, strings.Replace(file, ".expect.json", ".job.yaml", 1))
	if err != nil {
		t.Fatal(err)
	}
	plan := decoded(t, p)
	for _, e := range want.Expect {
		if err := e.against(plan); err != nil {
			t.Errorf("%s: %v (%s)", e.At, err, want.Source)
		}
	}
}

func (e expectation) against(plan any) error {
	got, err := lookUp(plan, e.At)
	if err != nil {
		return err
	}
	switch {
	case e.Count != nil:
		if list, ok := got.([]any); !ok || len(list) != *e.Count {
			return fmt.Errorf("%v is no list of %d", got, *e.Count)
		}
	case e.Value != nil:
		x, ok := got.(float64)
		room := math.Max(e.Rel*math.Abs(*e.Value), e.Abs)
		if !ok || !(math.Abs(x-*e.Value) <= room) {
			return fmt.Errorf("%v, want %v to %.2g", got, *e.Value, room)
		}
	default:
		if got != e.Equal {
			return fmt.Errorf("%v, want %v", got, e.Equal)
		}
	}
	return nil
}

var step = regexp.MustCompile(`[^.\[\]]+`)

// lookUp finds a value by a path like laminate.plies[0].stress_top_Pa[1].
func lookUp(v any, path string) (any, error) {
	for _, key := range step.FindAllString(path, -1) {
		switch x := v.(type) {
		case map[string]any:
			next, there := x[key]
			if !there {
				return nil, fmt.Errorf("the plan has no %s", key)
			}
			v = next
		case []any:
			i, err := strconv.Atoi(key)
			if err != nil || i >= len(x) {
				return nil, fmt.Errorf("no item %s in a list of %d", key, len(x))
			}
			v = x[i]
		default:
			return nil, fmt.Errorf("%s is asked of %v", key, v)
		}
	}
	return v, nil
}
