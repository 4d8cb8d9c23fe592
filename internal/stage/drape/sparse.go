package drape

import (
	"math"
	"slices"
)

// block is a 2 by 2 matrix in row-major order: one node's two flat coordinates
// against another's.
type block [4]float64

func (a block) times(b block) block {
	return block{a[0]*b[0] + a[1]*b[2], a[0]*b[1] + a[1]*b[3],
		a[2]*b[0] + a[3]*b[2], a[2]*b[1] + a[3]*b[3]}
}

func (a block) transposed() block { return block{a[0], a[2], a[1], a[3]} }

func (a block) apply(x [2]float64) [2]float64 {
	return [2]float64{a[0]*x[0] + a[1]*x[1], a[2]*x[0] + a[3]*x[1]}
}

// system is a symmetric positive definite matrix of blocks with the pattern of
// a graph, and its factors:
//
//	A = L·D·Lᵀ
//
// L has unit blocks on its diagonal, D is diagonal by blocks. Rows are found
// one after the other from the elimination tree. There is no pivoting: the
// matrix must be positive definite.
//
// Source: [davis2005].
type system struct {
	diagonal []block // by node
	off      []block // by edge: row of its first node, column of its second

	edges  [][2]int32
	order  []int32 // node at each step of the elimination
	step   []int32 // and the other way round
	above  [][]entry
	parent []int32
	start  []int32 // first entry of each column of L
	count  []int32 // entries of each column so far
	row    []int32
	lower  []block
	d, dInverse,
	work []block
	mark, pattern, path []int32
}

// entry is an off-diagonal block of a row in the order of elimination.
type entry struct {
	step int32 // earlier step
	edge int32
	flip bool // stored the other way round
}

// newSystem prepares the pattern of L for a matrix with a block on the diagonal
// for each node of order and one for each edge.
func newSystem(order []int32, edges [][2]int32) *system {
	n := len(order)
	s := &system{diagonal: make([]block, n), off: make([]block, len(edges)), edges: edges, order: order,
		step: make([]int32, n), above: make([][]entry, n), parent: make([]int32, n),
		start: make([]int32, n+1), count: make([]int32, n), d: make([]block, n), dInverse: make([]block, n),
		work: make([]block, n), mark: make([]int32, n), pattern: make([]int32, n), path: make([]int32, n)}
	for k, v := range order {
		s.step[v] = int32(k)
	}
	for e, ends := range edges {
		i, j := s.step[ends[0]], s.step[ends[1]]
		s.above[max(i, j)] = append(s.above[max(i, j)], entry{min(i, j), int32(e), i > j})
	}
	s.analyse()
	return s
}

// analyse finds the elimination tree and the length of each column of L.
func (s *system) analyse() {
	for k := range s.parent {
		s.parent[k], s.mark[k] = -1, int32(k)
		for _, e := range s.above[k] {
			for i := e.step; s.mark[i] != int32(k); i = s.parent[i] {
				if s.parent[i] < 0 {
					s.parent[i] = int32(k)
				}
				s.count[i]++
				s.mark[i] = int32(k)
			}
		}
	}
	for k, c := range s.count {
		s.start[k+1] = s.start[k] + c
	}
	s.row = make([]int32, s.start[len(s.count)])
	s.lower = make([]block, len(s.row))
}

// clear sets all blocks to zero.
func (s *system) clear() {
	clear(s.diagonal)
	clear(s.off)
}

// factor works out L and D; false where the matrix is not positive definite.
func (s *system) factor() bool {
	clear(s.count)
	for k := range s.mark {
		s.mark[k] = -1
	}
	for k := range s.order {
		s.work[k] = block{}
		top := s.reach(k)
		d := s.diagonal[s.order[k]]
		for _, i := range s.pattern[top:] {
			d = s.eliminate(k, i, d)
		}
		det := d[0]*d[3] - d[1]*d[2]
		if !(det > 0 && d[0] > 0) || math.IsInf(det, 0) {
			return false
		}
		s.d[k] = d
		s.dInverse[k] = block{d[3] / det, -d[1] / det, -d[2] / det, d[0] / det}
	}
	return true
}

// reach spreads column k of A into work and lists the columns of L that enter
// row k, earliest first, in pattern[top:].
func (s *system) reach(k int) (top int) {
	top = len(s.pattern)
	s.mark[k] = int32(k)
	for _, e := range s.above[k] {
		a := s.off[e.edge]
		if e.flip {
			a = a.transposed()
		}
		for c := range a {
			s.work[e.step][c] += a[c]
		}
		length := 0
		for i := e.step; s.mark[i] != int32(k); i = s.parent[i] {
			s.path[length] = i
			length++
			s.mark[i] = int32(k)
		}
		for length > 0 {
			length--
			top--
			s.pattern[top] = s.path[length]
		}
	}
	return top
}

// eliminate takes column i out of row k and returns what is left of D there.
func (s *system) eliminate(k int, i int32, d block) block {
	y := s.work[i]
	s.work[i] = block{}
	from := s.start[i]
	to := from + s.count[i]
	rows, lower := s.row[from:to], s.lower[from:to]
	for p, r := range rows {
		l, w := &lower[p], &s.work[r]
		w[0] -= l[0]*y[0] + l[1]*y[2]
		w[1] -= l[0]*y[1] + l[1]*y[3]
		w[2] -= l[2]*y[0] + l[3]*y[2]
		w[3] -= l[2]*y[1] + l[3]*y[3]
	}
	l := y.transposed().times(s.dInverse[i])
	less := l.times(y)
	for c := range d {
		d[c] -= less[c]
	}
	s.row[to], s.lower[to] = int32(k), l
	s.count[i]++
	return d
}

// solve returns x with L·D·Lᵀ·x = b, by node.
func (s *system) solve(b [][2]float64) [][2]float64 {
	x := make([][2]float64, len(b))
	for k, v := range s.order {
		x[k] = b[v]
	}
	for k := range x {
		for p := s.start[k]; p < s.start[k+1]; p++ {
			y := s.lower[p].apply(x[k])
			x[s.row[p]][0] -= y[0]
			x[s.row[p]][1] -= y[1]
		}
	}
	for k := range slices.Backward(x) {
		x[k] = s.dInverse[k].apply(x[k])
		for p := s.start[k]; p < s.start[k+1]; p++ {
			y := s.lower[p].transposed().apply(x[s.row[p]])
			x[k][0] -= y[0]
			x[k][1] -= y[1]
		}
	}
	out := make([][2]float64, len(b))
	for k, v := range s.order {
		out[v] = x[k]
	}
	return out
}

// times returns A·x, by node.
func (s *system) times(x [][2]float64) [][2]float64 {
	y := make([][2]float64, len(x))
	for v := range x {
		y[v] = s.diagonal[v].apply(x[v])
	}
	for e, ends := range s.edges {
		i, j := ends[0], ends[1]
		a, b := s.off[e].apply(x[j]), s.off[e].transposed().apply(x[i])
		y[i][0], y[i][1] = y[i][0]+a[0], y[i][1]+a[1]
		y[j][0], y[j][1] = y[j][0]+b[0], y[j][1]+b[1]
	}
	return y
}
