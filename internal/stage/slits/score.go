package slits

import (
	"context"
	"encoding/binary"
	"errors"
	"hash/fnv"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/fault"
)

// What a layout of cuts costs, in slits. Cloth that locks or lies double weighs
// so much that cuts are always made for it; what is left decides between layouts
// that lie: few pieces, few cuts, short ones.
const (
	pieceCost  = 3.0   // of each piece after the first
	lengthCost = 1.0   // of cuts as long together as the root of the part's area
	lockCost   = 10000 // of the whole area locked; half where it is only tight beside a cut
	doubleCost = 600   // of the whole area double
	wideCost   = 30.0  // of a piece that is too wide for the roll, for each roll width beyond
	lostCost   = 200   // of a piece that can't be laid at all
)

// littleDouble is the share of the part that may lie double before a ply is
// parted for it; less is trimmed off one side of the cut.
const littleDouble = 3e-4

// layout is a set of cuts and the beds that come of it.
type layout struct {
	cuts  []route // from rim to rim: openings of tubes, and what parts the ply
	slits []route
	beds  []*Bed // nil for a piece that could not be laid
	seats []seat
	own   int           // the piece that holds the part's seed
	ready []*cut.Ground // the pieces
	cost  float64
	long  float64 // of all cuts together, m
	// trouble is the part of the cost for cloth that does not lie
	trouble float64
}

// count is how many cuts there are.
func (l *layout) count() int { return len(l.cuts) + len(l.slits) }

func (l *layout) routes() []route { return append(append([]route(nil), l.cuts...), l.slits...) }

// planner looks for the cuts of one kind of ply on one part or its model.
type planner struct {
	ctx   context.Context
	p     *Part
	k     Ask
	known map[uint64]*Bed // beds laid before, nil where that failed
	spent int             // steps of the solver, times vertices

	unparted *layout  // the best found in one piece
	longer   *layout  // the best found before slits were shortened
	middles  []r3.Vec // where pieces are laid down that have one of these places
}

func newPlanner(ctx context.Context, p *Part, k Ask) *planner {
	return &planner{ctx: ctx, p: p, k: k, known: map[uint64]*Bed{}}
}

// mostWork bounds a search for cuts, in steps of the solver times vertices: some
// dozen layings of a model that go well, fewer on ground on which cloth hardly
// comes to rest.
const mostWork = 1_000_000

// failedSteps is what a laying that fails counts for.
const failedSteps = 100

func (w *planner) tired() bool { return w.spent > mostWork }

// lay cuts a layout open and lays each piece.
func (w *planner) lay(cuts, slits []route) (*layout, error) {
	l := &layout{cuts: cuts, slits: slits}
	g, lost := w.p.open(l.routes())
	l.ready = g.Pieces()
	l.seats, l.own = w.p.seats(l.ready, w.middles)
	moved := slices.ContainsFunc(l.routes(), func(r route) bool { return r.by != 0 })
	for i, piece := range l.ready {
		b, err := w.bed(piece, l.seats[i], !moved)
		if err != nil {
			return nil, err
		}
		l.beds = append(l.beds, b)
	}
	l.cost = w.cost(l) + float64(len(lost))*1e-3
	return l, nil
}

// bedKey names a piece of a part and how it is laid.
type bedKey struct {
	piece          uint64
	angle, locking float64
	film           bool
}

// onceBed is a bed, once it is laid.
type onceBed struct {
	lock sync.Mutex
	done bool
	bed  *Bed
	err  error
}

// layOnce lays a piece, or waits until another ply that lies alike has.
func (w *planner) layOnce(g *cut.Ground, s seat, name uint64) (*Bed, error) {
	key := bedKey{name, w.k.Angle, w.k.Locking, w.k.Film}
	w.p.shared.lock.Lock()
	one := w.p.shared.beds[key]
	if one == nil {
		one = new(onceBed)
		w.p.shared.beds[key] = one
	}
	w.p.shared.lock.Unlock()
	one.lock.Lock()
	defer one.lock.Unlock()
	if !one.done {
		b, err := w.p.layFrom(w.ctx, g, w.k, s)
		one.bed, one.err, one.done = b.bare(), err, true
	}
	return one.bed.onGround(g), one.err
}

// bare returns a bed without its ground, which is large, and of which its slits may go
// by other numbers when it is come back to.
func (b *Bed) bare() *Bed { return b.onGround(nil) }

// onGround returns a bed on its ground as it is named now.
func (b *Bed) onGround(g *cut.Ground) *Bed {
	if b == nil {
		return nil
	}
	out := *b
	out.Ground = g
	return &out
}

// bed lays a piece, once; nil where the solver finds no way. It may be shared with
// other plies.
func (w *planner) bed(g *cut.Ground, s seat, share bool) (*Bed, error) {
	if err := w.ctx.Err(); err != nil {
		return nil, err
	}
	name := fingerprint(g, s)
	if b, ok := w.known[name]; ok {
		return b.onGround(g), nil
	}
	lay := func() (*Bed, error) { return w.p.layFrom(w.ctx, g, w.k, s) }
	if share {
		lay = func() (*Bed, error) { return w.layOnce(g, s, name) }
	}
	b, err := lay()
	var none *fault.NoSolution
	var refused *fault.Input
	switch {
	case w.ctx.Err() != nil:
		return nil, w.ctx.Err()
	case errors.As(err, &none), errors.As(err, &refused):
		b = nil
	case err != nil:
		return nil, err
	}
	w.known[name] = b.bare()
	steps := failedSteps
	if b != nil {
		steps = b.Steps
	}
	if n := len(g.Top.Mesh.Vertices); !share || w.k.By == 0 || n <= fewEnough { // else it is another ply's work
		w.spent += steps * n
	}
	return b, nil
}

// fingerprint names a piece by its triangles and where it is laid down.
func fingerprint(g *cut.Ground, s seat) uint64 {
	h := fnv.New64a()
	var room [8]byte
	add := func(x uint64) {
		binary.LittleEndian.PutUint64(room[:], x)
		h.Write(room[:])
	}
	for _, v := range g.Top.Mesh.Vertices {
		add(math.Float64bits(v.X))
		add(math.Float64bits(v.Y))
		add(math.Float64bits(v.Z))
	}
	for _, t := range g.Top.Mesh.Triangles {
		add(uint64(t[0])<<32 | uint64(t[1]))
		add(uint64(t[2]))
	}
	for _, x := range append(s.seed.Bary[:], s.warp.X, s.warp.Y, s.warp.Z) {
		add(math.Float64bits(x))
	}
	add(uint64(s.seed.Face))
	return h.Sum64()
}

// cost is what a layout costs, in slits.
func (w *planner) cost(l *layout) float64 {
	sum := pieceCost * float64(len(l.ready)-1)
	seen := map[int]bool{}
	for i, g := range l.ready {
		for _, s := range g.Slits {
			if s.Tip() && !seen[s.Route] {
				sum++
			} else if s.Left != nil && s.Right != nil && !seen[s.Route] {
				sum++ // it opens a tube, or runs to a hole
			}
			seen[s.Route] = true
			l.long += lengthOf(g, s)
		}
		l.trouble += w.trouble(l.beds[i])
	}
	return sum + l.trouble + lengthCost*l.long/math.Sqrt(w.p.Area)
}

// lengthOf is the length of a slit; of a seam between two pieces half belongs to
// each.
func lengthOf(g *cut.Ground, s cut.Slit) (sum float64) {
	for _, side := range [2][]int32{s.Left, s.Right} {
		for i := 1; i < len(side); i++ {
			sum += cut.Length(g.Top.Mesh, side[i-1], side[i]) / 2
		}
	}
	return sum
}

// trouble is what a bed costs for cloth that does not lie.
func (w *planner) trouble(b *Bed) float64 {
	if b == nil {
		return lostCost
	}
	var locked float64
	places, tight := b.LockedAndTight(w.k.Limit, w.k.Trifle)
	for _, p := range places {
		locked += p.Area
	}
	for _, p := range tight {
		locked += p.Area / 2
	}
	sum := lockCost*locked/w.p.Area + doubleCost*b.Doubled/w.p.Area
	if w.k.Width > 0 && b.wide() > w.k.Width {
		sum += wideCost * math.Ceil(b.wide()/w.k.Width-1)
	}
	return sum
}

// faulty tells whether a bed does not lie as it should.
func (w *planner) faulty(b *Bed) bool {
	return b == nil || len(b.Locked(w.k.Limit, w.k.Trifle)) > 0 || b.Doubled > littleDouble*w.p.Area ||
		w.k.Width > 0 && b.wide() > w.k.Width
}

// worst returns the piece with the most trouble; -1 where all lie.
func (w *planner) worst(l *layout) int {
	most, out := 0.0, -1
	for i, b := range l.beds {
		if t := w.trouble(b); w.faulty(b) && t > most {
			most, out = t, i
		}
	}
	return out
}
