package nest

import (
	"fmt"
	"math"
	"sync/atomic"

	"laywright/internal/base/fault"
)

// kit is what all layouts of one material share: the pieces in all the ways they
// may lie, and the tables of their pairs.
type kit struct {
	pieces []Piece
	gap    float64
	poses  []*pose // by number
	first  []int32 // number of each piece's first pose, and of the pose after the last
	pairs  []atomic.Pointer[pair]
	slot   []int32 // poses × poses: where in pairs, +1; negative for the mirrored shift
	column float64 // width of a column of the look-up, m

	direct   bool  // without tables, which would be too large
	testWork int64 // work of a pair test
}

// newKit prepares the poses of a roll's pieces.
func newKit(r Roll) (*kit, error) {
	k := &kit{pieces: r.Pieces, gap: float64(r.Gap)}
	for kind, p := range r.Pieces {
		all, err := poses(kind, p, k.gap, float64(r.Tilt))
		if err != nil {
			return nil, fmt.Errorf("piece %q: %w", p.Name, err)
		}
		k.first = append(k.first, int32(len(k.poses)))
		k.poses = append(k.poses, all...)
		for _, q := range all {
			k.column = max(k.column, q.hx)
		}
	}
	k.first = append(k.first, int32(len(k.poses)))
	if len(k.poses) > maxPoses {
		return nil, fault.Check("roll.pieces", float64(len(k.poses)), 1, maxPoses, " ways", "pieces times the ways they may lie; split the roll")
	}
	k.pairUp()
	k.link()
	return k, nil
}

// with is the kit with blocks added, whose poses come after those of the pieces.
func (k *kit) with(blocks []*pose) *kit {
	if len(blocks) == 0 {
		return k
	}
	out := *k
	out.poses = append(append([]*pose(nil), k.poses...), blocks...)
	out.link()
	return &out
}

// ways are the poses of a piece that a strip of that height and length takes.
func (k *kit) ways(kind int, height, length float64) (out []int32) {
	for p := k.first[kind]; p < k.first[kind+1]; p++ {
		size := k.poses[p].fit.Size()
		if size.Y <= height && size.X <= length {
			out = append(out, p)
		}
	}
	return out
}

// area is what copies of those pieces have together.
func (k *kit) area(kinds []int) (sum float64) {
	for _, kind := range kinds {
		sum += math.Abs(k.pieces[kind].Outline.Area())
	}
	return sum
}

// link numbers the tables that are needed. The shift between b and a is minus
// that between a and b, and turning both by half a turn mirrors it too, so
// that up to four pairs of poses share a table.
func (k *kit) link() {
	n, bytes := len(k.poses), 0.0
	k.slot = make([]int32, n*n)
	count := int32(0)
	for a := range n {
		for b := range n {
			if k.slot[a*n+b] != 0 {
				continue
			}
			count++
			bytes += tableSize(k.poses[a], k.poses[b])
			k.slot[b*n+a] = -count
			k.slot[a*n+b] = count
			if ta, tb := k.poses[a].twin, k.poses[b].twin; ta >= 0 && tb >= 0 {
				k.slot[ta*n+tb] = -count
				k.slot[tb*n+ta] = count
			}
		}
	}
	k.direct, k.testWork = bytes > tablesMost, 1
	if k.direct {
		k.slot, k.pairs, k.testWork = nil, nil, directWork
		return
	}
	k.pairs = make([]atomic.Pointer[pair], count)
}

// pair is the table of poses a and b and the sign that turns their shift into
// the table's. It is made on first need: two workers may make the same one;
// either is right and one is kept.
func (k *kit) pair(a, b int32) (*pair, float64) {
	n, sign := k.slot[int(a)*len(k.poses)+int(b)], 1.0
	if n < 0 {
		n, sign = -n, -1
	}
	at := &k.pairs[n-1]
	if p := at.Load(); p != nil {
		return p, sign
	}
	p := newPair(k.poses[a], k.poses[b], sign)
	if !at.CompareAndSwap(nil, p) {
		return at.Load(), sign
	}
	return p, sign
}
