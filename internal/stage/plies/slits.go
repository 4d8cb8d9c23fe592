package plies

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/stage/drape"
)

// Limits of the search for slits in one part.
const (
	mostSlits  = 12
	mostRounds = 8
	// byTip is how near to the tip of a slit, as a share of the part's diagonal,
	// a locked place must come for the slit to be lengthened rather than
	// another one planned.
	byTip = 0.03
	// A round must leave less than worthWhile of the locked area; after mostIdle
	// that do not, the best before stands.
	worthWhile = 0.95
	mostIdle   = 2
)

// bed is a part with its slits, and the cloth on it.
type bed struct {
	*ground
	routes      []route
	areas       []float64 // of vertices
	flat        []r2.Vec
	shear       []float64
	warp, weft  []r3.Vec
	steps       int
	residual    float64
	unfinished  bool // the step limit of the solver came first
	collapsed   int  // cells of the kinematic net
	unreachable int  // drawn slits that could not be cut
}

// spread lays cloth on a ground.
func (p *part) spreadOn(ctx context.Context, g *ground, k key) (*bed, error) {
	seed := p.seed
	if len(g.slits) > 0 {
		hit, _ := mesh.NewLocator(g.top.Mesh).Closest(p.top.Mesh.At(p.seed))
		seed = hit.Point
	}
	r, err := drape.Solve(ctx, drape.Input{Surface: g.top, Seed: seed, Warp: p.turned(k.angle), Locking: si.Angle(k.locking)})
	if err != nil {
		return nil, err
	}
	return &bed{ground: g, areas: g.top.Mesh.VertexAreas(), flat: r.Flat, shear: r.Shear, warp: r.Warp, weft: r.Weft,
		steps: r.Steps, residual: r.Residual, unfinished: !r.Converged, collapsed: r.Net.Collapsed}, nil
}

// locked returns the places where a bed is over the limit, but for those that are
// no more than a few triangles beside a slit: there the cloth is free to move,
// and lies double.
func (b *bed) locked(limit, trifle float64) []place {
	out, _ := b.lockedAndTight(limit, trifle)
	return out
}

// tightReach is how far from a slit, and tightArea how large, a locked place may
// be to count as tight only: in mean sides, and their squares.
const (
	tightReach = 2.5
	tightArea  = 0.3
)

// lockedAndTight returns the places over the limit that matter, and those beside
// slits that hardly do.
func (b *bed) lockedAndTight(limit, trifle float64) (locked, tight []place) {
	edge := b.top.Mesh.MeanEdge()
	for _, p := range places(b.top, b.areas, b.shear, limit, trifle) {
		if p.area < tightArea*edge*edge && b.besideSlit(p, tightReach*edge) {
			tight = append(tight, p)
		} else {
			locked = append(locked, p)
		}
	}
	return locked, tight
}

func (b *bed) besideSlit(p place, reach float64) bool {
	for _, s := range b.slits {
		for _, u := range s.right {
			for _, v := range p.all {
				if length(b.top.Mesh, u, v) < reach {
					return true
				}
			}
		}
	}
	return false
}

func (b *bed) over(limit float64) float64 { return over(b.areas, b.shear, limit) }

// openAll cuts the routes open; those that can't be are left out.
func (p *part) openAll(routes []route) *ground {
	g := uncut(p)
	for i, r := range routes {
		t := newTracer(g.top)
		path, ok := t.along(p.shifted(r))
		if !ok {
			continue
		}
		if last := path[len(path)-1]; last.b < 0 && int(last.a) >= len(p.vertices) {
			continue // it ran into the side of another slit
		}
		if wider, ok := g.open(path, i); ok {
			g = wider
		}
	}
	return g
}

// slit finds the slits that a ply needs on a part, and lays it: where curvature
// is gathered in one place, one slit from there to the rim; where it is spread,
// one from the inner end of each locked place. Then slits are lengthened where
// their tips lock, and others added where cloth still locks. whole is the ply
// without slits, if that was laid.
func (w *work) slit(ctx context.Context, p *part, k kind, whole *bed) (*bed, error) {
	limit, small := k.limit, trifle*w.in.Surface.Area()
	var routes []route
	spots := p.spots[limit]
	hollows := slices.DeleteFunc(slices.Clone(spots), func(h hotspot) bool { return h.curvature > 0 })
	for _, h := range spots {
		if h.curvature > 0 {
			if r, ok := p.routeFrom(h, hollows); ok && len(routes) < mostSlits {
				r.by = k.by
				routes = append(routes, r)
			}
		}
	}
	if len(routes) == 0 && whole != nil {
		routes = w.more(p, k, whole, nil, small)
	}
	best, idle := whole, 0
	for range mostRounds {
		g := p.openAll(routes)
		b, err := p.spreadOn(ctx, g, k.key)
		if err != nil {
			if best == nil || ctx.Err() != nil {
				return best, err
			}
			break // what was found before stands
		}
		b.routes = routes
		switch {
		case best == nil || b.over(limit) < worthWhile*best.over(limit):
			best, idle = b, 0
		default:
			idle++
		}
		if len(b.locked(limit, small)) == 0 || idle == mostIdle {
			break
		}
		next := w.more(p, k, b, routes, small)
		if next == nil {
			break
		}
		routes = next
	}
	return best, nil
}

// more returns the routes with those lengthened whose tips lock, with those moved
// back by half to their best lines beside which cloth locks, and with new ones
// for other locked places; nil where there is nothing to change.
func (w *work) more(p *part, k kind, b *bed, routes []route, small float64) []route {
	out := slices.Clone(routes)
	changed := false
	done := map[int]bool{}
	for _, at := range b.locked(k.limit, small) {
		i, tip := b.closestSlit(at)
		switch {
		case i >= 0 && done[i]:
		case i >= 0 && !tip && out[i].by != 0:
			if out[i].by /= 2; math.Abs(out[i].by) < p.top.Mesh.MeanEdge() {
				out[i].by = 0
			}
			changed, done[i] = true, true
		case i >= 0:
			if r, ok := p.lengthened(out[i], min(5, max(1.3, math.Sqrt(at.area)/(2*p.top.Mesh.MeanEdge())))*p.top.Mesh.MeanEdge()); ok {
				out[i], changed, done[i] = r, true, true
			}
		case len(out) < mostSlits:
			if r, ok := p.routeFrom(hotspot{at: p.deepest(b, at)}, nil); ok {
				r.by = k.by
				out, changed = append(out, r), true
			}
		}
	}
	if !changed {
		return nil
	}
	return out
}

// closestSlit returns the route of the slit that a locked place lies at, and
// whether it is at its tip; -1 where it is at none.
func (b *bed) closestSlit(at place) (route int, tip bool) {
	m := b.top.Mesh
	reach := max(byTip*m.Diagonal(), 4*m.MeanEdge())
	near := func(u int32) float64 {
		best := math.Inf(1)
		for _, v := range at.all {
			best = min(best, length(m, u, v))
		}
		return best
	}
	route, best := -1, reach
	for _, s := range b.slits {
		for _, side := range [][]int32{s.left, s.right} {
			for i, u := range side {
				if d := near(u); d < best {
					best, route, tip = d, s.route, i == 0 || length(m, u, side[0]) < reach
				}
			}
		}
	}
	return route, tip
}

// deepest returns the vertex of a locked place that lies far from the rim; of such
// as lie alike the one that shears most.
func (p *part) deepest(b *bed, at place) int32 {
	best, out := -1.0, b.from[at.at]
	for _, v := range at.all {
		u := b.from[v]
		if u < 0 {
			continue
		}
		near := math.Inf(1)
		for r, f := range p.favour {
			if f > 0 {
				near = min(near, r3.Norm2(r3.Sub(p.top.Mesh.Vertices[r], p.top.Mesh.Vertices[u])))
			}
		}
		if near = math.Sqrt(near) * math.Abs(b.shear[v]); near > best+1e-9 {
			best, out = near, u
		}
	}
	return max(out, 0)
}

// lengthened returns a route with its tip moved on straight ahead: to the vertex
// about that far from the tip to which the way from the rest of the route through
// the tip is hardly a detour.
func (p *part) lengthened(r route, by float64) (route, bool) {
	here, behind := p.roadsFrom(r.way[0]), p.roadsFrom(r.way[1])
	best, v := math.Inf(1), int32(-1)
	for u, d := range here.far {
		miss, bent := math.Abs(d-by), behind.far[r.way[0]]+d-behind.far[u]
		if score := miss/2 + 6*bent; miss < by/2 && p.favour[u] == 0 && score < best-1e-9 {
			best, v = score, int32(u)
		}
	}
	if v < 0 || slices.Contains(r.way, v) {
		return r, false
	}
	return route{way: append([]int32{v}, r.way...), pins: r.pins, by: r.by}, true
}

func heaviest(bary [3]float64) int {
	k := 0
	for j, b := range bary {
		if b > bary[k] {
			k = j
		}
	}
	return k
}
