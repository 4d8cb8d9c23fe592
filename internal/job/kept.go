package job

import (
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
	list := k.stages[stage]
	for i, r := range list {
		if r.of == of {
			copy(list[1:i+1], list[:i]) // the last used stands first
			list[0] = r
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

// dear lists what takes long enough to be waited for.
var dear = map[string]bool{"mould": true, "stack": true, "plies": true, "strength": true, "roll": true, "boards": true, "dress": true}

// latest returns a copy of the last result of a stage that takes long, in a quick run.
func latest[R any](r *runner, stage string) (*R, bool) {
	if !r.quick || !dear[stage] || r.kept == nil {
		return nil, false
	}
	r.kept.mu.Lock()
	defer r.kept.mu.Unlock()
	results := r.kept.stages[stage]
	if len(results) == 0 {
		return nil, false
	}
	if r.stale == nil {
		r.stale = map[string]bool{}
	}
	r.stale[stage] = true
	out := results[0].result.(R)
	return &out, true
}

// What is worked out between stages is kept likewise, by the parts of job and plan that
// it is made from.

// chosenStack is the stack that the search takes.
type chosenStack struct {
	lines  []laminate.Line
	search *Search
}

func (l link) chosen(r *runner) (*chosenStack, error) {
	if last, ok := latest[chosenStack](r, "stack"); ok {
		return last, nil
	}
	s, m := l.spec, l.plan.Mould
	s.Job, s.Show, s.Roll, s.Wetout, s.Bag, s.Cure, s.Bench = Header{}, "", nil, nil, nil, nil, nil
	from := []any{s, m.Surface, m.Rims, l.plan.Duty.Loads, l.records}
	return once(r.kept, "stack", from, func() (*chosenStack, error) {
		lines, search, err := l.choose(r.ctx)
		return &chosenStack{lines, search}, err
	})
}

// boardsLaid is the mould's boards on their sheets.
type boardsLaid struct {
	sheets   *Sheets
	findings []fault.Finding
}

func (l link) boards(r *runner) (*boardsLaid, error) {
	if last, ok := latest[boardsLaid](r, "boards"); ok {
		return last, nil
	}
	var from any
	if m := l.plan.Mould; m != nil {
		from = m.Build
	}
	return once(r.kept, "boards", from, func() (*boardsLaid, error) {
		sheets, more, err := l.lay(r.ctx)
		return &boardsLaid{sheets, more}, err
	})
}

func (l link) dressed(r *runner) (*Dress, error) {
	if last, ok := latest[Dress](r, "dress"); ok {
		return last, nil
	}
	p, s := l.plan, l.spec
	s.Duty, s.Mould, s.Cure, s.Bench, s.Show = nil, nil, nil, nil, ""
	from := []any{s, l.surface(), p.Laminate, p.Plies, p.Wetout, p.Bag, l.records.Consumables}
	return once(r.kept, "dress", from, func() (*Dress, error) { return l.dress(r.ctx) })
}

// Made tells how often each result was worked out and not taken from the store.
func (k *Kept) Made() map[string]int {
	k.mu.Lock()
	defer k.mu.Unlock()
	return maps.Clone(k.made)
}
