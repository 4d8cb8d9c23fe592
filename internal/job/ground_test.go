package job_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/job"
)

// groundJob is two plies of twill on a mesh.
const groundJob = `
laywright: 1
mould: {kind: plug, file: ground.stl, unit: m}
laminate:
  resin: laminating-epoxy-slow
  stack: [{fabric: carbon-twill-200, angle: "0 deg"}, {fabric: carbon-twill-200, angle: "45 deg"}]
roll: {search: "0.1 s"}
`

func onGround(ctx context.Context, t *testing.T, m *mesh.Mesh) (job.Plan, error) {
	t.Helper()
	return job.Make(ctx, mustRead(t, groundJob), job.Inputs{Library: library(t), Mesh: m})
}

// quickGround are the surfaces of the corpus that a whole job takes no time for;
// the others are laid by the tests of the plies.
var quickGround = map[string]bool{"saddle": true, "z-plate": true, "comb": true, "strip": true, "triangle": true,
	"far": true}

// beyond are those that no cup or no table fits: the job may refuse them.
var beyond = map[string]bool{"tiny": true, "huge": true}

// A job on a surface that no sheet can be laid on is refused in words that name
// the line of the job and what to do; one on a mould gives a plan whose findings
// do the same.
func TestGround(t *testing.T) {
	t.Parallel()
	for _, s := range shapes.Corpus() {
		if s.Ask != shapes.NoGround && !quickGround[s.Name] && !beyond[s.Name] {
			continue
		}
		t.Run(s.Name, func(t *testing.T) {
			p, err := onGround(t.Context(), t, s.Make())
			switch {
			case s.Ask == shapes.NoGround || err != nil && beyond[s.Name]:
				if !actable(err) {
					t.Errorf("want a refusal that says where and what to do, got %v", err)
				}
				return
			case err != nil:
				t.Fatal(err)
			}
			encoded(t, p) // fails on NaN
			if p.Plies == nil || len(p.Plies.Plies) != 2 || p.Roll == nil {
				t.Fatalf("ran only %s", ran(p))
			}
			for _, f := range p.Findings {
				if f.Code == "" || f.What == "" || f.Why == "" || f.Do == "" {
					t.Errorf("a finding lacks words: %+v", f)
				}
			}
		})
	}
}

func actable(err error) bool {
	var input *fault.Input
	var limit *fault.Range
	return errors.As(err, &input) && input.Field != "" && input.What != "" && input.Do != "" ||
		errors.As(err, &limit) && limit.Field != "" && limit.Why != ""
}

// A cancelled job ends with that error and no other, and soon.
func TestGroundCancelled(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithTimeout(t.Context(), 100*time.Millisecond)
	defer cancel()
	few := shapes.UsualFlaws
	few.Spikes = 0
	if _, err := onGround(ctx, t, shapes.Scan(2, 20000, few)); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("cancelled, and the error is %v", err)
	}
}
