package slits

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/mesh"
)

// Limits of the search for lines that part a piece.
const (
	gates     = 36  // places on the rim between which lines are tried
	halfShare = 0.3 // of the rim that an even line leaves on either side, at least
	someShare = 0.2 // of the rim that any line leaves
	straight  = 0.8 // the way between the ends of a line through a place, against the line's own length, at least
)

// parted returns the best layout in which piece i is in two: of some lines that
// which costs least once both halves are laid. nil where there is none.
func (w *planner) parted(l *layout, i int) (*layout, error) {
	keep, g := w.without(l, i)
	var best *layout
	for _, way := range w.lines(g, l.beds[i]) {
		if w.tired() {
			break
		}
		cuts := append(copied(l.cuts), way...)
		inside := func(piece *cut.Ground) bool { return within(piece, g) }
		next, err := w.lay(cuts, append(copied(keep), w.spotSlits(cuts, inside)...))
		if err != nil {
			return nil, err
		}
		if len(next.ready) > len(l.ready) && (best == nil || next.cost < best.cost) {
			best = next
		}
	}
	return best, nil
}

// without returns the slits that do not lie in piece i, and that piece without
// its slits.
func (w *planner) without(l *layout, i int) (keep []route, piece *cut.Ground) {
	inside := map[int]bool{}
	for _, s := range l.ready[i].Slits {
		inside[s.Route] = true
	}
	for n, r := range l.slits {
		if !inside[len(l.cuts)+n] {
			keep = append(keep, r)
		}
	}
	g, _ := w.p.open(append(copied(l.cuts), keep...))
	at := l.ready[i].Top.Mesh.Centroid(0)
	best := math.Inf(1)
	for _, other := range g.Pieces() {
		if hit, ok := mesh.NewLocator(other.Top.Mesh).Closest(at); ok && hit.Distance < best-1e-12 {
			best, piece = hit.Distance, other
		}
	}
	return keep, piece
}

// within tells whether a piece is a part of another: most of its vertices are.
func within(piece, of *cut.Ground) bool {
	has := map[int32]bool{}
	for _, v := range of.From {
		has[v] = true
	}
	count, all := 0, 0
	for _, v := range piece.From {
		if v >= 0 {
			all++
			if has[v] {
				count++
			}
		}
	}
	return 2*count > all
}

// gate is a place on the outer rim.
type gate struct {
	v     int32
	arc   float64 // as a share of the rim
	roads cut.Roads
}

// lines returns lines from rim to rim that part a piece, each as one cut, or as
// several where it runs through holes:
//
//   - the shortest that leaves a fair share of the rim on either side;
//   - the shortest across that one;
//   - the shortest through the place where cloth is worst off;
//   - for a piece too wide for the roll, one along the warp.
func (w *planner) lines(g *cut.Ground, b *Bed) (out [][]route) {
	c := newCountry(g, w.k)
	doors := c.gates()
	add := func(way []int32) {
		var cuts []route
		for _, leg := range c.legs(way) {
			r := route{way: leg, rims: true}
			r.way = w.p.pulled(r)
			cuts = append(cuts, r)
		}
		if len(cuts) > 0 {
			out = append(out, cuts)
		}
	}
	first := shortest(doors, func(i, j int) float64 { return doors[i].way(doors[j]) }, halfShare)
	if first[0] < 0 {
		return nil
	}
	add(doors[first[0]].roads.To(doors[first[1]].v))
	a, z := doors[first[0]].arc, doors[first[1]].arc
	across := shortest(doors, func(i, j int) float64 {
		x, y := doors[i].arc, doors[j].arc
		if (x > a && x < z) == (y > a && y < z) || min(apart(x, a), apart(x, z), apart(y, a), apart(y, z)) < someShare/2 {
			return math.Inf(1)
		}
		return doors[i].way(doors[j])
	}, halfShare)
	if across[0] >= 0 {
		add(doors[across[0]].roads.To(doors[across[1]].v))
	}
	if b == nil {
		return out
	}
	if way := c.through(doors, w.worstPlace(b, g)); way != nil {
		add(way)
	}
	if w.k.Width > 0 && b.wide() > w.k.Width {
		if way := c.alongWarp(doors, levelOf(b, w.k.Width)); way != nil {
			add(way)
		}
	}
	return out
}

// way is the length of the road between two gates.
func (d gate) way(e gate) float64 { return d.roads.Far[e.v] }

// apart is how far two places on the rim are from each other along it, as a share
// of it.
func apart(a, b float64) float64 {
	d := math.Abs(a - b)
	return min(d, 1-d)
}

// shortest returns the pair of gates, at least a share of the rim apart, of least
// length; -1 where there is none.
func shortest(doors []gate, long func(i, j int) float64, share float64) [2]int {
	best, out := math.Inf(1), [2]int{-1, -1}
	for i := range doors {
		for j := range i {
			if d := apart(doors[i].arc, doors[j].arc); d >= share {
				if x := long(j, i); x < best-1e-9 {
					best, out = x, [2]int{j, i}
				}
			}
		}
	}
	return out
}

// gates returns places spread over the outer rim, with the roads from each.
func (c *country) gates() []gate {
	out := c.doors(1.0 / gates)
	for i := range out {
		out[i].roads = c.roads([]int32{out[i].v})
	}
	return out
}

// doors returns vertices of the outer rim at least a share of it apart from each other,
// without roads.
func (c *country) doors(room float64) (out []gate) {
	var loop []int32
	for _, half := range c.g.Top.RimLoops() {
		if line := c.g.Top.LoopVertices(half); c.outer[line[0]] {
			loop = line
		}
	}
	m := c.g.Top.Mesh
	arc := make([]float64, len(loop)+1)
	for i, v := range loop {
		arc[i+1] = arc[i] + cut.Length(m, v, loop[(i+1)%len(loop)])
	}
	whole := arc[len(loop)]
	for i, v := range loop {
		if n := len(out); c.g.From[v] >= 0 && (n == 0 || arc[i]/whole >= out[n-1].arc+room) {
			out = append(out, gate{v: v, arc: arc[i] / whole})
		}
	}
	return out
}

// worstPlace is the vertex of a piece nearest to where its bed is worst off: at
// its most sheared place, or in the middle of its longest way.
func (w *planner) worstPlace(b *Bed, g *cut.Ground) int32 {
	at := r3.Vec{}
	if places := b.Locked(w.k.Limit, w.k.Trifle); len(places) > 0 {
		largest := slices.MaxFunc(places, func(a, b Place) int {
			if a.Area < b.Area {
				return -1
			}
			return 1
		})
		at = b.Top.Mesh.Vertices[largest.At]
	} else {
		at = b.SeedAt
	}
	rim := g.Top.RimVertices()
	return g.Top.Mesh.NearestVertex(at, func(v int) bool { return !rim[v] && g.From[v] >= 0 })
}

// through returns the shortest line between two gates through a vertex that does
// not turn back there.
func (c *country) through(doors []gate, v int32) []int32 {
	if v < 0 {
		return nil
	}
	r := c.roads([]int32{v})
	pair := shortest(doors, func(i, j int) float64 {
		d := r.Far[doors[i].v] + r.Far[doors[j].v]
		if doors[i].way(doors[j]) < straight*d {
			return math.Inf(1)
		}
		return d
	}, someShare)
	if pair[0] < 0 {
		return nil
	}
	a, b := r.To(doors[pair[0]].v), r.To(doors[pair[1]].v)
	slices.Reverse(a)
	return append(a, b[1:]...)
}

// offLevel is how much a step off the line along the warp counts against its
// length, for each tenth of the width that it is off.
const offLevel = 3

// level is the line along the warp of a bed that parts it into strips of even width,
// nearest to the middle.
type level struct {
	*Bed
	at, tall float64       // across the warp: where it runs, and the bed's width, m
	place    map[int32]int // on the bed, by the part's number
}

// levelOf returns the line that leaves strips that a width gives.
func levelOf(b *Bed, width float64) level {
	l := level{Bed: b, place: map[int32]int{}}
	lo, hi := math.Inf(1), math.Inf(-1)
	for v, q := range b.Flat {
		lo, hi = min(lo, q.Y), max(hi, q.Y)
		if u := b.From[v]; u >= 0 {
			l.place[u] = v
		}
	}
	l.tall = hi - lo
	strips := math.Ceil(l.tall / width)
	l.at = lo + l.tall*math.Floor(strips/2)/strips
	return l
}

// off is how far from the line a vertex of the part lies; far for one that the bed lacks.
func (l level) off(v int32) float64 {
	i, ok := l.place[v]
	if !ok {
		return l.tall / 10
	}
	return math.Abs(l.Flat[i].Y - l.at)
}

// alongWarp returns the way along a level between the two of some gates that lie best for
// it.
func (c *country) alongWarp(doors []gate, l level) []int32 {
	pair := shortest(doors, func(i, j int) float64 {
		a, okA := l.place[c.g.From[doors[i].v]]
		z, okB := l.place[c.g.From[doors[j].v]]
		if !okA || !okB {
			return math.Inf(1)
		}
		return l.off(c.g.From[doors[i].v]) + l.off(c.g.From[doors[j].v]) - math.Abs(l.Flat[a].X-l.Flat[z].X)/2
	}, someShare)
	if pair[0] < 0 {
		return nil
	}
	t := cut.Terms{Ends: func(v int32) bool { return c.outer[v] },
		Toll: func(v int32) float64 { return 1 + 10*offLevel*l.off(c.g.From[v])/l.tall }}
	return cut.RoadsOn(c.g.Top, []int32{doors[pair[0]].v}, t).To(doors[pair[1]].v)
}
