package nest

import (
	"math"
	"slices"
)

// strip is one task of laying: which copies, on what.
type strip struct {
	*kit
	height float64         // usable, in grown coordinates: from 0 to height
	ways   [][]int32       // for each copy: the numbers of its poses
	free   int             // copies that may be moved; those after them are blocks
	alike  map[int][]int32 // copies of each kind
	blocks []spot          // where the blocks lie
	bound  float64         // length that no layout undercuts, m
}

// spot is a pose at a place.
type spot struct {
	pose int32
	x, y float64
}

// body is a copy as its neighbours see it: the centre and half sides of its box.
type body struct {
	x, y, hx, hy float64
	pose         int32
}

// state is a layout under work: a place for each copy, what overlaps, and the
// weights that the search has put on pairs. Of more than maxImproved copies
// only the places are kept.
type state struct {
	*strip
	length  float64
	at      []spot
	body    []body    // the same places, ready for the inner loop
	loss    []float32 // n × n, symmetric: overlap of each pair
	heavy   []float32 // n × n, symmetric: weight of each pair
	cols    [][]int32 // copies in each column along the roll
	span    [][2]int32
	work    int64 // pair tests and the like done so far
	scratch sum
}

func newState(s *strip, at []spot, length float64) *state {
	n := len(at)
	st := &state{strip: s, at: slices.Clone(at), length: length, span: make([][2]int32, n), body: make([]body, n)}
	if n <= maxImproved {
		st.loss, st.heavy = make([]float32, n*n), make([]float32, n*n)
	}
	st.lightenAll()
	st.refile()
	return st
}

// copyFrom takes over another state of the same strip.
func (st *state) copyFrom(o *state) {
	st.length = o.length
	copy(st.at, o.at)
	copy(st.body, o.body)
	copy(st.loss, o.loss)
	copy(st.heavy, o.heavy)
	copy(st.span, o.span)
	for len(st.cols) < len(o.cols) {
		st.cols = append(st.cols, nil)
	}
	st.cols = st.cols[:len(o.cols)]
	for i := range o.cols {
		st.cols[i] = append(st.cols[i][:0], o.cols[i]...)
	}
}

// reset puts all copies in new places, keeping the weights.
func (st *state) reset(at []spot, length float64) {
	st.length = length
	copy(st.at, at)
	st.refile()
	st.rate()
}

func (st *state) lightenAll() {
	for i := range st.heavy {
		st.heavy[i] = 1
	}
}

// refile sorts all copies into columns.
func (st *state) refile() {
	for i := range st.cols {
		st.cols[i] = st.cols[i][:0]
	}
	for i := range st.at {
		st.file(int32(i))
	}
}

func (st *state) colRange(s spot) [2]int32 {
	h := st.poses[s.pose].hx
	return [2]int32{int32(max(0, (s.x-h)/st.column)), int32(max(0, (s.x+h)/st.column))}
}

func (st *state) file(i int32) {
	s := st.at[i]
	p := st.poses[s.pose]
	st.body[i] = body{s.x, s.y, p.hx, p.hy, s.pose}
	r := st.colRange(s)
	st.span[i] = r
	for int(r[1]) >= len(st.cols) {
		st.cols = append(st.cols, nil)
	}
	for k := r[0]; k <= r[1]; k++ {
		st.cols[k] = append(st.cols[k], i)
	}
}

// put moves copy i and brings its row of losses up to date.
func (st *state) put(i int32, s spot) {
	for k := st.span[i][0]; k <= st.span[i][1]; k++ {
		c := st.cols[k]
		at := slices.Index(c, i)
		c[at] = c[len(c)-1]
		st.cols[k] = c[:len(c)-1]
	}
	st.at[i] = s
	st.file(i)
	st.rateRow(i)
}

// rate measures the overlap of every pair.
func (st *state) rate() {
	for i := range st.free {
		st.rateRow(int32(i))
	}
}

func (st *state) rateRow(i int32) {
	n := len(st.at)
	if len(st.loss) == 0 {
		return
	}
	row := st.loss[int(i)*n : int(i)*n+n]
	for c := range row {
		if row[c] != 0 {
			row[c], st.loss[c*n+int(i)] = 0, 0
		}
	}
	st.each(i, st.at[i], func(c int32, overlap float64) bool {
		row[c] = float32(overlap)
		st.loss[int(c)*n+int(i)] = float32(overlap)
		return true
	})
}

// each calls f for every copy that overlaps copy i laid at s, until f says no.
func (st *state) each(i int32, s spot, f func(c int32, overlap float64) bool) {
	p := st.poses[s.pose]
	r := st.colRange(s)
	for k := r[0]; k <= r[1] && int(k) < len(st.cols); k++ {
		for _, c := range st.cols[k] {
			if c == i || k != max(r[0], st.span[c][0]) { // met in an earlier column
				continue
			}
			o := &st.body[c]
			dx, dy := o.x-s.x, o.y-s.y
			if math.Abs(dx) >= p.hx+o.hx || math.Abs(dy) >= p.hy+o.hy {
				continue
			}
			st.work += st.testWork
			if v := st.between(s.pose, o.pose, dx, dy); v > 0 && !f(c, v) {
				return
			}
		}
	}
}

// between is the overlap of pose a with pose b shifted by (dx, dy) from it.
func (st *state) between(a, b int32, dx, dy float64) float64 {
	if st.direct {
		return overlapAt(st.poses[a], st.poses[b], dx, dy)
	}
	p, sign := st.pair(a, b)
	return p.overlap(sign*dx, sign*dy)
}

// weigh is the weighted overlap of copy i laid at s, or something at least as
// large as limit as soon as that is certain. It is the inner loop of the search,
// and for that reason each written out again.
func (st *state) weigh(i int32, s spot, limit float64) float64 {
	st.work += 2
	var sum float64
	row := st.heavy[int(i)*len(st.at):]
	p := st.poses[s.pose]
	r := st.colRange(s)
	for k := r[0]; k <= r[1] && int(k) < len(st.cols); k++ {
		for _, c := range st.cols[k] {
			if c == i || k != max(r[0], st.span[c][0]) {
				continue
			}
			o := &st.body[c]
			dx, dy := o.x-s.x, o.y-s.y
			if math.Abs(dx) >= p.hx+o.hx || math.Abs(dy) >= p.hy+o.hy {
				continue
			}
			st.work += st.testWork
			sum += float64(row[c]) * st.between(s.pose, o.pose, dx, dy)
			if sum >= limit {
				return sum
			}
		}
	}
	return sum
}

// total is the overlap of the whole layout, each pair once, with and without
// the weights. The layout is feasible exactly where it is 0.
func (st *state) total() (plain, weighted float64) {
	n := len(st.at)
	for i := range n {
		for c := range i {
			if v := st.loss[i*n+c]; v > 0 {
				plain += float64(v)
				weighted += float64(v * st.heavy[i*n+c])
			}
		}
	}
	return plain, weighted
}

// How weights change after each round of moves. Source: [gardeyn2025]
const (
	heavierLeast = 1.2
	heavierMost  = 2.0
	lighter      = 0.95
	heaviest     = 1e6 // of a hopeless pair; keeps sums finite
)

// pairsPerTest is how many weights are renewed, and states copied, in the time
// of a pair test.
const pairsPerTest = 16

// reweigh makes pairs that overlap weigh more, the worst most, and lets the
// others fade to 1.
func (st *state) reweigh() {
	st.work += int64(len(st.loss) / pairsPerTest)
	var worst float32
	for _, v := range st.loss {
		worst = max(worst, v)
	}
	for k, v := range st.loss {
		if v > 0 {
			st.heavy[k] = min(heaviest, st.heavy[k]*(heavierLeast+(heavierMost-heavierLeast)*v/worst))
		} else if st.heavy[k] > 1 {
			st.heavy[k] = max(1, lighter*st.heavy[k])
		}
	}
}

// room is the range of places of a pose on the roll: x from lo.x to hi.x where
// the length allows, y always.
func (st *state) room(p int32) (x0, x1, y0, y1 float64) {
	f := st.poses[p].fit
	return -f.Min.X, st.length - f.Max.X, -f.Min.Y, st.height - f.Max.Y
}

// clamp pulls a spot back onto the roll.
func (st *state) clamp(s spot) spot {
	x0, x1, y0, y1 := st.room(s.pose)
	s.x = max(x0, min(s.x, x1))
	s.y = max(y0, min(s.y, y1))
	return s
}

// extent is the far end of the pieces.
func (st *state) extent() (end float64) {
	for _, s := range st.at[:st.free] {
		end = max(end, s.x+st.poses[s.pose].fit.Max.X)
	}
	return end
}
