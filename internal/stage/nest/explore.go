package nest

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

// How the length is brought down. Source: [gardeyn2025]
const (
	exploreShare = 0.8    // of the work; the rest compresses
	exploreStep  = 0.0015 // of the length, each time
	squeezeFrom  = 0.0005 // of the length, at the start of compression
	squeezeTo    = 1e-5   // at its end
	poolSpread   = 0.25   // how far down the pool is drawn from, as a share

	exploreStrikes, explorePatience = 3, 200 // see effort
	squeezeStrikes, squeezePatience = 5, 100
)

// layout is a set of places and the length that it lies in.
type layout struct {
	at     []spot
	length float64
}

// misfit is a layout that still overlaps.
type misfit struct {
	at   []spot
	loss float64
}

// search shortens the layout in crew[0], which has no overlap, and leaves the
// shortest found in t.shortest.
func (t *team) search(rng *rand.Rand) {
	start := t.done()
	t.explore(start+int64(exploreShare*float64(t.limit-start)), rng)
	t.squeeze(rng)
}

// explore takes a little off the length again and again. Where the pieces
// can't be separated, it starts anew from one of the least bad outcomes with
// two large pieces exchanged.
func (t *team) explore(limit int64, rng *rand.Rand) {
	var pool []misfit
	t.shorten(exploreStep, rng)
	for !t.over(limit) && !t.atBound() {
		loss := t.separate(effort{exploreStrikes, explorePatience}, limit)
		st := t.crew[0]
		if loss == 0 {
			t.keep(st)
			pool = pool[:0]
			t.shorten(exploreStep, rng)
			continue
		}
		m := misfit{slices.Clone(st.at), loss}
		at, _ := slices.BinarySearchFunc(pool, m, func(a, b misfit) int { return cmp.Compare(a.loss, b.loss) })
		pool = slices.Insert(pool, at, m)
		pick := int(math.Abs(rng.NormFloat64()) * poolSpread * float64(len(pool)))
		copy(st.at, pool[min(pick, len(pool)-1)].at)
		st.exchange(rng)
		st.lightenAll()
		st.refile()
		st.rate()
	}
}

// squeeze takes ever less off the length, always from the shortest layout.
func (t *team) squeeze(rng *rand.Rand) {
	start := t.done()
	for !t.over(t.limit) && !t.atBound() {
		done := float64(t.done()-start) / float64(t.limit-start)
		t.shorten(squeezeFrom+(squeezeTo-squeezeFrom)*done, rng)
		if t.separate(effort{squeezeStrikes, squeezePatience}, t.limit) == 0 {
			t.keep(t.crew[0])
		}
	}
}

// shorten takes the shortest layout with a share of its length cut out at a
// place drawn by lot: what lies beyond moves up.
func (t *team) shorten(share float64, rng *rand.Rand) {
	l, st := t.shortest, t.crew[0]
	wall := st.wallBefore(l.length)
	cut, less := wall+rng.Float64()*(l.length-wall), min(share*l.length, l.length-st.bound)
	st.length = l.length - less
	for i, s := range l.at[:st.free] {
		if s.x > cut {
			s.x -= less
		}
		s.pose = st.fitting(int32(i), s.pose)
		st.at[i] = st.clamp(s)
	}
	st.lightenAll()
	st.refile()
	st.rate()
}

// atBound reports whether no layout can be shorter.
func (t *team) atBound() bool { return t.shortest.length <= t.crew[0].bound*(1+1e-12) }

// fitting is the pose itself, or the first of copy i's that the length holds.
func (st *state) fitting(i, p int32) int32 {
	for _, q := range append([]int32{p}, st.ways[i]...) {
		if x0, x1, _, _ := st.room(q); x0 <= x1 {
			return q
		}
	}
	return p
}

// exchange swaps the places of two copies of the largest quarter that differ.
func (st *state) exchange(rng *rand.Rand) {
	n := st.free
	order := make([]int32, n)
	for i := range order {
		order[i] = int32(i)
	}
	hull := func(i int32) float64 { return st.poses[st.at[i].pose].hull }
	slices.SortStableFunc(order, func(a, b int32) int { return cmp.Compare(hull(b), hull(a)) })
	large := order[:min(n, max(2, n/4))]
	a := large[rng.IntN(len(large))]
	var others []int32
	for _, b := range large {
		if st.poses[st.at[b].pose].kind != st.poses[st.at[a].pose].kind {
			others = append(others, b)
		}
	}
	if len(others) == 0 { // all of a kind: any other piece will do
		for _, b := range order {
			if st.poses[st.at[b].pose].kind != st.poses[st.at[a].pose].kind {
				others = append(others, b)
			}
		}
	}
	if len(others) == 0 {
		return
	}
	b := others[rng.IntN(len(others))]
	sa, sb := st.at[a], st.at[b]
	st.at[a] = st.clamp(spot{sa.pose, sb.x, sb.y})
	st.at[b] = st.clamp(spot{sb.pose, sa.x, sa.y})
}
