package nest

import (
	"context"
	"math/rand/v2"
	"slices"
	"sync"
)

// workers is how many states are moved side by side. It is fixed, and not the
// number of cores, because the layout depends on it.
const workers = 2

// team moves one layout with several workers, each from the same state in its
// own order; the best outcome is taken on.
type team struct {
	ctx   context.Context
	crew  [workers]*state
	rngs  [workers]*rand.Rand
	limit int64 // work after which the search ends

	shortest layout // found so far, without overlap
	watch    *watch
}

func newTeam(ctx context.Context, st *state, e spending, limit int64) *team {
	t := &team{ctx: ctx, limit: limit, watch: e.watch}
	for k := range t.crew {
		t.crew[k] = st
		if k > 0 {
			t.crew[k] = newState(st.strip, st.at, st.length)
			t.crew[k].copyFrom(st)
		}
		t.rngs[k] = rand.New(rand.NewPCG(e.seed, uint64(k)))
	}
	t.keep(st)
	return t
}

// done is the work that all have done.
func (t *team) done() (sum int64) {
	for _, st := range t.crew {
		sum += st.work
	}
	return sum
}

// over reports whether the search must end, by the call of the person or
// because the work is done.
func (t *team) over(limit int64) bool {
	return t.ctx.Err() != nil || t.watch.stopped || t.done() >= limit
}

// keep notes a layout without overlap as the shortest.
func (t *team) keep(st *state) {
	t.shortest = layout{slices.Clone(st.at), st.extent()}
	t.watch.better(t.shortest.length, t.done())
}

// round lets every worker move each copy that overlaps once, keeps the state
// with the least weighted overlap in crew[0] and returns its plain overlap.
func (t *team) round() float64 {
	var wg sync.WaitGroup
	for k := range t.crew {
		if k > 0 {
			t.crew[k].copyFrom(t.crew[0])
		}
	}
	for k := 1; k < workers; k++ {
		wg.Go(func() { t.crew[k].moveAll(t.rngs[k]) })
	}
	t.crew[0].moveAll(t.rngs[0])
	wg.Wait()
	t.watch.tick(t.done())
	win, loss := 0, 0.0
	var plain float64
	for k, st := range t.crew {
		if p, w := st.total(); k == 0 || w < loss {
			win, loss, plain = k, w, p
		}
	}
	t.crew[0], t.crew[win] = t.crew[win], t.crew[0]
	return plain
}

// moveAll moves each copy that overlaps to the best place found, in an order
// drawn by lot.
func (st *state) moveAll(rng *rand.Rand) {
	n := len(st.at)
	var hit []int32
	for i := range st.free {
		if slices.ContainsFunc(st.loss[i*n:i*n+n], func(v float32) bool { return v > 0 }) {
			hit = append(hit, int32(i))
		}
	}
	rng.Shuffle(len(hit), func(a, b int) { hit[a], hit[b] = hit[b], hit[a] })
	for _, i := range hit {
		row := st.loss[int(i)*n : int(i)*n+n]
		if !slices.ContainsFunc(row, func(v float32) bool { return v > 0 }) {
			continue // freed by an earlier move
		}
		if t := st.seek(i, rng); t.spot != st.at[i] {
			st.put(i, t.spot)
		}
	}
}

// effort is how long a separation is tried.
type effort struct {
	strikes  int // fruitless attempts before giving up
	patience int // rounds without gain in an attempt
}

// realGain is the fall of the overlap that counts as progress.
const realGain = 0.98

// separate tries to free the layout of overlap within its length, by rounds of
// moves with growing weights on stubborn pairs (guided local search). It
// leaves the layout of least overlap in crew[0] and returns that overlap; 0
// means that it succeeded. Source: [gardeyn2025]
func (t *team) separate(e effort, limit int64) float64 {
	st := t.crew[0]
	least, _ := st.total()
	keep := slices.Clone(st.at)
	for strike := 0; strike < e.strikes && least > 0; {
		before := least
		for idle := 0; idle < e.patience && least > 0 && !t.over(limit); {
			loss := t.round()
			st = t.crew[0]
			st.reweigh()
			idle++
			if loss < least {
				if loss < realGain*least {
					idle = 0
				}
				least = loss
				copy(keep, st.at)
			}
		}
		if t.over(limit) && least > 0 {
			break
		}
		if strike++; least < realGain*before {
			strike = 0
		}
		st.reset(keep, st.length)
	}
	st.reset(keep, st.length)
	return least
}
