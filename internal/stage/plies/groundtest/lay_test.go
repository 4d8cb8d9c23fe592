// Package groundtest lays plies on hard ground: the corpus of base/mesh/shapes,
// and its plain moulds turned, moved, sized and numbered anew. What comes back is
// held against formulas of its own and against none of the stage's.
//
// The usual run takes the surfaces that are quick; all of them are laid by
//
//	go test ./internal/stage/plies/groundtest -args -long
package groundtest

import (
	"context"
	"errors"
	"flag"
	"strings"
	"testing"
	"time"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/base/si"
	"laywright/internal/stage/plies"
	"laywright/internal/store/catalogue"
)

var long = flag.Bool("long", false, "lay on the large surfaces of the corpus too")

// hang is how long any surface may take, waited for on a clock: far more than
// is asked, so that it tells a hang from a slow machine.
const hang = 2 * time.Minute

// input is two plies of twill, at 0° and at 45°, on a surface.
func input(t testing.TB, m *mesh.Mesh) plies.Input {
	t.Helper()
	set, err := catalogue.Library()
	if err != nil {
		t.Fatal(err)
	}
	twill, there := set.Fabrics["carbon-twill-200"]
	if !there {
		t.Fatal("the library has no carbon-twill-200")
	}
	in := plies.Input{Surface: m}
	for i, angle := range []float64{0, 45} {
		in.Plies = append(in.Plies, plies.PlyIn{Number: i + 1, Name: "carbon-twill-200", Angle: si.Degrees(angle), Fabric: twill})
	}
	return in
}

// cleaned is a surface as the stage before hands it on: welded and turned.
func cleaned(t testing.TB, m *mesh.Mesh) (*mesh.Mesh, mesh.Report) {
	t.Helper()
	out, report, err := mesh.Clean(m, mesh.CleanOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return out, report
}

func within(t testing.TB, limit time.Duration, in plies.Input) (plies.Result, error) {
	t.Helper()
	ctx, stop := context.WithTimeout(t.Context(), limit)
	defer stop()
	r, err := plies.Lay(ctx, in)
	if ctx.Err() != nil {
		t.Fatalf("no answer in %v", limit)
	}
	return r, err
}

// told tells whether an error is a refusal that a person can act on.
func told(err error) bool {
	var input *fault.Input
	var limit *fault.Range
	var none *fault.NoSolution
	switch {
	case errors.As(err, &input):
		return input.Field != "" && input.What != "" && input.Do != ""
	case errors.As(err, &limit):
		return limit.Field != "" && limit.Why != ""
	case errors.As(err, &none):
		return none.What != "" && none.Do != ""
	}
	return false
}

func shape(t testing.TB, name string) *mesh.Mesh {
	t.Helper()
	for _, s := range shapes.Corpus() {
		if s.Name == name {
			return s.Make()
		}
	}
	t.Fatalf("no shape is named %s", name)
	return nil
}

func codes(r plies.Result) string {
	var out []string
	for _, f := range r.Findings {
		out = append(out, string(f.Severity)+":"+f.Code)
	}
	return strings.Join(out, " ")
}
