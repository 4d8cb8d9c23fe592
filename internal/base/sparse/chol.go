package sparse

import (
	"context"
	"fmt"
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
	m      *Matrix
	fronts []front
	wide   int // columns of the widest front
	trees  []tree
	top    []int // fronts that belong to no subtree

	room    *Room
	ready   bool // the fronts have their share of it
	threads int  // beside the first
}

// Indefinite is the error of a matrix that is not positive definite: Unknown is
// the one whose pivot fell to nothing, for a structure the motion that nothing
// holds.
type Indefinite struct{ Unknown int }

func (e *Indefinite) Error() string {
	return fmt.Sprintf("the matrix is not positive definite (unknown %d)", e.Unknown)
}

// Factor factors m, whose nodes lie at places: [NewCholesky] and
// [Cholesky.Factor] in one.
func Factor(ctx context.Context, m *Matrix, places []r3.Vec) (*Cholesky, error) {
	c := NewCholesky(m, places)
	return c, c.Factor(ctx)
}

// NewCholesky finds the order in which m, whose nodes lie at places, is
// eliminated. The factor is worked out by [Cholesky.Factor], again whenever the
// numbers in m have changed.
func NewCholesky(m *Matrix, places []r3.Vec) *Cholesky { return new(Room).NewCholesky(m, places) }

// NewCholesky is [NewCholesky] in a room, where the factor that was made there
// before is lost.
func (r *Room) NewCholesky(m *Matrix, places []r3.Vec) *Cholesky {
	c := &Cholesky{m: m, room: r}
	c.lay(dissect(places, m.near))
	if n := len(c.fronts); n > 0 {
		c.plant(n-1, 0, subtrees)
	}
	return c
}

// subtrees is the number of parts of the elimination tree that are worked on side
// by side: a few more than cores, so that uneven ones even out.
const subtrees = 4

// Factor works the factor out from the numbers that the matrix holds now, on all
// cores there are. The result does not depend on their number. It returns
// [*Indefinite] where the matrix is not positive definite to rounding.
func (c *Cholesky) Factor(ctx context.Context) error {
	if len(c.fronts) == 0 {
		return nil
	}
	c.makeRoom()
	_, err := c.run(ctx, len(c.fronts)-1, &c.room.spares[0])
	return err
}

// makeRoom gives each front its share of one list.
func (c *Cholesky) makeRoom() {
	if c.ready {
		return
	}
	c.ready = true
	l := c.room.list(c.Entries())
	for i := range c.fronts {
		n := c.fronts[i].entries()
		c.fronts[i].l, l = l[:n:n], l[n:]
	}
}

// lay finds which unknowns take part in each front and where its entries go.
func (c *Cholesky) lay(pieces []piece) {
	n := len(c.m.near)
	order, node := make([]int32, n), make([]int32, 0, n) // of a node, and back
	for _, p := range pieces {
		for _, v := range p.nodes {
			order[v] = int32(len(node))
			node = append(node, v)
		}
	}
	rows := make([][]int32, len(pieces)) // by piece: nodes that follow, by order
	seen := make([]int32, n)             // by order: 1 + the last piece that it was met in
	local := make([]int32, c.m.Size())   // of an unknown in the front at hand
	c.fronts = make([]front, len(pieces))
	first := int32(0) // order of the piece's first node
	for i, p := range pieces {
		end := first + int32(len(p.nodes))
		var after []int32
		put := func(o int32) {
			if o >= end && seen[o] != int32(i)+1 {
				seen[o] = int32(i) + 1
				after = append(after, o)
			}
		}
		for _, v := range p.nodes {
			for _, w := range c.m.near[v] {
				put(order[w])
			}
		}
		for _, child := range []int{p.left, p.right} {
			if child >= 0 {
				for _, o := range rows[child] {
					put(o)
				}
			}
		}
		slices.Sort(after)
		rows[i] = after
		c.layFront(&c.fronts[i], p, node[first:end], after, node, local)
		first = end
	}
}

// layFront lists the unknowns of a piece's own nodes and of those after, and
// looks up where the entries of both belong.
func (c *Cholesky) layFront(f *front, p piece, own, after, node, local []int32) {
	f.left, f.right = p.left, p.right
	f.unknowns = c.appendUnknowns(nil, own)
	f.pivots = len(f.unknowns)
	for _, o := range after {
		f.unknowns = c.appendUnknowns(f.unknowns, node[o:o+1])
	}
	c.wide = max(c.wide, f.width())
	for k, u := range f.unknowns {
		local[u] = int32(f.row(k)) + 1
	}
	for k, u := range f.unknowns[:f.pivots] {
		for p := c.m.start[u]; p < c.m.start[u+1]; p++ {
			if r := int(local[c.m.col[p]]) - 1; r >= k {
				f.own = append(f.own, slot{p, int32(f.at(r, k))})
			}
		}
	}
	for _, i := range []int{p.left, p.right} {
		if i >= 0 {
			child := &c.fronts[i]
			child.place = make([]int32, child.rest())
			for k, u := range child.unknowns[child.pivots:] {
				child.place[k] = local[u] - 1
			}
		}
	}
	for _, u := range f.unknowns {
		local[u] = 0
	}
}

func (c *Cholesky) appendUnknowns(to, nodes []int32) []int32 {
	for _, n := range nodes {
		for u := c.m.First[n]; u < c.m.First[n+1]; u++ {
			to = append(to, u)
		}
	}
	return to
}

// run factors front i after those before it and returns what is left for the
// front that follows.
func (c *Cholesky) run(ctx context.Context, i int, room *spare) ([]float64, error) {
	f := &c.fronts[i]
	left, right, err := c.before(ctx, f, room)
	if err != nil {
		return nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	floor := f.load(c.m.val)
	rest := room.take(triangle(padded(f.rest()) / lanes))
	if f.left >= 0 {
		f.extend(&c.fronts[f.left], left, rest)
		c.leftRoom(f, room).giveBack(left)
	}
	if f.right >= 0 {
		f.extend(&c.fronts[f.right], right, rest)
		room.giveBack(right)
	}
	if bad := f.eliminate(rest, floor); bad >= 0 {
		return nil, &Indefinite{Unknown: int(f.unknowns[bad])}
	}
	return rest, nil
}

// leftRoom is the room of what comes before f on the left: another thread's where
// one begins there.
func (c *Cholesky) leftRoom(f *front, room *spare) *spare {
	if f.thread > 0 {
		return &c.room.spares[f.thread]
	}
	return room
}

// before runs the two fronts before f, side by side where a thread begins.
func (c *Cholesky) before(ctx context.Context, f *front, room *spare) (left, right []float64, err error) {
	var errLeft, errRight error
	if f.thread > 0 {
		var wait sync.WaitGroup
		wait.Go(func() { left, errLeft = c.run(ctx, f.left, c.leftRoom(f, room)) })
		right, errRight = c.run(ctx, f.right, room)
		wait.Wait()
	} else {
		if f.left >= 0 {
			left, errLeft = c.run(ctx, f.left, room)
		}
		if f.right >= 0 && errLeft == nil {
			right, errRight = c.run(ctx, f.right, room)
		}
	}
	if errLeft != nil {
		return nil, nil, errLeft
	}
	return left, right, errRight
}

// vanished is the share of its first value below which a pivot is rounding.
const vanished = 1e-13

// Solve returns x with A·x = b, on all cores there are; the result does not depend
// on their number.
func (c *Cholesky) Solve(b []float64) []float64 {
	x := slices.Clone(b)
	if len(c.fronts) == 0 {
		return x
	}
	// what each subtree takes out of the unknowns behind it
	more, done := c.room.zeros(len(c.trees)+1, len(x))
	defer done()
	top := more[len(c.trees)]
	y := make([]float64, c.wide)
	c.eachTree(func(i int) {
		y := make([]float64, c.wide)
		for k := c.trees[i].first; k <= c.trees[i].last; k++ {
			c.fronts[k].forward(x, more[i], y)
		}
	})
	for i, t := range c.trees {
		f := &c.fronts[t.last]
		for _, u := range f.unknowns[f.pivots:] {
			top[u] += more[i][u]
		}
	}
	for _, k := range c.top {
		c.fronts[k].forward(x, top, y)
	}
	for _, k := range slices.Backward(c.top) {
		c.fronts[k].backward(x, y)
	}
	c.eachTree(func(i int) {
		y := make([]float64, c.wide)
		for k := c.trees[i].last; k >= c.trees[i].first; k-- {
			c.fronts[k].backward(x, y)
		}
	})
	return x
}

// tree is a subtree of the elimination: the fronts from first to last.
type tree struct{ first, last int }

// plant finds up to so many subtrees of front i, which ends the fronts from first
// on, that are worked on side by side, and the fronts above them.
func (c *Cholesky) plant(i, first, most int) {
	f := &c.fronts[i]
	if most < 2 || f.left < 0 || f.right < 0 {
		c.trees = append(c.trees, tree{first, i})
		return
	}
	c.threads++
	f.thread = c.threads
	c.plant(f.left, first, most/2)
	c.plant(f.right, f.left+1, most/2)
	c.top = append(c.top, i)
}

// eachTree calls do for each subtree, side by side.
func (c *Cholesky) eachTree(do func(i int)) {
	var wait sync.WaitGroup
	for i := range c.trees {
		wait.Go(func() { do(i) })
	}
	wait.Wait()
}

// Entries returns how many numbers the factor holds.
func (c *Cholesky) Entries() int {
	var sum int
	for _, f := range c.fronts {
		sum += f.entries()
	}
	return sum
}
