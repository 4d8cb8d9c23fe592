package num

import (
	"math"

	"laywright/internal/base/fault"
)

// Banded is a square matrix whose entries lie within lower rows below and upper
// rows above the diagonal. Rows are kept with room for the fill-in of pivoting.
type Banded struct {
	n, lower, upper int
	wide            int       // kept columns a row: 2·lower + upper + 1
	a               []float64 // row i holds columns i-lower .. i+lower+upper
	pivot           []int
}

// NewBanded returns a zero matrix of n rows. Half-widths beyond n-1 are cut to it.
func NewBanded(n, lower, upper int) *Banded {
	lower, upper = max(0, min(lower, n-1)), max(0, min(upper, n-1))
	wide := 2*lower + upper + 1
	return &Banded{n: n, lower: lower, upper: upper, wide: wide,
		a: make([]float64, n*wide), pivot: make([]int, n)}
}

// Clear sets every entry to 0, ready to be filled again.
func (m *Banded) Clear() { clear(m.a) }

// Set sets entry (i, j), which must lie in the band.
func (m *Banded) Set(i, j int, v float64) { m.a[i*m.wide+j-i+m.lower] = v }

// Add adds to entry (i, j), which must lie in the band.
func (m *Banded) Add(i, j int, v float64) { m.a[i*m.wide+j-i+m.lower] += v }

// At returns entry (i, j): 0 outside the band.
func (m *Banded) At(i, j int) float64 {
	if j < i-m.lower || j > i+m.upper || j < 0 || j >= m.n {
		return 0
	}
	return m.a[i*m.wide+j-i+m.lower]
}

// Factor replaces the matrix by its LU factors with row exchanges. A matrix
// that is singular to working precision is an error.
//
// The work is n·lower·(lower+upper). Source: [golub-vanloan], section 4.3.
func (m *Banded) Factor() error {
	reach := m.lower + m.upper
	for k := range m.n {
		best := k
		below := min(m.n-1, k+m.lower)
		for i := k + 1; i <= below; i++ {
			if math.Abs(m.entry(i, k)) > math.Abs(m.entry(best, k)) {
				best = i
			}
		}
		m.pivot[k] = best
		right := min(m.n-1, k+reach)
		if best != k {
			for j := k; j <= right; j++ {
				p, q := m.index(k, j), m.index(best, j)
				m.a[p], m.a[q] = m.a[q], m.a[p]
			}
		}
		d := m.entry(k, k)
		if d == 0 || d-d != 0 {
			return &fault.NoSolution{What: "a banded linear system", Steps: k, Residual: math.Abs(d),
				Do: "the system is singular"}
		}
		m.eliminate(k, below, right)
	}
	return nil
}

func (m *Banded) index(i, j int) int     { return i*m.wide + j - i + m.lower }
func (m *Banded) entry(i, j int) float64 { return m.a[i*m.wide+j-i+m.lower] }
func (m *Banded) row(i, from, to int) []float64 {
	return m.a[m.index(i, from) : m.index(i, to)+1]
}

func (m *Banded) eliminate(k, below, right int) {
	d := m.entry(k, k)
	for i := k + 1; i <= below; i++ {
		p := m.index(i, k)
		f := m.a[p] / d
		m.a[p] = f
		if f == 0 || right == k {
			continue
		}
		top, low := m.row(k, k+1, right), m.row(i, k+1, right)
		for j, v := range top {
			low[j] -= f * v
		}
	}
}

// Solve replaces b by the solution of A·x = b. Factor must have gone before.
func (m *Banded) Solve(b []float64) {
	for k := range m.n {
		if p := m.pivot[k]; p != k {
			b[k], b[p] = b[p], b[k]
		}
		for i := k + 1; i <= min(m.n-1, k+m.lower); i++ {
			b[i] -= m.entry(i, k) * b[k]
		}
	}
	for k := m.n - 1; k >= 0; k-- {
		s := b[k]
		for j := k + 1; j <= min(m.n-1, k+m.lower+m.upper); j++ {
			s -= m.entry(k, j) * b[j]
		}
		b[k] = s / m.entry(k, k)
	}
}
