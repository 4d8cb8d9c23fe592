package cli

import (
	"fmt"
	"io"
	"sync/atomic"
	"time"

	"github.com/vbauerster/mpb/v8"
	"github.com/vbauerster/mpb/v8/decor"
	"laywright/internal/job"
)

// progress shows on a terminal which stage is at work; piped it stays quiet.
type progress struct {
	bars *mpb.Progress
	bar  *mpb.Bar
	name atomic.Value
	took []stageTime
	last time.Time
}

type stageTime struct {
	name string
	took time.Duration
}

func newProgress(w io.Writer) *progress {
	p := &progress{last: time.Now()}
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
	p.close()
	p.took = append(p.took, stageTime{name: name})
	p.name.Store(name)
	if p.bar != nil {
		p.bar.Increment()
	}
}

func (p *progress) done() {
	p.close()
	if p.bar != nil {
		p.bar.Abort(true)
		p.bars.Wait()
	}
}

// close writes down how long the last stage took.
func (p *progress) close() {
	now := time.Now()
	if n := len(p.took); n > 0 {
		p.took[n-1].took = now.Sub(p.last)
	}
	p.last = now
}

// times lists how long each stage took.
func (p *progress) times(w io.Writer) {
	for _, s := range p.took {
		fmt.Fprintf(w, "%-10s %7.3f s\n", s.name, s.took.Seconds())
	}
}
