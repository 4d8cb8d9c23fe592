package job

import (
	"context"
	"maps"
	"sync"

	"laywright/internal/base/fault"
	"laywright/internal/base/likeness"
	"laywright/internal/stage/laminate"
)

// Kept holds results of earlier runs by what they were made from, so that a job which
// is planned again works out only what its change touches. It is safe for several
// goroutines; results are shared, and nobody writes to them.
type Kept struct {
	mu     sync.Mutex
	stages map[string][]keptResult
	made   map[string]int // how often each was worked out
}

type keptResult struct {
	of     likeness.Print
	result any
}

// keptEach is how many results of a stage are kept: a few steps of undoing.
const keptEach = 6

// recall returns the result of a stage that was made from the same.
func (k *Kept) recall(stage string, of likeness.Print) (any, bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	for _, r := range k.stages[stage] {
		if r.of == of {
			return r.result, true
		}
	}
	return nil, false
}

func (k *Kept) keep(stage string, of likeness.Print, result any) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.stages == nil {
		k.stages, k.made = map[string][]keptResult{}, map[string]int{}
	}
	k.made[stage]++
	k.stages[stage] = append([]keptResult{{of, result}}, k.stages[stage][:min(len(k.stages[stage]), keptEach-1)]...)
}

// once returns work's result, or a copy of the one kept where it was made from the
// same. Without a store it works.
func once[R any](k *Kept, stage string, from any, work func() (*R, error)) (*R, error) {
	if k == nil {
		return work()
	}
	of := likeness.Of(from)
	if kept, ok := k.recall(stage, of); ok {
		out := kept.(R)
		return &out, nil
	}
	made, err := work()
	if err != nil || made == nil {
		return made, err
	}
	k.keep(stage, of, *made)
	return made, nil
}

// What is worked out between stages is kept likewise, by the parts of job and plan that
// it is made from.

// chosenStack is the stack that the search takes.
type chosenStack struct {
	lines  []laminate.Line
	search *Search
}

func (l link) chosen(ctx context.Context) (*chosenStack, error) {
	s, m := l.spec, l.plan.Mould
	s.Job, s.Show, s.Roll, s.Wetout, s.Bag, s.Cure, s.Bench = Header{}, "", nil, nil, nil, nil, nil
	from := []any{s, m.Surface, m.Rims, l.plan.Duty.Loads, l.records}
	return once(l.inputs.Kept, "stack", from, func() (*chosenStack, error) {
		lines, search, err := l.choose(ctx)
		return &chosenStack{lines, search}, err
	})
}

// boardsLaid is the mould's boards on their sheets.
type boardsLaid struct {
	sheets   *Sheets
	findings []fault.Finding
}

func (l link) boards(ctx context.Context) (*boardsLaid, error) {
	var from any
	if m := l.plan.Mould; m != nil {
		from = m.Build
	}
	return once(l.inputs.Kept, "boards", from, func() (*boardsLaid, error) {
		sheets, more, err := l.lay(ctx)
		return &boardsLaid{sheets, more}, err
	})
}

func (l link) dressed(ctx context.Context) (*Dress, error) {
	p, s := l.plan, l.spec
	s.Duty, s.Mould, s.Cure, s.Bench, s.Show = nil, nil, nil, nil, ""
	from := []any{s, l.surface(), p.Laminate, p.Plies, p.Wetout, p.Bag, l.records.Consumables}
	return once(l.inputs.Kept, "dress", from, func() (*Dress, error) { return l.dress(ctx) })
}

// Made tells how often each result was worked out and not taken from the store.
func (k *Kept) Made() map[string]int {
	k.mu.Lock()
	defer k.mu.Unlock()
	return maps.Clone(k.made)
}
