package slits

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
)

// Limits of mending by slits.
const (
	mostSlits  = 12
	mostRounds = 14
	// byTip is how near to the tip of a slit, as a share of the part's diagonal,
	// a locked place must come for the slit to be lengthened rather than
	// another one planned.
	byTip = 0.03
	// lengthen is by how much of the root of the area that locks at its tip a
	// slit is lengthened; what is too much is taken off later.
	lengthen = 0.8
	// leastStep is the least such step, as a share of the root of the part's area.
	leastStep = 0.1
	// A round must cost less than worthWhile of the best before; after mostIdle
	// that do not, slits are added.
	worthWhile = 0.995
	mostIdle   = 2
)

// mended leads slits over what locks beside them, lengthens those whose tips lock
// and adds others where cloth locks elsewhere, round by round; where that brings no
// more it adds slits beside those that are there. It returns the best layout met.
func (w *planner) mended(l *layout, rounds int) (*layout, error) {
	best, idle, add := l, 0, false
	for range rounds {
		if w.tired() {
			break
		}
		m := mending{planner: w, l: l, add: add}
		if !m.find() {
			if add || best.trouble == 0 {
				break
			}
			l, add = best, true
			continue
		}
		next, err := w.lay(m.all[:len(l.cuts)], m.all[len(l.cuts):])
		if err != nil {
			return nil, err
		}
		switch l = next; {
		case l.cost < worthWhile*best.cost:
			best, idle, add = l, 0, false
		case add:
			return best, nil
		default:
			if idle++; idle == mostIdle {
				l, add = best, true
			}
		}
	}
	return best, nil
}

// mending is one round.
type mending struct {
	*planner
	l       *layout
	add     bool    // slits beside slits too
	all     []route // cuts and slits as they are to be
	done    map[int]bool
	changed bool
}

// find changes routes for each locked place; false where there is nothing to do.
func (m *mending) find() bool {
	m.all, m.done = m.l.routes(), map[int]bool{}
	for i, b := range m.l.beds {
		if b == nil {
			continue
		}
		places := b.lobes(m.k.Limit, m.k.Trifle)
		beside := map[int]int{} // how many places lie at each slit
		for _, at := range places {
			n, _ := b.closestSlit(at)
			beside[n]++
		}
		c := newCountry(m.l.ready[i], m.k)
		for _, at := range places {
			n, tip := b.closestSlit(at)
			m.mend(b, c, at, n, tip || beside[n] > 1)
		}
	}
	return m.changed
}

// mend changes the route of the slit that a locked place lies at, or adds one for
// it. A slit that is moved off its best line goes back by half. Where cloth locks
// since the surface opens, another slit only makes the flat piece lie over itself,
// and is the last thing that is tried.
func (m *mending) mend(b *Bed, c *country, at Place, n int, tip bool) {
	switch {
	case n >= 0 && m.done[n]:
	case n >= 0 && !tip && m.all[n].by != 0:
		if m.all[n].by /= 2; math.Abs(m.all[n].by) < m.p.Top.Mesh.MeanEdge() {
			m.all[n].by = 0
		}
		m.changed, m.done[n] = true, true
	case n >= 0 && !m.all[n].rims && !m.add:
		if r, ok := m.p.better(m.all[n], b, at, tip); ok {
			m.all[n], m.changed, m.done[n] = r, true, true
		}
	case n < 0 && !m.add && !m.k.Film && m.deepen(b, at):
	case (m.closesIn(b, at) || m.add && !m.k.Film) && len(m.all) < len(m.l.cuts)+mostSlits:
		for i, r := range m.p.routesFrom(c, hotspot{at: b.middle(at, c.rim)}, nil) {
			if i == 0 {
				r = m.p.notShort(r)
			}
			r.by, r.late = m.k.By, len(m.l.slits) > 0
			m.all, m.changed = append(m.all, r), true
		}
	}
}

// lobeShare is how far between the limit and the worst shear the places are told
// apart that grow together at the limit.
const lobeShare = 0.4

// lobes returns the places that matter, each about a worst place of its own.
func (b *Bed) lobes(limit, trifle float64) []Place {
	places := b.Locked(limit, trifle)
	if len(places) == 0 {
		return nil
	}
	lobes := b.Locked(limit+lobeShare*(places[0].Worst-limit), trifle)
	if len(lobes) < len(places) {
		return places
	}
	return lobes
}

// closesIn tells whether cloth locks at a place since the surface closes in
// there, which a slit lets out: shear has the sign of the curvature in the
// quadrants where u and v are of one sign, and the other sign in the other two. A film
// is pressed together there.
func (w *planner) closesIn(b *Bed, at Place) bool {
	if w.k.Film {
		return b.Shear[at.At] > 0
	}
	q := b.Flat[at.At]
	return b.Shear[at.At]*q.X*q.Y > 0
}

// closestSlit returns the route of the slit that a locked place lies at, and
// whether it is at its tip; -1 where it is at none.
func (b *Bed) closestSlit(at Place) (route int, tip bool) {
	m := b.Top.Mesh
	reach := max(byTip*m.Diagonal(), 4*m.MeanEdge())
	near := func(u int32) float64 {
		best := math.Inf(1)
		for _, v := range at.All {
			best = min(best, r3.Norm2(r3.Sub(m.Vertices[u], m.Vertices[v])))
		}
		return math.Sqrt(best)
	}
	route, best := -1, reach
	for _, s := range b.Slits {
		for _, side := range [2][]int32{s.Left, s.Right} {
			for i, u := range side {
				if d := near(u); d < best {
					best, route, tip = d, s.Route, s.Tip() && (i == 0 || cut.Length(m, u, side[0]) < reach)
				}
			}
		}
	}
	return route, tip
}

// middle returns the vertex of a locked place nearest to its middle, weighed by
// shear, and off the rim if that is given.
func (b *Bed) middle(at Place, rim []bool) int32 {
	m := b.Top.Mesh
	var sum r3.Vec
	var weight float64
	for _, v := range at.All {
		w := b.Areas[v] * math.Abs(b.Shear[v])
		sum, weight = r3.Add(sum, r3.Scale(w, m.Vertices[v])), weight+w
	}
	sum = r3.Scale(1/weight, sum)
	best, out := math.Inf(1), int32(at.At)
	try := func(v int32) {
		if d := r3.Norm2(r3.Sub(m.Vertices[v], sum)); d < best-1e-15 && b.From[v] >= 0 && (rim == nil || !rim[v]) {
			best, out = d, v
		}
	}
	for _, v := range at.All {
		try(v)
		for _, e := range b.Top.VertexEdges(int(v)) {
			try(int32(b.Top.Other(int(e), int(v))))
		}
	}
	return out
}

// shortSlit is the length, as a share of the root of the part's area, below which
// no new slit is tried: it would let out next to nothing. It is shortened later if
// less will do.
const shortSlit = 0.12

// notShort returns a slit with its tip moved on if it is short.
func (p *Part) notShort(r route) route {
	var long float64
	for i := 1; i < len(r.way); i++ {
		long += cut.Length(p.Top.Mesh, r.way[i-1], r.way[i])
	}
	if more := shortSlit*math.Sqrt(p.Area) - long; more > 0 {
		if longer, ok := p.lengthened(r, more); ok {
			return longer
		}
	}
	return r
}

// better returns a slit led over a locked place beside it, or moved on at its tip.
// Where the slit turns in a hollow and cloth locks beside it, more of the hollow is
// left on that side than on the other: the turn is moved over there.
func (p *Part) better(r route, b *Bed, at Place, tip bool) (route, bool) {
	if !tip {
		if out, ok := p.overHollow(r, b.awayFromCuts(at)); ok {
			return out, true
		}
	}
	if v := b.From[b.middle(at, nil)]; !tip && r.by == 0 && v >= 0 {
		if out, ok := p.ledTo(r, v); ok {
			return out, true
		}
	}
	return p.lengthened(r, max(1.5*p.Top.Mesh.MeanEdge(), lengthen*math.Sqrt(at.Area), leastStep*math.Sqrt(p.Area)))
}

// awayFromCuts is the direction to a place from the nearest side of a cut.
func (b *Bed) awayFromCuts(at Place) (out r3.Vec) {
	m := b.Top.Mesh
	var middle r3.Vec
	for _, v := range at.All {
		middle = r3.Add(middle, r3.Scale(1/float64(len(at.All)), m.Vertices[v]))
	}
	best := math.Inf(1)
	for _, s := range b.Slits {
		for _, side := range [2][]int32{s.Left, s.Right} {
			for _, v := range side {
				if d := r3.Sub(middle, m.Vertices[v]); r3.Norm(d) < best {
					best, out = r3.Norm(d), d
				}
			}
		}
	}
	return out
}

// hollowStep is how far the turn of a slit in a hollow is moved at a time, in mean
// sides.
const hollowStep = 1.5

// overHollow returns a slit whose turn in a hollow is moved in a direction.
func (p *Part) overHollow(r route, d r3.Vec) (route, bool) {
	turn := -1
	for i, v := range r.way {
		if i > 0 && r.pinned(v) {
			turn = i
		}
	}
	if turn < 0 {
		return r, false
	}
	m, step := p.Top.Mesh, hollowStep*p.Top.Mesh.MeanEdge()
	at := m.Vertices[r.way[turn]]
	if r3.Norm(d) == 0 {
		return r, false
	}
	to := m.NearestVertex(r3.Add(at, r3.Scale(step/r3.Norm(d), d)), func(v int) bool { return !p.rim[v] })
	on := cut.RoadsOn(p.Top, []int32{to}, cut.Terms{Ends: func(u int32) bool { return p.rim[u] }})
	best, end := math.Inf(1), int32(-1)
	for u, is := range p.rim {
		if is && on.Far[u] < best {
			best, end = on.Far[u], int32(u)
		}
	}
	if to == r.way[turn] || slices.Contains(r.way[:turn], to) || end < 0 {
		return r, false
	}
	pins := slices.Clone(r.pins)
	pins[slices.Index(pins, r.way[turn])] = to
	r.way, r.pins = append(slices.Clone(r.way[:turn]), on.To(end)...), pins
	r.way = p.pulled(r)
	return r, true
}

// ledTo returns a slit that leaves where the rim is nearest to a vertex beside it.
func (p *Part) ledTo(r route, v int32) (route, bool) {
	out := cut.RoadsOn(p.Top, []int32{v}, cut.Terms{Ends: func(u int32) bool { return p.rim[u] }})
	best, end := math.Inf(1), int32(-1)
	for u, is := range p.rim {
		if is && out.Far[u] < best {
			best, end = out.Far[u], int32(u)
		}
	}
	return p.ledOutAt(r, end)
}

// lengthened returns a route with its tip moved on straight ahead: to the vertex
// about that far from the tip to which the way from the rest of the route through
// the tip is hardly a detour.
func (p *Part) lengthened(r route, by float64) (route, bool) {
	here, behind := cut.RoadsFrom(p.Top, r.way[0]), cut.RoadsFrom(p.Top, r.way[1])
	best, v := math.Inf(1), int32(-1)
	for u, d := range here.Far {
		miss, bent := math.Abs(d-by), behind.Far[r.way[0]]+d-behind.Far[u]
		if score := miss/2 + 6*bent; miss < by/2 && !p.rim[u] && score < best-1e-9 {
			best, v = score, int32(u)
		}
	}
	if v < 0 || slices.Contains(r.way, v) {
		return r, false
	}
	out := r
	out.way = append([]int32{v}, r.way...)
	out.way = p.pulled(out)
	return out, true
}
