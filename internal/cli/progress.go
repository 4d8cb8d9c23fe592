package cli

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"sync/atomic"
	"time"

	"github.com/vbauerster/mpb/v8"
	"github.com/vbauerster/mpb/v8/decor"
	"laywright/internal/job"
	"laywright/internal/stage/nest"
)

// progress shows on a terminal which stage is at work; piped it stays quiet.
type progress struct {
	bars *mpb.Progress
	bar  *mpb.Bar
	name atomic.Value
	took []stageTime
	last time.Time

	enough atomic.Bool // the person takes the best layout so far
}

type stageTime struct {
	name string
	took time.Duration
}

func newProgress(t terminal) *progress {
	p := &progress{last: time.Now()}
	p.name.Store("reading")
	if !isTerminal(t.err) {
		return p
	}
	if in, ok := t.in.(*os.File); ok && isTerminal(in) {
		go p.listen(in)
	}
	p.bars = mpb.New(mpb.WithOutput(t.err), mpb.WithWidth(40))
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

// listen waits for the Enter key, which ends the search of the rolls.
func (p *progress) listen(in io.Reader) {
	if bufio.NewScanner(in).Scan() {
		p.enough.Store(true)
	}
}

// search is told how the layout of a roll gets on.
func (p *progress) search(s nest.Progress) bool {
	name := s.Material
	if s.Stock != "" {
		name += " " + s.Stock
	}
	p.name.Store(fmt.Sprintf("roll %s: %.0f mm, %.1f %% used; Enter takes it", name, 1e3*float64(s.Length), 100*s.Use))
	return !p.enough.Load()
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
