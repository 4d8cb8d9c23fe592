package num

import "slices"

// Sparse is a symmetric matrix of which few entries are not 0. Its unknowns are
// grouped in nodes: those of a node are coupled alike, so the pattern is kept by
// nodes, and an elimination order needs only the nodes' places.
type Sparse struct {
	First []int32 // unknowns of node i are First[i] to First[i+1]; one longer than the nodes

	start []int32 // by unknown: where its row begins in col and val
	col   []int32 // rising in each row; both triangles are kept
	val   []float64
	near  [][]int32 // by node: coupled nodes, itself left out, rising
}

// NewSparse returns a zero matrix of nodes with so many unknowns each, in which
// the nodes of every clique are coupled with one another.
func NewSparse(unknowns []int, cliques [][3]int32) *Sparse {
	m := &Sparse{First: make([]int32, len(unknowns)+1), near: make([][]int32, len(unknowns))}
	for i, n := range unknowns {
		m.First[i+1] = m.First[i] + int32(n)
	}
	for _, c := range cliques {
		for _, a := range c {
			for _, b := range c {
				if a != b {
					m.near[a] = append(m.near[a], b)
				}
			}
		}
	}
	m.start = append(m.start, 0)
	for i := range m.near {
		slices.Sort(m.near[i])
		m.near[i] = slices.Compact(m.near[i])
		m.addRows(int32(i))
	}
	m.val = make([]float64, len(m.col))
	return m
}

// addRows lays out the rows of node i's unknowns.
func (m *Sparse) addRows(i int32) {
	self := false
	var cols []int32
	put := func(n int32) {
		for u := m.First[n]; u < m.First[n+1]; u++ {
			cols = append(cols, u)
		}
	}
	for _, n := range m.near[i] {
		if n > i && !self {
			put(i)
			self = true
		}
		put(n)
	}
	if !self {
		put(i)
	}
	for u := m.First[i]; u < m.First[i+1]; u++ {
		m.col = append(m.col, cols...)
		m.start = append(m.start, int32(len(m.col)))
	}
}

// Size returns the number of unknowns.
func (m *Sparse) Size() int { return int(m.First[len(m.First)-1]) }

// Like returns a zero matrix with the same pattern.
func (m *Sparse) Like() *Sparse {
	out := *m
	out.val = make([]float64, len(m.val))
	return &out
}

// Add adds the dense symmetric matrix k, row by row, at the unknowns of index;
// an index below 0 is left out, which is how a held unknown leaves the system.
// All of them must belong to nodes of one clique.
func (m *Sparse) Add(index []int32, k []float64) {
	n := len(index)
	for i, row := range index {
		if row < 0 {
			continue
		}
		cols := m.col[m.start[row]:m.start[row+1]]
		vals := m.val[m.start[row]:m.start[row+1]]
		for j, c := range index {
			if c < 0 {
				continue
			}
			at, _ := slices.BinarySearch(cols, c)
			vals[at] += k[i*n+j]
		}
	}
}

// Slots returns where the entries at the unknowns of index are kept, row by row,
// for [Sparse.AddAt]: what is added often need be looked up only once. All
// unknowns must belong to nodes of one clique.
func (m *Sparse) Slots(index []int32) []int32 {
	n := len(index)
	out := make([]int32, n*n)
	for i, row := range index {
		cols := m.col[m.start[row]:m.start[row+1]]
		for j, c := range index {
			at, _ := slices.BinarySearch(cols, c)
			out[i*n+j] = m.start[row] + int32(at)
		}
	}
	return out
}

// AddAt adds the dense symmetric matrix k, row by row, at its slots.
func (m *Sparse) AddAt(slots []int32, k []float64) {
	for i, at := range slots {
		m.val[at] += k[i]
	}
}

// AddDiagonal adds x to the diagonal entry of an unknown and returns the sum.
func (m *Sparse) AddDiagonal(unknown int32, x float64) float64 {
	at, _ := slices.BinarySearch(m.col[m.start[unknown]:m.start[unknown+1]], unknown)
	v := &m.val[int(m.start[unknown])+at]
	*v += x
	return *v
}

// Clear sets all entries to zero.
func (m *Sparse) Clear() { clear(m.val) }

// Times puts m·x into y.
func (m *Sparse) Times(x, y []float64) {
	for i := range y {
		var sum float64
		for p := m.start[i]; p < m.start[i+1]; p++ {
			sum += m.val[p] * x[m.col[p]]
		}
		y[i] = sum
	}
}
