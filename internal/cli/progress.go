package cli

import (
	"io"
	"sync/atomic"

	"github.com/vbauerster/mpb/v8"
	"github.com/vbauerster/mpb/v8/decor"
	"laywright/internal/job"
)

// progress shows on a terminal which stage is at work; piped it stays quiet.
type progress struct {
	bars *mpb.Progress
	bar  *mpb.Bar
	name atomic.Value
}

func newProgress(w io.Writer) *progress {
	p := &progress{}
	p.name.Store("reading")
	if !isTerminal(w) {
		return p
	}
	p.bars = mpb.New(mpb.WithOutput(w), mpb.WithWidth(40))
	p.bar = p.bars.AddBar(int64(len(job.StageNames)), mpb.BarRemoveOnComplete(),
		mpb.AppendDecorators(decor.Any(func(decor.Statistics) string { return p.name.Load().(string) })))
	return p
}

// stage is told when a stage begins.
func (p *progress) stage(name string) {
	p.name.Store(name)
	if p.bar != nil {
		p.bar.Increment()
	}
}

func (p *progress) done() {
	if p.bar != nil {
		p.bar.Abort(true)
		p.bars.Wait()
	}
}
