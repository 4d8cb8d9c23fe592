// Package groundtest lays plies on hard ground: the corpus of base/mesh/shapes,
// and its plain moulds turned, moved, sized and numbered anew. What comes back is
// held against formulas of its own and against none of the stage's.
//
// The usual run takes the surfaces and poses that are quick; all of them are laid
// by
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

var long = flag.Bool("long", false, "lay on the slow surfaces of the corpus too, and in all poses")

// slow are the surfaces that the usual run leaves out.
var slow = map[string]bool{"elbow": true, "stair": true, "half-torus": true, "huge": true, "open-links": true,
	"cut-bottle": true, "sieve": true, "scan": true}

// hang is how long any surface may take by the clock: more than is asked of a
// machine that does nothing else, so that it tells a hang from a busy one.
const hang = time.Minute

// input is two plies of twill, at 0° and at 45°, on a surface.
func input(t testing.TB, m *mesh.Mesh) plies.Input {
	t.Helper()
	const name = "carbon-twill-200"
	set, err := catalogue.Library()
	if err != nil {
		t.Fatal(err)
	}
	twill, there := set.Fabrics[name]
	if !there {
		t.Fatalf("the library has no %s", name)
	}
	in := plies.Input{Surface: m}
	for i, angle := range []float64{0, 45} {
		in.Plies = append(in.Plies, plies.PlyIn{Number: i + 1, Name: name, Angle: si.Degrees(angle), Fabric: twill})
	}
	return in
}

// limitOf is the shear at which the cloth locks, rad.
func limitOf(in plies.Input) float64 { return float64(in.Plies[0].Fabric.Locking.Or(0)) }

// cleaned is a surface as the stage before hands it on: welded and turned. fit
// tells whether that stage would hand it on at all.
func cleaned(t testing.TB, m *mesh.Mesh) (out *mesh.Mesh, fit bool) {
	t.Helper()
	out, report, err := mesh.Clean(m, mesh.CleanOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return out, report.Components == 1 && len(report.NonManifold)+len(report.Twisted) == 0
}

// lay lays within a time; ctx.Err tells a hang from an answer.
func lay(t testing.TB, limit time.Duration, in plies.Input) (plies.Result, error) {
	t.Helper()
	ctx, stop := context.WithTimeout(t.Context(), limit)
	defer stop()
	r, err := plies.Lay(ctx, in)
	if ctx.Err() != nil {
		t.Fatalf("no answer in %v", limit)
	}
	return r, err
}

func mustLay(t testing.TB, in plies.Input) plies.Result {
	t.Helper()
	r, err := lay(t, hang, in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// actable tells whether an error is a refusal that a person can act on.
func actable(err error) bool {
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

func named(t testing.TB, name string) *mesh.Mesh {
	t.Helper()
	for _, s := range shapes.Corpus() {
		if s.Name == name {
			m, _ := cleaned(t, s.Make())
			return m
		}
	}
	t.Fatalf("no shape is named %s", name)
	return nil
}

// says tells whether the result carries a finding whose code begins so.
func says(r plies.Result, code string) bool {
	for _, f := range r.Findings {
		if strings.HasPrefix(f.Code, code) {
			return true
		}
	}
	return false
}
