package slits

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
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

// Ask is what a kind of ply is laid by. Angles are rad, lengths m.
type Ask struct {
	Angle   float64 // from the warp's direction towards the weft
	Locking float64 // shear beyond which the cloth is stiffer; 0: none
	Limit   float64 // shear over which it is slit; differs from Locking where the record has none
	By      float64 // how far slits are moved to the left of the best lines
	Trifle  float64 // area that no slit is made for, m²

	Width     float64 // widest piece across its warp that the roll gives, m; 0: no limit
	Lap       float64 // width of laps, m
	RightOver bool    // the right side of a cut lies over the left one
	Drawn     []Line  // cuts that the person draws; then no others are made
	Forbid    bool    // no cut is made
	KeepOff   []Ball  // places through which no cut runs unless nothing else is possible
}

// Ball is a place to be kept off.
type Ball struct {
	At     r3.Vec
	Radius float64 // m
}

// Bed is a part with its slits, and the cloth on it.
type Bed struct {
	*cut.Ground
	Seed        mesh.Point // on the bed's own ground: flat place (0, 0)
	SeedAt      r3.Vec
	WarpDir     r3.Vec    // warp of the ply at the seed
	Areas       []float64 // of vertices, m²
	Flat        []r2.Vec
	Shear       []float64
	Warp, Weft  []r3.Vec
	Steps       int
	Residual    float64
	Unfinished  bool    // the step limit of the solver came first
	Collapsed   int     // cells of the kinematic net
	Unreachable int     // drawn slits that could not be cut; all of a ply's stand on its first bed
	Doubled     float64 // area on which the flat piece lies over itself, m²
	Trespass    float64 // length of its cuts inside places to be kept off, m

	routes []route
}

// Lay lays cloth on a ground.
func (p *Part) Lay(ctx context.Context, g *cut.Ground, k Ask) (*Bed, error) {
	seed := p.Seed
	if len(g.Slits) > 0 {
		hit, _ := mesh.NewLocator(g.Top.Mesh).Closest(p.Top.Mesh.At(p.Seed))
		seed = hit.Point
	}
	warp := p.Turned(k.Angle)
	r, err := drape.Solve(ctx, drape.Input{Surface: g.Top, Seed: seed, Warp: warp, Locking: si.Angle(k.Locking)})
	if err != nil {
		return nil, err
	}
	return &Bed{Ground: g, Seed: seed, SeedAt: g.Top.Mesh.At(seed), WarpDir: warp, Areas: g.Top.Mesh.VertexAreas(), Flat: r.Flat, Shear: r.Shear, Warp: r.Warp, Weft: r.Weft,
		Steps: r.Steps, Residual: r.Residual, Unfinished: !r.Converged, Collapsed: r.Net.Collapsed}, nil
}

// Locked returns the places where a bed is over the limit, but for those that are
// no more than a few triangles beside a slit: there the cloth is free to move,
// and lies double.
func (b *Bed) Locked(limit, trifle float64) []Place {
	out, _ := b.LockedAndTight(limit, trifle)
	return out
}

// tightReach is how far from a slit, and tightArea how large, a locked place may
// be to count as tight only: in mean sides, and their squares.
const (
	tightReach = 2.5
	tightArea  = 0.3
)

// LockedAndTight returns the places over the limit that matter, and those beside
// slits that hardly do.
func (b *Bed) LockedAndTight(limit, trifle float64) (locked, tight []Place) {
	edge := b.Top.Mesh.MeanEdge()
	for _, p := range Places(b.Top, b.Areas, b.Shear, limit, trifle) {
		if p.Area < tightArea*edge*edge && b.besideSlit(p, tightReach*edge) {
			tight = append(tight, p)
		} else {
			locked = append(locked, p)
		}
	}
	return locked, tight
}

func (b *Bed) besideSlit(p Place, reach float64) bool {
	for _, s := range b.Slits {
		for _, u := range s.Right {
			for _, v := range p.All {
				if cut.Length(b.Top.Mesh, u, v) < reach {
					return true
				}
			}
		}
	}
	return false
}

func (b *Bed) over(limit float64) float64 { return Over(b.Areas, b.Shear, limit) }

// openAll cuts the routes open; those that can't be are left out.
func (p *Part) openAll(routes []route) *cut.Ground {
	g := cut.Uncut(p.Top)
	for i, r := range routes {
		t := cut.NewTracer(g.Top)
		path, ok := t.Along(p.shifted(r))
		if !ok {
			continue
		}
		if last := path[len(path)-1]; last.B < 0 && int(last.A) >= len(p.Vertices) {
			continue // it ran into the side of another slit
		}
		if wider, ok := g.Open(path, i); ok {
			g = wider
		}
	}
	return g
}

// Cut finds the slits that a ply needs on a part, and lays it: where curvature
// is gathered in one place, one slit from there to the rim; where it is spread,
// one from the inner end of each locked place. Then slits are lengthened where
// their tips lock, and others added where cloth still locks. whole is the ply
// without slits, if that was laid.
func (p *Part) Cut(ctx context.Context, k Ask, whole *Bed) (*Bed, error) {
	limit, small := k.Limit, k.Trifle
	var routes []route
	spots := p.spots[limit]
	hollows := slices.DeleteFunc(slices.Clone(spots), func(h hotspot) bool { return h.curvature > 0 })
	for _, h := range spots {
		if h.curvature > 0 {
			if r, ok := p.routeFrom(h, hollows); ok && len(routes) < mostSlits {
				r.by = k.By
				routes = append(routes, r)
			}
		}
	}
	if len(routes) == 0 && whole != nil {
		routes = p.more(k, whole, nil)
	}
	best, idle := whole, 0
	for range mostRounds {
		g := p.openAll(routes)
		b, err := p.Lay(ctx, g, k)
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
		if len(b.Locked(limit, small)) == 0 || idle == mostIdle {
			break
		}
		next := p.more(k, b, routes)
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
func (p *Part) more(k Ask, b *Bed, routes []route) []route {
	out := slices.Clone(routes)
	changed := false
	done := map[int]bool{}
	for _, at := range b.Locked(k.Limit, k.Trifle) {
		i, tip := b.closestSlit(at)
		switch {
		case i >= 0 && done[i]:
		case i >= 0 && !tip && out[i].by != 0:
			if out[i].by /= 2; math.Abs(out[i].by) < p.Top.Mesh.MeanEdge() {
				out[i].by = 0
			}
			changed, done[i] = true, true
		case i >= 0:
			if r, ok := p.lengthened(out[i], min(5, max(1.3, math.Sqrt(at.Area)/(2*p.Top.Mesh.MeanEdge())))*p.Top.Mesh.MeanEdge()); ok {
				out[i], changed, done[i] = r, true, true
			}
		case len(out) < mostSlits:
			if r, ok := p.routeFrom(hotspot{at: p.deepest(b, at)}, nil); ok {
				r.by = k.By
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
func (b *Bed) closestSlit(at Place) (route int, tip bool) {
	m := b.Top.Mesh
	reach := max(byTip*m.Diagonal(), 4*m.MeanEdge())
	near := func(u int32) float64 {
		best := math.Inf(1)
		for _, v := range at.All {
			best = min(best, cut.Length(m, u, v))
		}
		return best
	}
	route, best := -1, reach
	for _, s := range b.Slits {
		for _, side := range [][]int32{s.Left, s.Right} {
			for i, u := range side {
				if d := near(u); d < best {
					best, route, tip = d, s.Route, i == 0 || cut.Length(m, u, side[0]) < reach
				}
			}
		}
	}
	return route, tip
}

// deepest returns the vertex of a locked place that lies far from the rim; of such
// as lie alike the one that shears most.
func (p *Part) deepest(b *Bed, at Place) int32 {
	best, out := -1.0, b.From[at.At]
	for _, v := range at.All {
		u := b.From[v]
		if u < 0 {
			continue
		}
		near := math.Inf(1)
		for r, f := range p.favour {
			if f > 0 {
				near = min(near, r3.Norm2(r3.Sub(p.Top.Mesh.Vertices[r], p.Top.Mesh.Vertices[u])))
			}
		}
		if near = math.Sqrt(near) * math.Abs(b.Shear[v]); near > best+1e-9 {
			best, out = near, u
		}
	}
	return max(out, 0)
}

// lengthened returns a route with its tip moved on straight ahead: to the vertex
// about that far from the tip to which the way from the rest of the route through
// the tip is hardly a detour.
func (p *Part) lengthened(r route, by float64) (route, bool) {
	here, behind := cut.RoadsFrom(p.Top, r.way[0]), cut.RoadsFrom(p.Top, r.way[1])
	best, v := math.Inf(1), int32(-1)
	for u, d := range here.Far {
		miss, bent := math.Abs(d-by), behind.Far[r.way[0]]+d-behind.Far[u]
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
