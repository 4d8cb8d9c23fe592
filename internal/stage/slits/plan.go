package slits

import (
	"context"
	"fmt"
	"math"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
)

// planKey names asks that are cut along the same best lines.
type planKey struct {
	angle, locking, limit, width float64
	opposite                     bool
	keepOff                      string
}

// onePlan is the best lines for one key, once they are found.
type onePlan struct {
	lock  sync.Mutex
	found bool
	lines [2]lines
}

// lines are the cuts of a layout by themselves.
type lines struct {
	cuts, slits []route
	middles     []r3.Vec // where their pieces are laid down
	cost        float64
}

// planned returns the best lines for an ask, in the part's own numbers: found on
// the part's model, once for all plies that are cut alike. The second are the best
// that do not part the ply, for where the first do not hold what the model promises.
func (p *Part) planned(ctx context.Context, k Ask, whole *Bed) (best, unparted lines, err error) {
	by := k.By
	key := planKey{k.Angle, k.Locking, k.Limit, k.Width, k.Opposite, fmt.Sprint(k.KeepOff)}
	p.shared.lock.Lock()
	one := p.shared.plans[key]
	if one == nil {
		one = &onePlan{}
		p.shared.plans[key] = one
	}
	m := *p.modelled()
	p.shared.lock.Unlock()
	one.lock.Lock()
	defer one.lock.Unlock()
	if !one.found {
		k.By, k.RightOver = 0, false
		if m.vertex == nil {
			m.Part = *p
		} else {
			whole = nil
			hit, _ := m.Locator.Closest(p.Top.Mesh.At(p.Seed))
			m.Seed, m.Fixed, m.Warp, m.Normal, m.Along = hit.Point, p.Fixed, p.Warp, p.Normal, p.Along
			k.Limit *= coarseMargin
		}
		w := &planner{ctx: ctx, p: &m.Part, k: k, known: map[uint64]*Bed{}}
		l, err := w.search(whole)
		if err != nil {
			return best, unparted, err
		}
		one.lines[0] = m.linesOf(p, l)
		if w.unparted != nil {
			one.lines[1] = m.linesOf(p, w.unparted)
		}
		one.found = true
	}
	return one.lines[0].moved(by), one.lines[1].moved(by), nil
}

// worthOpposite is how many slits more a tube may take to be opened on the other side
// than the ply before.
const worthOpposite = 2

// opened is [Part.planned], for a tube on the side asked for if that costs little.
func (p *Part) opened(ctx context.Context, k Ask, whole *Bed) (best, unparted lines, err error) {
	if best, unparted, err = p.planned(ctx, k, whole); err != nil || !k.Opposite {
		return best, unparted, err
	}
	k.Opposite = false
	usual, other, err := p.planned(ctx, k, whole)
	if err == nil && usual.cost+worthOpposite < best.cost {
		return usual, other, nil
	}
	return best, unparted, err
}

// count is how many cuts there are.
func (l lines) count() int { return len(l.cuts) + len(l.slits) }

// coarseMargin is kept below the limit on a model, which shows shear less well.
const coarseMargin = 0.985

// moved returns the lines as they are to be moved to the left.
func (l lines) moved(by float64) lines {
	out := lines{copied(l.cuts), copied(l.slits), l.middles, l.cost}
	for _, list := range [][]route{out.cuts, out.slits} {
		for i := range list {
			list[i].by = by
		}
	}
	return out
}

func copied(routes []route) []route { return append([]route(nil), routes...) }

// linesOf returns the cuts of a layout on the model as they are on the part.
func (m *model) linesOf(p *Part, l *layout) lines {
	out := lines{cuts: m.onPart(l.cuts), slits: m.onPart(l.slits), cost: l.cost}
	for i, s := range l.seats {
		hit, _ := p.Locator.Closest(l.ready[i].Top.Mesh.At(s.seed))
		out.middles = append(out.middles, p.Top.Mesh.At(hit.Point))
	}
	return out
}

// onPart puts routes into the part's numbers.
func (m *model) onPart(routes []route) []route {
	out := copied(routes)
	if m.vertex == nil {
		return out
	}
	number := func(list []int32) []int32 {
		var on []int32
		for _, v := range list {
			on = append(on, m.vertex[v])
		}
		return on
	}
	for i := range out {
		out[i].way, out[i].pins = number(out[i].way), number(out[i].pins)
	}
	return out
}

// mostPieces is how many pieces one part of a ply is parted into at the most.
const mostPieces = 6

// manyCuts is the number of slits from which on a ply in two pieces is tried
// although it lies in one.
const manyCuts = 5

// search finds the cuts that cost least, in steps that are few enough to wait for:
// openings of tubes and slits where curvature is gathered; slits lengthened and
// added; then, as long as that does not do, the worst piece parted in two along
// the best of some lines, and again.
func (w *planner) search(whole *Bed) (*layout, error) {
	if whole != nil {
		if !w.faulty(whole) {
			return &layout{beds: []*Bed{whole}, ready: []*cut.Ground{whole.Ground}}, nil
		}
		s := w.p.ownSeat(whole.Ground)
		w.known[fingerprint(whole.Ground, s)] = whole
	}
	cuts := w.openings()
	first, err := w.lay(cuts, w.spotSlits(cuts, nil))
	if err != nil {
		return nil, err
	}
	if len(cuts) > 0 && w.worst(first) >= 0 { // a ring may lie better closed, if a yarn from the seed spans it
		closed, err := w.lay(nil, w.spotSlits(nil, nil))
		if err != nil {
			return nil, err
		}
		if closed.cost < first.cost {
			first = closed
		}
	}
	best, err := w.mended(first, mostRounds)
	if err != nil {
		return nil, err
	}
	w.unparted = best
	if best, err = w.partedOn(best); err != nil {
		return nil, err
	}
	if w.worst(best) < 0 && len(best.ready) == 1 && len(best.slits) >= manyCuts {
		other, err := w.parted(best, 0)
		if err != nil {
			return nil, err
		}
		if other != nil {
			if other, err = w.mended(other, mostRounds); err != nil {
				return nil, err
			}
			if other, err = w.partedOn(other); err != nil {
				return nil, err
			}
			if other.cost < best.cost {
				best = other
			}
		}
	}
	return w.shortened(best)
}

// muchTrouble is the trouble from which on parting is tried: a thousandth of the
// part locked. Less is left to slits.
const muchTrouble = lockCost / 1000

// partedOn parts the worst piece in two again and again, as long as that pays.
func (w *planner) partedOn(best *layout) (*layout, error) {
	for len(best.ready) < mostPieces && !w.tired() {
		i := w.worst(best)
		if i < 0 || best.trouble < muchTrouble {
			break
		}
		next, err := w.parted(best, i)
		if err != nil {
			return nil, err
		}
		if next == nil {
			break
		}
		if next, err = w.mended(next, mostRounds); err != nil {
			return nil, err
		}
		if next.cost >= best.cost {
			break
		}
		best = next
	}
	return best, nil
}

// openings returns the cuts from rim to rim that open tubes: from each hole whose
// filling would hold more curvature than cloth takes to another rim. What two
// holes hold together counts once they are joined. A tube is opened on the side far
// from the seed, or across from there.
func (w *planner) openings() []route {
	usual := w.openingsOff([]int32{w.p.Top.Mesh.Triangles[w.p.Seed.Face][0]}, awayFromSeed)
	if !w.k.Opposite || len(usual) == 0 {
		return usual
	}
	var lines []int32
	for _, r := range usual {
		path, _ := w.p.shared.tracer().Along(r.way)
		for _, s := range path {
			lines = append(lines, s.A)
		}
	}
	return w.openingsOff(lines, across)
}

// How much longer a step at the seed, or at the usual opening, counts than one far
// from it.
const (
	awayFromSeed = 1.5
	across       = 4
)

// openingsOff are the openings that keep off some places: there a step counts
// dearer times its length.
func (w *planner) openingsOff(places []int32, dearer float64) (out []route) {
	g := cut.Uncut(w.p.Top)
	far := cut.RoadsOn(w.p.Top, places, cut.Terms{}).Far
	most := 0.0
	for _, d := range far {
		if !math.IsInf(d, 1) {
			most = max(most, d)
		}
	}
	toll := func(u int32) float64 {
		if u < 0 || most == 0 {
			return 1
		}
		return 1 + (dearer-1)*(1-far[u]/most)
	}
	for range mostSlits {
		var at *hole
		holes := holesOf(g.Top)
		for i := range holes {
			if h := &holes[i]; math.Abs(h.curvature) >= w.k.Limit && (at == nil || math.Abs(h.curvature) > math.Abs(at.curvature)) {
				at = h
			}
		}
		if at == nil {
			return out
		}
		r, ok := w.opening(g, *at, toll)
		if !ok {
			return out
		}
		wider, ok := w.p.openOne(g, r.way, len(out), true)
		if !ok {
			return out
		}
		g, out = wider, append(out, r)
	}
	return out
}

// opening returns the shortest cut from a hole to another rim.
func (w *planner) opening(g *cut.Ground, h hole, toll func(u int32) float64) (route, bool) {
	rim := g.Top.RimVertices()
	own := make([]bool, len(rim))
	var from []int32
	for _, v := range h.loop {
		own[v] = true
		from = append(from, v)
	}
	t := cut.Terms{Ends: func(v int32) bool { return rim[v] }, Toll: func(v int32) float64 {
		return w.k.toll(g.Top.Mesh.Vertices[v]) * toll(g.From[v])
	}}
	r := cut.RoadsOn(g.Top, from, t)
	best, end := math.Inf(1), int32(-1)
	for v, is := range rim {
		if is && !own[v] && g.From[v] >= 0 && r.Far[v] < best {
			best, end = r.Far[v], int32(v)
		}
	}
	if end < 0 {
		return route{}, false
	}
	out := route{rims: true}
	for _, v := range r.To(end) {
		if g.From[v] >= 0 {
			out.way = append(out.way, g.From[v])
		}
	}
	out.way = w.p.pulled(out)
	return out, len(out.way) > 1
}

// spotSlits returns a slit for each place that gathers more curvature than cloth
// takes, on the pieces that the cuts leave. keep are slits that stay; only pieces
// that pass get others.
func (w *planner) spotSlits(cuts []route, pass func(g *cut.Ground) bool) (out []route) {
	g, _ := w.p.open(cuts)
	for _, piece := range g.Pieces() {
		if pass != nil && !pass(piece) {
			continue
		}
		spots := spotsOf(piece.Top, w.k.Limit)
		var hollows []hotspot
		for _, h := range spots {
			if h.curvature < 0 {
				hollows = append(hollows, h)
			}
		}
		c := newCountry(piece, w.k)
		for _, h := range spots {
			if h.curvature > 0 && len(out) < mostSlits {
				out = append(out, w.p.routesFrom(c, h, hollows)...)
			}
		}
	}
	return out
}
