package job_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"laywright/internal/base/material"
	"laywright/internal/job"
	"laywright/internal/store/catalogue"
	"laywright/internal/store/meshfile"
)

func library(t testing.TB) material.Set {
	t.Helper()
	set, err := catalogue.Library()
	if err != nil {
		t.Fatal(err)
	}
	return set
}

// mustRead reads a job that is good in form.
func mustRead(t testing.TB, source string) job.File {
	t.Helper()
	f, problems := job.Read([]byte(source))
	if len(problems) > 0 {
		t.Fatalf("read: %+v", problems)
	}
	return f
}

func mustMake(t testing.TB, source string) job.Plan {
	t.Helper()
	p, err := job.Make(t.Context(), mustRead(t, source), job.Inputs{Library: library(t)})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// refusal makes a job that must be refused and returns file and error.
func refusal(t *testing.T, source string) (job.File, error) {
	t.Helper()
	f := mustRead(t, source)
	_, err := job.Make(t.Context(), f, job.Inputs{Library: library(t)})
	if err == nil {
		t.Fatal("a plan was made")
	}
	return f, err
}

// planFile makes the job of a file, with the mesh that it names.
func planFile(t testing.TB, name string) (job.Plan, error) {
	t.Helper()
	source, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	f := mustRead(t, string(source))
	in := job.Inputs{Library: library(t)}
	if m := f.Spec.Mould; m != nil && m.File != "" {
		if m.Unit != "mm" {
			t.Fatalf("%s: meshes of these tests are in mm, not %q", name, m.Unit)
		}
		data, err := os.Open(filepath.Join(filepath.Dir(name), m.File))
		if err != nil {
			t.Fatal(err)
		}
		defer data.Close()
		if in.Mesh, _, err = meshfile.Read(data, m.File, 1e-3, meshfile.Limits{}); err != nil {
			t.Fatal(err)
		}
	}
	return job.Make(t.Context(), f, in)
}

func encoded(t testing.TB, p job.Plan) []byte {
	t.Helper()
	text, err := json.MarshalIndent(p, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// decoded is a plan as its reader finds it.
func decoded(t testing.TB, p job.Plan) map[string]any {
	t.Helper()
	var out map[string]any
	if err := json.Unmarshal(encoded(t, p), &out); err != nil {
		t.Fatal(err)
	}
	return out
}

// ran lists the stages that ran, in their order.
func ran(p job.Plan) string {
	var names []string
	for _, s := range p.Stages {
		if s.Ran {
			names = append(names, s.Name)
		}
	}
	return strings.Join(names, " ")
}

func missing(p job.Plan, stage string) []string {
	for _, s := range p.Stages {
		if s.Name == stage {
			return s.Missing
		}
	}
	return nil
}
