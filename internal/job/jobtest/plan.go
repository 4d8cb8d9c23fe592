// Package jobtest makes plans for the tests of what is drawn and written of them.
package jobtest

import (
	"testing"

	"laywright/internal/base/mesh"
	"laywright/internal/job"
	"laywright/internal/store/catalogue"
)

// Plan makes the plan of a job's text with the built-in library. m is the mesh that
// the job names, nil where it names none.
func Plan(t testing.TB, source string, m *mesh.Mesh) job.Plan {
	t.Helper()
	f, problems := job.Read([]byte(source))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	library, err := catalogue.Library()
	if err != nil {
		t.Fatal(err)
	}
	p, err := job.Make(t.Context(), f, job.Inputs{Library: library, Mesh: m})
	if err != nil {
		t.Fatal(err)
	}
	return p
}
