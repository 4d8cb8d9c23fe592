package nest

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// Heights across the roll that are tried for each piece: many where that is
// cheap, fewer where pieces are many or have many convex parts.
const (
	mostLevels  = 48
	leastLevels = 8
	levelWork   = 30e6 // pairs of parts looked at in all, about

	levelsEach   = 3   // at least this many to each height of the piece itself
	mostForSmall = 300 // however small it is
)

// For more copies than this, places are sought only this many lengths of the
// longest piece behind the far end, so that the time stays in proportion.
const (
	windowFrom    = 300
	windowDirect  = 60 // where there are no tables
	windowLengths = 6
)

// bottomLeft lays the copies one by one, largest first, each where its far end
// comes soonest, lowest among equals.
func bottomLeft(ctx context.Context, s *strip) (*state, error) {
	n := s.free
	order := make([]int32, n)
	for i := range order {
		order[i] = int32(i)
	}
	size := func(i int32) float64 { p := s.poses[s.ways[i][0]]; return p.hull * p.diameter }
	slices.SortStableFunc(order, func(a, b int32) int { return cmp.Compare(size(b), size(a)) })
	st := &state{strip: s, at: append(make([]spot, n), s.blocks...), length: math.Inf(1)}
	var down []int32 // the copies that lie already, blocks first
	for k := range s.blocks {
		down = append(down, int32(n+k))
	}
	levels, frontier, window := s.levels(), 0.0, windowFrom
	if s.direct {
		window = windowDirect
	}
	for k, i := range order {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		from := 0.0
		if k > window {
			from = frontier - windowLengths*2*s.column
			down = slices.DeleteFunc(down, func(c int32) bool { return st.at[c].x+s.poses[st.at[c].pose].hx < from })
		}
		st.at[i] = st.soonest(i, down, from, levels)
		down = append(down, i)
		frontier = max(frontier, st.at[i].x+s.poses[st.at[i].pose].hx)
	}
	laid := newState(s, st.at, st.extent())
	laid.work = st.work
	laid.rate()
	return laid, nil
}

// soonest is the place of copy i among those already down, not before from,
// whose far end comes first.
func (st *state) soonest(i int32, down []int32, from float64, levels int) spot {
	var best spot
	end := math.Inf(1)
	for _, p := range st.ways[i] {
		lo, _, y0, y1 := st.room(p)
		if from > 0 { // what ends before is no longer looked at
			lo = max(lo, from+st.poses[p].hx)
		}
		levels := max(levels, min(mostForSmall, int(levelsEach*(y1-y0)/(2*st.poses[p].hy))))
		for k := 0; k <= levels; k++ {
			y := y0 + (y1-y0)*float64(k)/float64(levels)
			x := st.leftmost(i, p, y, lo, down)
			if e := x + st.poses[p].fit.Max.X; e < end-touch {
				best, end = spot{p, x, y}, e
			}
			if y1 <= y0 {
				break
			}
		}
	}
	return best
}

// levels is the number of heights to try.
func (s *strip) levels() int {
	var parts, ways float64
	for _, w := range s.ways[:s.free] {
		parts += float64(len(s.poses[w[0]].parts))
		ways += float64(len(w))
	}
	each := parts * parts / 2 * ways / float64(s.free)
	return int(max(leastLevels, min(mostLevels, levelWork/each)))
}
