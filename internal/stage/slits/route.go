package slits

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/mesh"
)

// route is where a cut is to run: vertices of the part, straight between them,
// from the tip to the rim, or from rim to rim.
type route struct {
	way  []int32
	pins []int32 // vertices of the way that can't be moved: the curvature let out sits there
	by   float64 // how far it is to be moved to its left, m
	rims bool    // it runs from rim to rim
	late bool    // other slits were there before it
	room float64 // how far a tip that is pinned may be drawn back: the radius of what gathers there, m
}

func (r route) pinned(v int32) bool { return slices.Contains(r.pins, v) }

// detour is how much longer a slit may get by running through a hollow corner on
// its way, which would else lock the cloth beside it.
const detour = 1.4

// country is a ground as roads over it see it.
type country struct {
	g     *cut.Ground
	rim   []bool
	outer []bool // on the outer rim
	holes []hole
	k     Ask
}

func newCountry(g *cut.Ground, k Ask) *country {
	c := &country{g: g, rim: g.Top.RimVertices(), holes: holesOf(g.Top), k: k}
	c.outer = slices.Clone(c.rim)
	for _, h := range c.holes {
		for _, v := range h.loop {
			c.outer[v] = false
		}
	}
	return c
}

// roads finds ways that end at the outer rim and may jump over holes.
func (c *country) roads(from []int32) cut.Roads {
	t := cut.Terms{Ends: func(v int32) bool { return c.outer[v] }}
	if len(c.k.KeepOff) > 0 {
		t.Toll = func(v int32) float64 { return c.k.toll(c.g.Top.Mesh.Vertices[v]) }
	}
	for _, h := range c.holes {
		t.Sets = append(t.Sets, h.loop)
	}
	return cut.RoadsOn(c.g.Top, from, t)
}

// exit returns the vertex of the outer rim to which the shortest road leads.
func (c *country) exit(r cut.Roads) (int32, float64) {
	best, at := math.Inf(1), int32(-1)
	for v, is := range c.outer {
		if d := r.Far[v]; is && c.g.From[v] >= 0 && d < best-1e-9 {
			best, at = d, int32(v)
		}
	}
	return at, best
}

// legs cuts a way over the ground where it jumps over a hole, and names its
// vertices by the part's numbers.
func (c *country) legs(way []int32) (out [][]int32) {
	in := map[int32]int{}
	for i, h := range c.holes {
		for _, v := range h.loop {
			in[v] = i + 1
		}
	}
	var leg []int32
	end := func() {
		if len(leg) > 1 {
			out = append(out, leg)
		}
		leg = nil
	}
	for i, v := range way {
		if i > 0 && in[v] > 0 && in[v] == in[way[i-1]] {
			end()
		}
		if c.g.From[v] >= 0 {
			leg = append(leg, c.g.From[v])
		}
	}
	end()
	return out
}

// routesFrom returns the cuts from a hot spot out to the rim; by way of holes
// there are several. Where the surface opens on the way, at the foot of a corner,
// it leads through there, since cloth would lock beside the cut else.
func (p *Part) routesFrom(c *country, from hotspot, hollows []hotspot) []route {
	if c.rim[from.at] || c.g.From[from.at] < 0 {
		return nil
	}
	here := c.roads([]int32{from.at})
	end, best := c.exit(here)
	if end < 0 {
		return nil
	}
	way := here.To(end)
	pins := []int32{}
	if from.curvature != 0 {
		pins = append(pins, c.g.From[from.at])
	}
	best *= detour
	for _, h := range hollows {
		if d := here.Far[h.at]; h.at == from.at || d > best || c.rim[h.at] || c.g.From[h.at] < 0 {
			continue
		}
		there := c.roads([]int32{h.at})
		out, rest := c.exit(there)
		if d := here.Far[h.at] + rest; out >= 0 && d < best {
			best = d
			way = append(here.To(h.at), there.To(out)[1:]...)
			pins = []int32{c.g.From[from.at], c.g.From[h.at]}
		}
	}
	var out []route
	for i, leg := range c.legs(way) {
		r := route{way: leg, rims: i > 0, room: from.radius}
		for _, v := range pins {
			if slices.Contains(leg, v) {
				r.pins = append(r.pins, v)
			}
		}
		r.way = p.pulled(r)
		out = append(out, r)
	}
	return out
}

// pulled takes vertices out of a way as long as that makes it no longer.
func (p *Part) pulled(r route) []int32 {
	t := p.shared.tracer()
	m := p.Top.Mesh
	long := func(from int32, path []cut.Stop) (sum float64) {
		at := m.Vertices[from]
		for _, s := range path {
			sum += r3.Norm(r3.Sub(s.At(m), at))
			at = s.At(m)
		}
		return sum
	}
	way := r.way
	// doubling strides: straight runs shrink to their ends in a few passes
	for stride := len(way); stride >= 2; stride /= 2 {
		for i := 0; i+2 < len(way); {
			j := min(i+stride, len(way)-1)
			if k := slices.IndexFunc(way[i+1:j], r.pinned); k >= 0 {
				j = i + 1 + k
			}
			if j-i < 2 {
				i++
				continue
			}
			was := 0.0
			for k := i; k < j; k++ {
				was += cut.Length(m, way[k], way[k+1])
			}
			path, _, ok := t.Leg(way[i], way[j])
			if ok && len(path) > 0 && path[len(path)-1] == (cut.Stop{A: way[j], B: -1}) && long(way[i], path) < was*(1+straightEnough) {
				way = append(slices.Clone(way[:i+1]), way[j:]...)
			}
			i++
		}
	}
	return way
}

// straightEnough is how much longer a straight cut may measure than the steps it
// replaces, which cut corners over sides.
const straightEnough = 2e-3

// open cuts the routes open, one after the other; the numbers of those that can't
// be cut are returned.
func (p *Part) open(routes []route) (g *cut.Ground, lost []int) {
	g = cut.Uncut(p.Top)
	for i, r := range routes {
		if wider, ok := p.openOne(g, p.shifted(r), i, r.rims); ok {
			g = wider
		} else {
			lost = append(lost, i)
		}
	}
	return g, lost
}

// openOne cuts a way open on a ground that may have been cut before: sides of
// earlier cuts are rim, and the way ends there if it meets one.
func (p *Part) openOne(g *cut.Ground, way []int32, number int, rims bool) (*cut.Ground, bool) {
	if len(way) < 2 {
		return nil, false
	}
	t, rim := p.tracerOn(g.Top), g.Top.RimVertices()
	for _, first := range copies(g, way[0]) {
		if rim[first] && !rims {
			continue // the tip has come to lie on another cut
		}
		on := append([]int32{first}, way[1:]...)
		if rims && !rim[first] { // the cut that it began at has moved
			on = append(backToRim(g, []int32{first}, rim), way[1:]...)
		}
		path, ok := t.Along(on)
		if !ok || len(path) < 2 {
			continue
		}
		if path, ok = ended(g, t, path, rim, rims); !ok {
			continue
		}
		if wider, ok := g.Open(path, number); ok {
			return wider, true
		}
	}
	return nil, false
}

// tracerOn returns the tracer of the part or of a ground cut from it.
func (p *Part) tracerOn(top *mesh.Topology) *cut.Tracer {
	if top == p.Top {
		return p.shared.tracer()
	}
	return cut.NewTracer(top)
}

// copies lists the vertices of a ground that stand for one of the part.
func copies(g *cut.Ground, v int32) []int32 {
	out := []int32{v}
	for _, s := range g.Slits {
		for _, side := range [2][]int32{s.Left, s.Right} {
			for _, u := range side {
				if g.From[u] == v && !slices.Contains(out, u) {
					out = append(out, u)
				}
			}
		}
	}
	return out
}

// backToRim is the shortest way from the rim to one of some vertices.
func backToRim(g *cut.Ground, to []int32, rim []bool) []int32 {
	r := cut.RoadsOn(g.Top, to, cut.Terms{Ends: func(u int32) bool { return rim[u] }})
	best, at := math.Inf(1), to[0]
	for u, d := range r.Far {
		if rim[u] && d < best {
			best, at = d, int32(u)
		}
	}
	way := r.To(at)
	slices.Reverse(way)
	return way
}

// ended returns a path with its end on the rim: where the rim has moved away a slit
// goes there from where it comes nearest to it, a cut from rim to rim from its end;
// and where it meets the side of another cut its end is moved to the next vertex.
func ended(g *cut.Ground, t *cut.Tracer, path []cut.Stop, rim []bool, rims bool) ([]cut.Stop, bool) {
	last := path[len(path)-1]
	if last.B < 0 && !rim[last.A] {
		from := 1
		if rims {
			from = len(path) - 1
		}
		var on []int32 // vertices beside the path
		for _, s := range path[from:] {
			for _, v := range [2]int32{s.A, s.B} {
				if v >= 0 && !rim[v] && v != path[0].A {
					on = append(on, v)
				}
			}
		}
		way := backToRim(g, on, rim)
		slices.Reverse(way)
		rest, ok := t.Along(way)
		if !ok || len(rest) < 2 {
			return nil, false
		}
		leaves := slices.IndexFunc(path, func(s cut.Stop) bool { return s.A == way[0] || s.B == way[0] })
		path = append(path[:leaves], rest...)
		last = path[len(path)-1]
	}
	if last.B >= 0 && besideSlit(g, last.A, last.B) {
		end := cut.Stop{A: last.A, B: -1}
		if last.T > 0.5 {
			end.A = last.B
		}
		path = path[:len(path)-1]
		for len(path) > 0 && (path[len(path)-1].A == end.A && path[len(path)-1].B < 0) {
			path = path[:len(path)-1]
		}
		path = append(path, end)
	}
	return path, len(path) > 1
}

// besideSlit tells whether a side lies along a cut.
func besideSlit(g *cut.Ground, a, b int32) bool {
	for _, s := range g.Slits {
		for _, side := range [2][]int32{s.Left, s.Right} {
			if i := slices.Index(side, a); i >= 0 && (i > 0 && side[i-1] == b || i+1 < len(side) && side[i+1] == b) {
				return true
			}
		}
	}
	return false
}
