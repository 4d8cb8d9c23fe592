package sparse

import "slices"

// Matrix is a symmetric matrix of which few entries are not 0. Its unknowns are
// grouped in nodes: those of a node are coupled alike, so the pattern is kept by
// nodes, and an elimination order needs only the nodes' places.
type Matrix struct {
	First []int32 // unknowns of node i are First[i] to First[i+1]; one longer than the nodes

	start []int32 // by unknown: where its row begins in col and val
	col   []int32 // rising in each row; both triangles are kept
	val   []float64
	near  [][]int32 // by node: coupled nodes, itself left out, rising
}

// New returns a zero matrix of nodes with so many unknowns each, in which
// the nodes of every clique are coupled with one another.
func New(unknowns []int, cliques [][3]int32) *Matrix {
	m := &Matrix{First: make([]int32, len(unknowns)+1), near: neighbours(len(unknowns), cliques)}
	for i, n := range unknowns {
		m.First[i+1] = m.First[i] + int32(n)
	}
	m.start = make([]int32, m.Size()+1)
	for i, n := range unknowns {
		long := n
		for _, o := range m.near[i] {
			long += unknowns[o]
		}
		for u := m.First[i]; u < m.First[i+1]; u++ {
			m.start[u+1] = m.start[u] + int32(long)
		}
	}
	m.col = make([]int32, 0, m.start[m.Size()])
	for i := range m.near {
		m.addRows(int32(i))
	}
	m.val = make([]float64, len(m.col))
	return m
}

// neighbours lists for each of n nodes the others of its cliques, rising.
func neighbours(n int, cliques [][3]int32) [][]int32 {
	count := make([]int32, n+1)
	for _, c := range cliques {
		for _, a := range c {
			count[a+1] += 2
		}
	}
	for i := range n {
		count[i+1] += count[i]
	}
	all := make([]int32, count[n])
	near := make([][]int32, n)
	for i := range near {
		near[i] = all[count[i]:count[i]:count[i+1]]
	}
	for _, c := range cliques {
		for i, a := range c {
			for _, b := range [2]int32{c[(i+1)%3], c[(i+2)%3]} {
				if a != b {
					near[a] = append(near[a], b)
				}
			}
		}
	}
	for i := range near {
		slices.Sort(near[i])
		near[i] = slices.Compact(near[i])
	}
	return near
}

// addRows appends the columns of the rows of node i's unknowns.
func (m *Matrix) addRows(i int32) {
	from := len(m.col)
	put := func(n int32) {
		for u := m.First[n]; u < m.First[n+1]; u++ {
			m.col = append(m.col, u)
		}
	}
	if m.First[i] == m.First[i+1] {
		return
	}
	at, _ := slices.BinarySearch(m.near[i], i)
	for _, n := range m.near[i][:at] {
		put(n)
	}
	put(i)
	for _, n := range m.near[i][at:] {
		put(n)
	}
	to := len(m.col)
	for u := m.First[i] + 1; u < m.First[i+1]; u++ {
		m.col = append(m.col, m.col[from:to]...)
	}
}

// Size returns the number of unknowns.
func (m *Matrix) Size() int { return int(m.First[len(m.First)-1]) }

// Like returns a zero matrix with the same pattern.
func (m *Matrix) Like() *Matrix {
	out := *m
	out.val = make([]float64, len(m.val))
	return &out
}

// Add adds the dense symmetric matrix k, row by row, at the unknowns of index;
// an index below 0 is left out, which is how a held unknown leaves the system.
// All of them must belong to nodes of one clique.
func (m *Matrix) Add(index []int32, k []float64) {
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
// for [Matrix.AddAt]: what is added often need be looked up only once. All
// unknowns must belong to nodes of one clique.
func (m *Matrix) Slots(index []int32) []int32 {
	n := len(index)
	out := make([]int32, n*n)
	m.SlotsInto(index, out)
	return out
}

// SlotsInto is [Matrix.Slots] with the room for its answer given.
func (m *Matrix) SlotsInto(index, out []int32) {
	n := len(index)
	for i, row := range index {
		cols := m.col[m.start[row]:m.start[row+1]]
		for j, c := range index {
			// mostly next to the one before, or where the row before has it
			at := 0
			if i > 0 {
				at = int(out[(i-1)*n+j] - m.start[index[i-1]])
			}
			if j > 0 && (at >= len(cols) || cols[at] != c) {
				at = int(out[i*n+j-1]-m.start[row]) + 1
			}
			if at >= len(cols) || cols[at] != c {
				at, _ = slices.BinarySearch(cols, c)
			}
			out[i*n+j] = m.start[row] + int32(at)
		}
	}
}

// Values returns where the entries are kept, by their slots.
func (m *Matrix) Values() []float64 { return m.val }

// AddAt adds the dense symmetric matrix k, row by row, at its slots.
func (m *Matrix) AddAt(slots []int32, k []float64) {
	for i, at := range slots {
		m.val[at] += k[i]
	}
}

// AddDiagonal adds x to the diagonal entry of an unknown and returns the sum.
func (m *Matrix) AddDiagonal(unknown int32, x float64) float64 {
	at, _ := slices.BinarySearch(m.col[m.start[unknown]:m.start[unknown+1]], unknown)
	v := &m.val[int(m.start[unknown])+at]
	*v += x
	return *v
}

// Clear sets all entries to zero.
func (m *Matrix) Clear() { clear(m.val) }

// Times puts m·x into y.
func (m *Matrix) Times(x, y []float64) {
	for i := range y {
		var sum float64
		for p := m.start[i]; p < m.start[i+1]; p++ {
			sum += m.val[p] * x[m.col[p]]
		}
		y[i] = sum
	}
}
