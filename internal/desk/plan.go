package desk

import (
	"context"
	"path/filepath"

	"laywright/internal/base/bind"
	"laywright/internal/job"
	"laywright/internal/stage/nest"
)

// Made is a plan of a version of a job, or why there is none.
type Made struct {
	Version  string
	Plan     *job.Plan
	Problems []bind.Problem
	Quick    bool // some stages stand as they were for an earlier version
}

// Watch is told how the making of a plan goes on. Each may be nil.
type Watch struct {
	Stage func(name string)        // a stage begins
	Quick func(*Made)              // the first numbers after a change
	Roll  func(nest.Progress) bool // how the search of a roll goes on; false takes the best so far
}

// Made returns the last plan of the job as it stands, nil if there is none yet.
func (d *Desk) Made() *Made {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.made
}

// Plan returns the plan of a version. A run that goes on for another version is ended,
// since nobody waits for its numbers any more; one for the same is waited for. The
// error is [Stale], or that of ctx.
func (d *Desk) Plan(ctx context.Context, version string, w Watch) (*Made, error) {
	if made, err := d.ready(version); made != nil || err != nil {
		return made, err
	}
	select {
	case <-d.turn:
		defer func() { d.turn <- struct{}{} }()
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	if made, err := d.ready(version); made != nil || err != nil {
		return made, err // it was made, or is of no more use, since
	}
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	text, again := d.begin(version, stop)
	if again && w.Quick != nil {
		if quick := d.work(ctx, text, version, Watch{}, true); quick.Plan != nil {
			w.Quick(quick)
		}
	}
	made := d.work(ctx, text, version, w, false)
	return d.end(ctx, made)
}

// ready returns the plan of a version if there is one, and ends a run for another.
func (d *Desk) ready(version string) (*Made, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.refresh(); err != nil {
		return nil, err
	}
	if version != d.version {
		return nil, Stale{d.state()}
	}
	if d.made != nil && d.made.Version == version {
		return d.made, nil
	}
	if d.running != "" && d.running != version {
		d.stop()
	}
	return nil, nil
}

// begin notes that a run begins, and tells whether the job was planned before.
func (d *Desk) begin(version string, stop func()) (text []byte, again bool) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.running, d.stop = version, stop
	return d.text, d.made != nil
}

// end keeps what a run made, if it was not stopped.
func (d *Desk) end(ctx context.Context, made *Made) (*Made, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.running = ""
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	d.made = made
	return made, nil
}

func (d *Desk) work(ctx context.Context, text []byte, version string, w Watch, quick bool) *Made {
	out := &Made{Version: version, Quick: quick}
	f, problems := job.Read(text)
	if len(problems) > 0 {
		out.Problems = problems
		return out
	}
	in, err := d.room.Inputs(f.Spec, filepath.Dir(d.file))
	if err == nil {
		in.Library, in.Kept, in.Quick, in.Watch, in.Search = d.room.Library, &d.kept, quick, w.Stage, w.Roll
		var plan job.Plan
		if plan, err = job.Make(ctx, f, in); err == nil {
			out.Plan = &plan
			return out
		}
	}
	out.Problems = f.Locate(err)
	return out
}
