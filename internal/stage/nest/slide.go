package nest

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// stretch is an open range along the roll.
type stretch struct{ lo, hi float64 }

// leftmost is the smallest x from lo on at which copy i, in pose p at height
// y, is clear of the others. It is exact: for each neighbour the height gives
// the range of x that each pair of convex parts blocks.
func (st *state) leftmost(i, p int32, y, lo float64, others []int32) float64 {
	var shut []stretch
	me := st.poses[p]
	for _, c := range others {
		o := st.at[c]
		q := st.poses[o.pose]
		if c == i || math.Abs(o.y-y) >= me.hy+q.hy || o.x+me.hx+q.hx <= lo {
			continue
		}
		shut = st.appendBlocked(shut, p, o, y)
	}
	slices.SortFunc(shut, func(a, b stretch) int { return cmp.Compare(a.lo, b.lo) })
	x := lo
	for _, g := range shut {
		if g.lo >= x-touch { // what lies ahead may be touched
			break
		}
		x = max(x, g.hi)
	}
	return x
}

// appendBlocked adds the ranges of x that the copy at o blocks for pose p at y.
// The sums' shift is d = sign · (o − place).
func (st *state) appendBlocked(shut []stretch, p int32, o spot, y float64) []stretch {
	from := len(shut)
	st.sumsAt(p, o.pose, o.y-y, func(s *sum, sign float64) {
		st.work++
		lo, hi := s.blocked(sign * (o.y - y))
		if hi-lo <= touch {
			return
		}
		if sign > 0 {
			lo, hi = -hi, -lo
		}
		shut = merge(shut, from, stretch{o.x + lo, o.x + hi})
	})
	return shut
}

// merge adds g to the disjoint ranges from index from on, joining those that it
// overlaps. Ranges that only touch stay apart: a piece may fit there exactly.
func merge(shut []stretch, from int, g stretch) []stretch {
	for k := from; k < len(shut); {
		o := shut[k]
		if g.lo >= o.hi-touch || o.lo >= g.hi-touch {
			k++
			continue
		}
		g = stretch{min(g.lo, o.lo), max(g.hi, o.hi)}
		if g == o {
			return shut
		}
		shut[k] = shut[len(shut)-1]
		shut = shut[:len(shut)-1]
		k = from
	}
	return append(shut, g)
}

// slideLeft moves copies towards the start until none can go farther at its
// height; without tables a round takes them no farther than the longest piece is
// long. Nothing ever overlaps that did not before.
func (st *state) slideLeft(ctx context.Context) error {
	everyone := make([]int32, len(st.at))
	for i := range everyone {
		everyone[i] = int32(i)
	}
	for round := 0; round < maxSlides; round++ {
		if err := ctx.Err(); err != nil {
			return err
		}
		moved := false
		for _, i := range st.byLeft() {
			s := st.at[i]
			lo, _, _, _ := st.room(s.pose)
			if st.direct {
				lo = max(lo, s.x-2*st.column)
			}
			if x := st.leftmost(i, s.pose, s.y, lo, st.before(s, everyone)); x < s.x-touch {
				st.put(i, spot{s.pose, x, s.y})
				moved = true
			}
		}
		if !moved {
			break
		}
	}
	return nil
}

// before lists those of the copies that begin before s ends: no other is in its way
// to the left.
func (st *state) before(s spot, copies []int32) (out []int32) {
	end := s.x + st.poses[s.pose].hx
	for _, c := range copies {
		if o := st.at[c]; o.x-st.poses[o.pose].hx < end {
			out = append(out, c)
		}
	}
	return out
}

// maxSlides bounds the rounds of sliding; each needs another to have moved.
const maxSlides = 30

// byLeft lists the copies by their left ends.
func (st *state) byLeft() []int32 {
	order := make([]int32, st.free)
	for i := range order {
		order[i] = int32(i)
	}
	left := func(i int32) float64 { return st.at[i].x - st.poses[st.at[i].pose].hx }
	slices.SortStableFunc(order, func(a, b int32) int { return cmp.Compare(left(a), left(b)) })
	return order
}
