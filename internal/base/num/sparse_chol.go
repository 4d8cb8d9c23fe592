package num

import (
	"context"
	"fmt"
	"runtime"
	"slices"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"
)

// Cholesky is the factor of a symmetric positive definite sparse matrix, kept
// in dense fronts, one a piece of the elimination tree.
//
//	A = L·Lᵀ    multifrontal: each front eliminates its own unknowns and hands
//	            what is left to the front that follows
//
// Source: [duff1983].
type Cholesky struct {
	m      *Sparse
	fronts []front
	room   *gather
}

type front struct {
	unknowns    []int32 // those eliminated here first, then those that follow, in order of elimination
	pivots      int     // how many are eliminated here
	left, right int
	l           []float64 // len(unknowns) rows of pivots
	room        *gather   // of its thread, where one begins here
}

// Indefinite is the error of a matrix that is not positive definite: Unknown is
// the one whose pivot fell to nothing, for a structure the motion that nothing
// holds.
type Indefinite struct{ Unknown int }

func (e *Indefinite) Error() string {
	return fmt.Sprintf("the matrix is not positive definite (unknown %d)", e.Unknown)
}

// FactorSparse factors m, whose nodes lie at places: [NewCholesky] and
// [Cholesky.Factor] in one.
func FactorSparse(ctx context.Context, m *Sparse, places []r3.Vec) (*Cholesky, error) {
	c := NewCholesky(m, places)
	return c, c.Factor(ctx)
}

// NewCholesky finds the order in which m, whose nodes lie at places, is
// eliminated. The factor is worked out by [Cholesky.Factor], again whenever the
// numbers in m have changed.
func NewCholesky(m *Sparse, places []r3.Vec) *Cholesky {
	c := &Cholesky{m: m, room: newGather(m)}
	c.lay(dissect(places, m.near))
	return c
}

// Factor works the factor out from the numbers that the matrix holds now, on all
// cores there are. The result does not depend on their number. It returns
// [*Indefinite] where the matrix is not positive definite to rounding.
func (c *Cholesky) Factor(ctx context.Context) error {
	if len(c.fronts) == 0 {
		return nil
	}
	threads := 1
	if runtime.GOMAXPROCS(0) > 1 {
		threads = 4 // subtrees; a few more than cores, so that uneven ones even out
	}
	_, err := c.run(ctx, len(c.fronts)-1, threads, c.room)
	return err
}

// lay finds which unknowns take part in each front.
func (c *Cholesky) lay(pieces []piece) {
	order := make([]int32, len(c.m.near)) // of a node
	next := int32(0)
	for _, p := range pieces {
		for _, n := range p.nodes {
			order[n] = next
			next++
		}
	}
	rows := make([][]int32, len(pieces)) // nodes that follow
	seen := make([]int32, len(order))
	for i := range seen {
		seen[i] = -1
	}
	for i, p := range pieces {
		mark := int32(i)
		for _, n := range p.nodes {
			seen[n] = mark
		}
		var after []int32
		put := func(list []int32) {
			for _, n := range list {
				if seen[n] != mark && (len(p.nodes) == 0 || order[n] >= order[p.nodes[0]]) {
					seen[n] = mark
					after = append(after, n)
				}
			}
		}
		for _, n := range p.nodes {
			put(c.m.near[n])
		}
		for _, child := range []int{p.left, p.right} {
			if child >= 0 {
				put(rows[child])
			}
		}
		slices.SortFunc(after, func(a, b int32) int { return int(order[a] - order[b]) })
		rows[i] = after
		f := front{left: p.left, right: p.right}
		f.unknowns = c.unknowns(nil, p.nodes)
		f.pivots = len(f.unknowns)
		f.unknowns = c.unknowns(f.unknowns, after)
		c.fronts = append(c.fronts, f)
	}
}

func (c *Cholesky) unknowns(to, nodes []int32) []int32 {
	for _, n := range nodes {
		for u := c.m.First[n]; u < c.m.First[n+1]; u++ {
			to = append(to, u)
		}
	}
	return to
}

// gather is one thread's room: where an unknown lies in the front at hand, the
// front itself, and what earlier fronts left over and is used up.
type gather struct {
	local []int32
	dense []float64
	free  [][]float64
}

func newGather(m *Sparse) *gather { return &gather{local: make([]int32, m.Size())} }

// rest returns room for n numbers, which may hold anything.
func (g *gather) rest(n int) []float64 {
	for i := len(g.free) - 1; i >= 0; i-- {
		if list := g.free[i]; cap(list) >= n {
			g.free = slices.Delete(g.free, i, i+1)
			return list[:n]
		}
	}
	return make([]float64, n)
}

func (g *gather) giveBack(list []float64) {
	if cap(list) > 0 {
		g.free = append(g.free, list)
	}
}

// front returns room for n rows of n numbers, zero in the lower triangle.
func (g *gather) front(n int) []float64 {
	if cap(g.dense) < n*n {
		g.dense = make([]float64, n*n)
	}
	g.dense = g.dense[:n*n]
	for r := range n {
		clear(g.dense[r*n : r*n+r+1])
	}
	return g.dense
}

// run factors front i after its halves and returns what is left for the front
// that follows: a dense matrix over the unknowns behind the pivots.
func (c *Cholesky) run(ctx context.Context, i, threads int, g *gather) ([]float64, error) {
	f := &c.fronts[i]
	left, right, err := c.halves(ctx, f, threads, g)
	if err != nil {
		return nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	n, p := len(f.unknowns), f.pivots
	a := g.front(n)
	for k, u := range f.unknowns {
		g.local[u] = int32(k) + 1
	}
	floor := c.load(f, a, g)
	c.extend(f.left, left, a, n, g)
	c.extend(f.right, right, a, n, g)
	owner := g
	if f.room != nil {
		owner = f.room
	}
	owner.giveBack(left)
	g.giveBack(right)
	for _, u := range f.unknowns {
		g.local[u] = 0
	}
	if bad := eliminate(a, n, p, floor); bad >= 0 {
		return nil, &Indefinite{Unknown: int(f.unknowns[bad])}
	}
	if f.l == nil {
		f.l = make([]float64, n*p)
	}
	for r := range n {
		copy(f.l[r*p:(r+1)*p], a[r*n:r*n+p])
	}
	rest := n - p
	out := g.rest(rest * rest)
	for r := range rest {
		copy(out[r*rest:r*rest+r+1], a[(p+r)*n+p:(p+r)*n+p+r+1])
	}
	return out, nil
}

// halves runs the two fronts before f, side by side while threads are left.
func (c *Cholesky) halves(ctx context.Context, f *front, threads int, g *gather) (left, right []float64, err error) {
	var errLeft, errRight error
	if threads > 1 && f.left >= 0 && f.right >= 0 {
		var wait sync.WaitGroup
		if f.room == nil {
			f.room = newGather(c.m)
		}
		wait.Go(func() { left, errLeft = c.run(ctx, f.left, threads/2, f.room) })
		right, errRight = c.run(ctx, f.right, threads/2, g)
		wait.Wait()
	} else {
		if f.left >= 0 {
			left, errLeft = c.run(ctx, f.left, threads, g)
		}
		if f.right >= 0 && errLeft == nil {
			right, errRight = c.run(ctx, f.right, threads, g)
		}
	}
	if errLeft != nil {
		return nil, nil, errLeft
	}
	return left, right, errRight
}

// vanished is the share of its first value below which a pivot is rounding.
const vanished = 1e-13

// load puts the matrix's own entries into the front, lower triangle, and returns
// for each pivot the value below which it counts as nothing.
func (c *Cholesky) load(f *front, a []float64, g *gather) []float64 {
	n := len(f.unknowns)
	floor := make([]float64, f.pivots)
	for k, u := range f.unknowns[:f.pivots] {
		for p := c.m.start[u]; p < c.m.start[u+1]; p++ {
			r := int(g.local[c.m.col[p]]) - 1
			switch {
			case r == k:
				floor[k] = vanished * c.m.val[p]
				fallthrough
			case r > k:
				a[r*n+k] = c.m.val[p]
			}
		}
	}
	return floor
}

// extend adds what an earlier front left over.
func (c *Cholesky) extend(child int, rest, a []float64, n int, g *gather) {
	if child < 0 {
		return
	}
	f := &c.fronts[child]
	list := f.unknowns[f.pivots:]
	for i, u := range list {
		r := int(g.local[u]) - 1
		from := rest[i*len(list) : i*len(list)+i+1]
		to := a[r*n:]
		for j, v := range from {
			to[g.local[list[j]]-1] += v
		}
	}
}

// Solve returns x with A·x = b.
func (c *Cholesky) Solve(b []float64) []float64 {
	x := slices.Clone(b)
	var room []float64
	for i := range c.fronts {
		f := &c.fronts[i]
		p := f.pivots
		room = f.gather(x, room[:0])
		y := room[:p]
		for k := range p {
			row := f.l[k*p : k*p+k+1]
			y[k] = (y[k] - product(row[:k], y[:k])) / row[k]
			x[f.unknowns[k]] = y[k]
		}
		for k := p; k < len(f.unknowns); k++ {
			x[f.unknowns[k]] -= product(f.l[k*p:(k+1)*p], y)
		}
	}
	for i := len(c.fronts) - 1; i >= 0; i-- {
		f := &c.fronts[i]
		p := f.pivots
		room = f.gather(x, room[:0])
		y := room[:p]
		for k := len(f.unknowns) - 1; k >= 0; k-- {
			row := f.l[k*p : k*p+min(k+1, p)]
			if k < p {
				room[k] /= row[k]
				x[f.unknowns[k]] = room[k]
				row = row[:k]
			}
			s := room[k]
			for m, v := range row {
				y[m] -= v * s
			}
		}
	}
	return x
}

// gather appends the front's own share of x, so that its loops run over numbers
// that lie side by side.
func (f *front) gather(x, to []float64) []float64 {
	for _, u := range f.unknowns {
		to = append(to, x[u])
	}
	return to
}

// Entries returns how many numbers the factor holds.
func (c *Cholesky) Entries() int {
	var sum int
	for _, f := range c.fronts {
		sum += len(f.l)
	}
	return sum
}
