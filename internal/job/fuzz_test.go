package job_test

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"laywright/internal/base/bind"
	"laywright/internal/base/material"
	"laywright/internal/job"
	"laywright/internal/stage/mould"

	"go.yaml.in/yaml/v4"
)

// seeds are good jobs of many kinds.
func seeds(t testing.TB) (out []string) {
	t.Helper()
	for _, pattern := range []string{"testdata/cases/*.job.yaml", filepath.Join(examples, "*", "*.job.yaml")} {
		files, err := filepath.Glob(pattern)
		if err != nil || len(files) == 0 {
			t.Fatalf("no jobs in %s: %v", pattern, err)
		}
		for _, file := range files {
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			out = append(out, string(text))
		}
	}
	return append(out, kit, bagged, plate+plies, heater)
}

// Whatever a file holds, reading it ends in a spec or in problems that stand
// somewhere in it, and making what was read in a plan or in an error.
func FuzzRead(f *testing.F) {
	for _, s := range seeds(f) {
		f.Add([]byte(s))
	}
	for _, s := range []string{"", "laywright: 1", "a: &a [*a]", "laywright: {1: 2}", "laywright: 1\nlaminate: {stack: [", "\xff", "? [a]\n: b"} {
		f.Add([]byte(s))
	}
	set := library(f)
	f.Fuzz(func(t *testing.T, source []byte) { tryJob(t, source, set) })
}

// FuzzValue puts any text in place of one value of a good job, which comes
// further into the stages than spoilt YAML does.
func FuzzValue(f *testing.F) {
	jobs := seeds(f)
	for i := range jobs {
		for _, text := range []string{"0", "-1", "1e300", "NaN", "0 m", "-5 degC", "1e-300 kg", "100 %", "1e9 s", "none", "auto", "."} {
			f.Add(uint8(i), uint16(7*i), text)
		}
	}
	set := library(f)
	f.Fuzz(func(t *testing.T, which uint8, place uint16, text string) {
		var root yaml.Node
		if err := yaml.Unmarshal([]byte(jobs[int(which)%len(jobs)]), &root); err != nil {
			t.Fatal(err)
		}
		values := scalars(&root, nil)
		values[int(place)%len(values)].Value = text
		source, err := yaml.Marshal(&root)
		if err != nil {
			return // not a text that YAML can hold
		}
		tryJob(t, source, set)
	})
}

// scalars lists the values, keys left out.
func scalars(n *yaml.Node, out []*yaml.Node) []*yaml.Node {
	switch n.Kind {
	case yaml.ScalarNode:
		return append(out, n)
	case yaml.MappingNode:
		for i := 1; i < len(n.Content); i += 2 {
			out = scalars(n.Content[i], out)
		}
	default:
		for _, c := range n.Content {
			out = scalars(c, out)
		}
	}
	return out
}

// patience bounds one try; a stage that can be stopped must stop then.
const patience = 5 * time.Second

func tryJob(t *testing.T, source []byte, set material.Set) {
	f, problems := job.Read(source)
	checkPlaces(t, problems)
	if len(problems) > 0 {
		return
	}
	f.Spec = bounded(f.Spec)
	ctx, cancel := context.WithTimeout(t.Context(), patience)
	defer cancel()
	p, err := job.Make(ctx, f, job.Inputs{Library: set})
	switch {
	case err != nil:
		checkPlaces(t, f.Locate(err))
	default:
		encoded(t, p) // refuses a number that is none
		checkStages(t, p)
		checkFindings(t, p)
	}
}

func checkPlaces(t *testing.T, problems []bind.Problem) {
	t.Helper()
	for _, p := range problems {
		if p.Line < 1 || p.Column < 1 || strings.TrimSpace(p.What) == "" {
			t.Errorf("problem at %d:%d of %q: %q", p.Line, p.Column, p.Path, p.What)
		}
	}
}

// bounded leaves out of a job what has work without a small bound: meshing and
// draping, nesting, the search for a schedule. A part with a mould becomes one
// whose area is told.
func bounded(s job.Spec) job.Spec {
	if s.Mould != nil {
		s.Mould = nil
		if s.Part == nil {
			s.Part = &mould.PartSpec{}
		}
		if s.Part.Area == 0 {
			s.Part.Area = 0.2
		}
	}
	s.Roll = nil
	if s.Cure != nil && !s.Cure.Schedule.Given {
		s.Cure = nil
	}
	return s
}
