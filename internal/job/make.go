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
	run := runner{ctx: ctx, plan: &p, watch: in.Watch}

	run.stage("duty", l.dutyLacks(), func() (err error) { p.Duty, err = with(duty.Compute)(l.duty()); return })
	run.stage("mould", l.mouldLacks(), func() (err error) { p.Mould, err = with(mould.Work)(l.mould()); return })
	if len(run.errs) == 0 && l.open() {
		if in.Watch != nil {
			in.Watch("laminate")
		}
		stack, search, err := l.choose(ctx)
		if err != nil {
			return p, fmt.Errorf("laminate: %w", err)
		}
		l.spec.Laminate = l.with(stack).spec.Laminate
		p.Search, p.Spec = search, l.spec
	}
	run.stage("laminate", l.laminateLacks(), func() (err error) { p.Laminate, err = with(laminate.Design)(l.laminate()); return })
	run.stage("plies", l.pliesLacks(), func() (err error) { p.Plies, err = within(ctx, plies.Lay)(l.plies()); return })
	run.stage("strength", l.strengthLacks(), func() (err error) { p.Strength, err = within(ctx, strength.Check)(l.strength()); return })
	run.stage("roll", l.rollLacks(), func() (err error) { p.Roll, err = within(ctx, nest.Lay)(l.roll()); return })
	run.stage("wetout", l.wetoutLacks(), func() (err error) { p.Wetout, err = with(wetout.Weigh)(l.wetout()); return })
	run.stage("bag", l.bagLacks(), func() (err error) { p.Bag, err = with(bag.Pack)(l.bag()); return })
	run.stage("cure", l.cureLacks(), func() (err error) { p.Cure, err = within(ctx, cure.Simulate)(l.cure()); return })
	run.stage("bench", l.benchLacks(), func() (err error) { p.Bench, err = with(bench.Sequence)(l.bench()); return })
	if err := errors.Join(run.errs...); err != nil {
		return p, err
	}
	sheets, more, err := l.lay(ctx)
	if err != nil {
		return p, fmt.Errorf("mould: %w", err)
	}
	p.Sheets = sheets
	dressed, err := l.dress(ctx)
	if err != nil {
		return p, fmt.Errorf("bag: %w", err)
	}
	p.Dress = dressed
	p.total()
	p.cloth()
	p.stood()
	p.check(slices.Concat(left, more, p.springIn(), l.shopReadings(), p.Search.findings(), p.price(l), f.toleranceNote()))
	p.say()
	return p, nil
}

// runner runs the stages. One that fails leaves those out that need it, and the
// others run on, so that a person sees all that is wrong at once.
type runner struct {
	ctx   context.Context
	plan  *Plan
	watch func(string)
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
	r.plan.Stages = append(r.plan.Stages, Stage{Name: name, Ran: true, Missing: []string{}})
}

// with joins a stage's entry function to its link: an error of the link, such as
// a name that no record has, stops before the stage runs.
func with[I, R any](entry func(I) (R, error)) func(I, error) (*R, error) {
	return func(in I, err error) (*R, error) {
		if err != nil {
			return nil, err
		}
		out, err := entry(in)
		if err != nil {
			return nil, err
		}
		return &out, nil
	}
}

// within is [with] for a stage that can be interrupted.
func within[I, R any](ctx context.Context, entry func(context.Context, I) (R, error)) func(I, error) (*R, error) {
	return with(func(in I) (R, error) { return entry(ctx, in) })
}
