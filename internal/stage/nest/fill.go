package nest

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
)

// fillShare is the part of a roll's search that each try to get more onto a given
// length may take.
const fillShare = 0.1

// lay finds a short layout of copies on the lane; nil where even the search finds
// none that the lane holds.
func (l lane) lay(ctx context.Context, k *kit, kinds []int, e spending) (*state, error) {
	st, err := l.start(ctx, k, kinds)
	if st == nil || err != nil {
		return nil, err
	}
	limit := int64(e.seconds * workRate)
	e.watch.begin(l, k, kinds, limit)
	if len(st.at) <= maxImproved && st.work < limit {
		t := newTeam(ctx, st, e, limit)
		rng := rand.New(rand.NewPCG(e.seed, math.MaxUint64))
		ok := t.within(l.length, rng)
		if err := ctx.Err(); err != nil || !ok {
			return nil, err
		}
		if !e.first {
			t.search(rng)
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		st = newState(st.strip, t.shortest.at, t.shortest.length)
		st.rate()
	}
	if st.extent() > l.length+k.gap+slip {
		return nil, nil
	}
	if err := st.slideLeft(ctx); err != nil {
		return nil, err
	}
	e.watch.better(st.extent(), limit)
	return st, nil
}

// spending says how long to search.
type spending struct {
	seconds float64 // on the reference machine; see workRate
	seed    uint64
	first   bool // the first layout that the lane holds will do
	watch   *watch
}

// start is the bottom-left layout of copies on the lane, with as many section lines
// as it needs; nil where a piece has no way to lie.
func (l lane) start(ctx context.Context, k *kit, kinds []int) (*state, error) {
	if l.table > 0 {
		l.sections = 2 + int(2*k.area(kinds)/(l.width*l.table))
	}
	for {
		s := l.newStrip(k, kinds)
		for _, w := range s.ways {
			if len(w) == 0 {
				return nil, nil
			}
		}
		st, err := bottomLeft(ctx, s)
		if err != nil || l.table == 0 || st.extent() <= float64(l.sections)*l.table {
			return st, err
		}
		l.sections *= 2
	}
}

// within brings the layout within a length, overlapping for the moment; false where
// the pieces can't be freed there.
func (t *team) within(length float64, rng *rand.Rand) bool {
	st := t.crew[0]
	length += st.gap + slip
	if st.extent() <= length {
		return true
	}
	if st.bound > length {
		return false
	}
	at := append([]spot(nil), st.at...)
	st.length = length
	for i, s := range at[:st.free] {
		s.pose = st.fitting(int32(i), s.pose)
		if x0, x1, _, _ := st.room(s.pose); s.x > x1 { // what sticks out is thrown back in anywhere
			s.x = x0 + (x1-x0)*rng.Float64()
		}
		at[i] = st.clamp(s)
	}
	st.reset(at, length)
	if t.separate(effort{exploreStrikes, exploreStrikes * squeezePatience}, t.limit) > 0 {
		return false
	}
	t.keep(t.crew[0])
	return true
}

// use lays all sets on the lane where it holds them, else as many as it can, and returns
// those that are left over.
func (l lane) use(ctx context.Context, k *kit, sets []set, e spending) (*state, []set, error) {
	if !math.IsInf(l.length, 1) {
		quick := e
		quick.seconds, quick.first = fillShare*e.seconds, true
		st, err := l.lay(ctx, k, kindsOf(sets), quick)
		if err != nil {
			return nil, nil, err
		}
		if st == nil {
			return l.fill(ctx, k, sets, quick)
		}
	}
	st, err := l.lay(ctx, k, kindsOf(sets), e)
	if err == nil && st == nil {
		return nil, sets, nil
	}
	return st, nil, err
}

// fill gets as many sets as it can onto a lane of given length, the largest first, and
// returns the layout and the sets that are left over. Many small sets are tried at once,
// fewer where they don't fit.
func (l lane) fill(ctx context.Context, k *kit, sets []set, e spending) (*state, []set, error) {
	var down, left []set
	var best *state
	room := l.room()
	next := largestFirst(sets)
	for m := len(next); len(next) > 0; {
		m = max(1, min(m, len(next)))
		try := append(append([]set(nil), down...), next[:m]...)
		area := 0.0
		for _, s := range try {
			area += s.area
		}
		var st *state
		if area <= room {
			var err error
			if st, err = l.lay(ctx, k, kindsOf(try), e); err != nil {
				return nil, nil, err
			}
		}
		switch {
		case st != nil:
			down, best, next = try, st, next[m:]
		case m > 1:
			m /= 2
		default:
			refused := next[0].alike
			same := func(s set) bool { return s.alike == refused }
			for _, s := range next {
				if same(s) {
					left = append(left, s)
				}
			}
			next = slices.DeleteFunc(slices.Clone(next), same)
		}
	}
	return best, left, nil
}

// room is the area that a lane of given length has.
func (l lane) room() float64 {
	room := l.width * l.length
	if l.outline != nil {
		room = math.Abs(l.outline.Area())
	}
	return room
}
