package job

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/mesh"
	"laywright/internal/stage/bag"
	"laywright/internal/stage/bench"
	"laywright/internal/stage/cure"
	"laywright/internal/stage/duty"
	"laywright/internal/stage/laminate"
	"laywright/internal/stage/mould"
	"laywright/internal/stage/nest"
	"laywright/internal/stage/plies"
	"laywright/internal/stage/probes"
	"laywright/internal/stage/strength"
	"laywright/internal/stage/wetout"
)

// Inputs is what comes with a job file: the library and what the files that the
// job names hold.
type Inputs struct {
	Library material.Set
	Mesh    *mesh.Mesh               // of mould.file, in metres
	Trace   *probes.Log              // of cure.trace; nil: none
	Shelf   []nest.StockSpec         // of roll.shelf
	Drawn   map[int]Drawn            // of roll.pieces' files, by their line
	Kept    *Kept                    // results of earlier runs; nil: all is worked out
	Quick   bool                     // stages that take long stand as they were kept last, see [Stage.Stale]
	Watch   func(name string)        // told when a stage begins; may be nil
	Search  func(nest.Progress) bool // told how the search of a roll goes on; false ends it with the best so far; may be nil
}

// Make works a job out. Data flows down this function and nowhere else. An
// error means that some stage has no answer; it names the field that is at fault.
func Make(ctx context.Context, f File, in Inputs) (p Plan, err error) {
	s, holes, left, err := f.Spec.withDrawn(in.Drawn)
	if err != nil {
		return p, fmt.Errorf("roll: %w", err)
	}
	p = Plan{Job: s.Job, Spec: s, Versions: Versions{Job: 1, Plan: 1}, Findings: []fault.Finding{}}
	p.records, p.holes, p.hardens = in.Library.Over(s.Materials), holes, &hardening{}
	l := link{spec: s, records: p.records, inputs: in, plan: &p, hardens: p.hardens}
	run := &runner{ctx: ctx, plan: &p, watch: in.Watch, kept: in.Kept, quick: in.Quick}

	run.stage("duty", l.dutyLacks(), func() (err error) { p.Duty, err = with(run, "duty", duty.Compute)(l.duty); return })
	run.stage("mould", l.mouldLacks(), func() (err error) { p.Mould, err = with(run, "mould", mould.Work)(l.mould); return })
	if len(run.errs) == 0 && l.open() {
		if in.Watch != nil {
			in.Watch("laminate")
		}
		found, err := l.chosen(run)
		if err != nil {
			return p, fmt.Errorf("laminate: %w", err)
		}
		l.spec.Laminate = l.with(found.lines).spec.Laminate
		p.Search, p.Spec = found.search, l.spec
	}
	run.stage("laminate", l.laminateLacks(), func() (err error) { p.Laminate, err = with(run, "laminate", laminate.Design)(l.laminate); return })
	run.stage("plies", l.pliesLacks(), func() (err error) { p.Plies, err = within(run, "plies", plies.Lay)(l.plies); return })
	run.stage("strength", l.strengthLacks(), func() (err error) {
		p.Strength, err = within(run, "strength", strength.Check)(l.strength)
		return
	})
	run.stage("roll", l.rollLacks(), func() (err error) { p.Roll, err = within(run, "roll", nest.Lay)(l.roll); return })
	run.stage("wetout", l.wetoutLacks(), func() (err error) { p.Wetout, err = with(run, "wetout", wetout.Weigh)(l.wetout); return })
	run.stage("bag", l.bagLacks(), func() (err error) { p.Bag, err = with(run, "bag", bag.Pack)(l.bag); return })
	run.stage("cure", l.cureLacks(), func() (err error) { p.Cure, err = within(run, "cure", cure.Simulate)(l.cure); return })
	run.stage("bench", l.benchLacks(), func() (err error) { p.Bench, err = with(run, "bench", bench.Sequence)(l.bench); return })
	if err := errors.Join(run.errs...); err != nil {
		return p, err
	}
	boards, err := l.boards(run)
	if err != nil {
		return p, fmt.Errorf("mould: %w", err)
	}
	p.Sheets = boards.sheets
	if p.Dress, err = l.dressed(run); err != nil {
		return p, fmt.Errorf("bag: %w", err)
	}
	p.total()
	p.cloth()
	p.stood()
	p.check(slices.Concat(left, boards.findings, p.springIn(), l.shopReadings(), p.Search.findings(), p.price(l), f.toleranceNote()))
	p.say()
	return p, nil
}

// runner runs the stages. One that fails leaves those out that need it, and the
// others run on, so that a person sees all that is wrong at once.
type runner struct {
	ctx   context.Context
	plan  *Plan
	watch func(string)
	kept  *Kept
	quick bool
	stale map[string]bool // stages that stand as they were kept last
	errs  []error
}

// stage runs one stage whose inputs are there and writes down what became of it.
func (r *runner) stage(name string, missing []string, work func() error) {
	if err := r.ctx.Err(); err != nil {
		r.errs = []error{err}
		return
	}
	if r.watch != nil {
		r.watch(name)
	}
	if len(missing) > 0 {
		r.plan.Stages = append(r.plan.Stages, Stage{Name: name, Missing: missing})
		return
	}
	if err := work(); err != nil {
		r.errs = append(r.errs, fmt.Errorf("%s: %w", name, err))
		return
	}
	r.plan.Stages = append(r.plan.Stages, Stage{Name: name, Ran: true, Stale: r.stale[name], Missing: []string{}})
}

// with joins a stage's entry function to its link: an error of the link, such as
// a name that no record has, stops before the stage runs. What was kept of an earlier
// run is taken where the stage's input is the same.
func with[I, R any](r *runner, stage string, entry func(I) (R, error)) func(func() (I, error)) (*R, error) {
	return func(link func() (I, error)) (*R, error) {
		if last, ok := latest[R](r, stage); ok {
			return last, nil
		}
		in, err := link()
		if err != nil {
			return nil, err
		}
		return once(r.kept, stage, in, func() (*R, error) {
			out, err := entry(in)
			if err != nil {
				return nil, err
			}
			return &out, nil
		})
	}
}

// within is [with] for a stage that can be interrupted.
func within[I, R any](r *runner, stage string, entry func(context.Context, I) (R, error)) func(func() (I, error)) (*R, error) {
	return with(r, stage, func(in I) (R, error) { return entry(r.ctx, in) })
}
