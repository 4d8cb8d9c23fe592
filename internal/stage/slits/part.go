package slits

import (
	"context"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
)

// Part is a piece of the surface that hangs together, with the place where each
// ply on it is laid down first.
type Part struct {
	Top      *mesh.Topology
	Vertices []int32 // its own vertices' numbers in the whole surface
	Locator  *mesh.Locator
	Area     float64 // m²
	Seed     mesh.Point
	Fixed    bool   // the seed is the person's: the piece of cloth that holds it begins there
	Warp     r3.Vec // for angle 0, in the surface at the seed
	Normal   r3.Vec // there
	Along    r3.Vec // the direction that Warp was laid in from; zero: Warp

	rim    []bool
	shared *shared
}

// shared is what plies on a part find out once for all of them.
type shared struct {
	lock  sync.Mutex
	spots map[float64][]hotspot // by limit
	model *model
	plans map[planKey]*onePlan
	beds  map[bedKey]*onceBed // of unmoved cuts, which plies whose cuts can't be moved come back to

	tracer    func() *cut.Tracer // of the part
	gathering func() *model      // for [Part.Gathered]
}

// coarse is the mean side of triangles, as a share of the root of the surface's area,
// over which a mesh has no room for slits: its sides are then cut until none is
// longer, which leaves the surface as it is.
const coarse = 1.0 / 20

// WithRoom returns the surface with room for slits: its own vertices come first. Face
// is nil where it is the surface itself.
func WithRoom(m *mesh.Mesh) (mesh.Refined, error) {
	size := math.Sqrt(m.Area())
	if !(m.MeanEdge() > coarse*size) {
		return mesh.Refined{Mesh: m}, nil
	}
	return m.Refine(mesh.RefineLimits{Edge: coarse * size})
}

// Parts splits a surface into what hangs together.
func Parts(m *mesh.Mesh) ([]Part, error) {
	top, err := mesh.NewTopology(m)
	if err != nil {
		return nil, err
	}
	of, count := top.Components()
	faces := make([][]int32, count)
	for f, c := range of {
		faces[c] = append(faces[c], int32(f))
	}
	parts := make([]Part, count)
	for c, list := range faces {
		if parts[c], err = partOf(m.Extract(list)); err != nil {
			return nil, err
		}
	}
	return parts, nil
}

func partOf(sub mesh.Part) (Part, error) {
	top, err := mesh.NewTopology(sub.Mesh)
	if err != nil {
		return Part{}, err
	}
	if len(top.RimEdges()) == 0 {
		return Part{}, &fault.Input{Field: "part.trim", What: "the surface is closed, and no cloth lies flat on it uncut", Do: "trim it with a line or a plane (part.trim), or split the mould"}
	}
	return newPart(top, sub.Vertex), nil
}

func newPart(top *mesh.Topology, vertices []int32) Part {
	p := Part{Top: top, Vertices: vertices, Locator: mesh.NewLocator(top.Mesh), Area: top.Mesh.Area(), rim: top.RimVertices(),
		shared: &shared{spots: map[float64][]hotspot{}, plans: map[planKey]*onePlan{}, beds: map[bedKey]*onceBed{},
			tracer: sync.OnceValue(func() *cut.Tracer { return cut.NewTracer(top) })}}
	p.shared.gathering = sync.OnceValue(func() *model {
		if len(top.Mesh.Vertices) <= gatherModel {
			return &model{Part: p}
		}
		return modelOf(&p, gatherModel)
	})
	return p
}

// Turned returns the direction at the seed of the warp of a ply at an angle, rad.
func (p *Part) Turned(angle float64) r3.Vec { return turned(p.Warp, p.Normal, angle) }

func turned(warp, normal r3.Vec, angle float64) r3.Vec {
	sin, cos := math.Sincos(angle)
	return r3.Add(r3.Scale(cos, warp), r3.Scale(sin, r3.Cross(normal, warp)))
}

// asked is the direction of angle 0 before it is laid into the surface.
func (p *Part) asked() r3.Vec {
	if p.Along == (r3.Vec{}) {
		return p.Warp
	}
	return p.Along
}

// leastShadow is the length of the warp's unit vector laid into the surface
// below which its direction there means nothing.
const leastShadow = 0.05

// laidInto lays a direction into the plane of a normal. Where it stands straight
// up, the axis that lies flattest is taken.
func laidInto(d, normal r3.Vec) r3.Vec {
	lay := func(v r3.Vec) r3.Vec { return r3.Sub(v, r3.Scale(r3.Dot(v, normal), normal)) }
	best := lay(d)
	if r3.Norm(best) < leastShadow*r3.Norm(d) {
		for _, axis := range []r3.Vec{{X: 1}, {Y: 1}, {Z: 1}} {
			if l := lay(axis); r3.Norm(l) > r3.Norm(best)+1e-9 {
				best = l
			}
		}
	}
	return r3.Unit(best)
}

// Prepare finds the hot spots for a limit of shear, rad.
func (p *Part) Prepare(limit float64) { p.spotsFor(limit) }

func (p *Part) spotsFor(limit float64) []hotspot {
	p.shared.lock.Lock()
	defer p.shared.lock.Unlock()
	if s, ok := p.shared.spots[limit]; ok {
		return s
	}
	s := spotsOf(p.modelled().Top, limit)
	p.shared.spots[limit] = s
	return s
}

// SureToLock tells whether a ply can't lie on the part whole: some place, or what
// would fill some hole, closes in more than the cloth shears. A yarn through the
// seed that runs over such a place shares it out between its two sides, and two
// yarns do so among four.
func (p *Part) SureToLock(k Ask) bool {
	var yarns [2][]r3.Vec
	for i := range yarns {
		yarns[i] = p.yarn(k.Angle + float64(i)*math.Pi/2)
	}
	spots := p.spotsFor(k.Limit)
	at := p.shared.model.Top.Mesh.Vertices // the spots' own
	locks := func(h hotspot) bool {
		share := h.curvature
		for _, yarn := range yarns {
			if off(yarn, at[h.at]) < h.radius {
				share /= 2
			}
		}
		return share >= k.Limit
	}
	if slices.ContainsFunc(spots, locks) {
		return true
	}
	for _, h := range holesOf(p.Top) {
		if math.Abs(h.curvature) >= k.Limit {
			return true
		}
	}
	return false
}

// A ply is sure not to lie whole if so much of a part's model is over so many times
// the limit.
const (
	plainly      = 1.1
	plainlyShare = 0.01
)

// LocksOnModel tells whether a ply locks plainly where it is laid whole on the part's
// model. A part that is its own model is not tried.
func (p *Part) LocksOnModel(ctx context.Context, k Ask) bool {
	m := p.forPlans()
	if m.vertex == nil {
		return false
	}
	b, err := m.Lay(ctx, cut.Uncut(m.Top), k)
	return err == nil && Over(b.Areas, b.Shear, plainly*k.Limit) > plainlyShare*m.Area
}

// yarn returns the yarn through the seed at an angle, from rim to rim.
func (p *Part) yarn(angle float64) (line []r3.Vec) {
	m, d := p.Top.Mesh, p.Turned(angle)
	for _, way := range []float64{-1, 1} {
		slices.Reverse(line)
		l, err := p.Top.Trace(p.Seed, r3.Scale(way, d), m.Diagonal()*longYarn)
		if err != nil {
			continue
		}
		for _, piece := range l.Pieces {
			line = append(line, m.At(mesh.Point{Face: piece.Face, Bary: piece.From}))
		}
		line = append(line, m.At(l.End(m).Point))
	}
	return line
}

// longYarn is how far a yarn is followed, in diagonals of the part.
const longYarn = 4

// mostModelled is the number of vertices of the coarse copy of a part on which
// cuts are planned; a part of no more than fewEnough is planned on as it is.
const (
	mostModelled = 4000
	fewEnough    = 6000
)

// model is a coarse copy of a part. Its vertices are some of the part's own.
type model struct {
	Part
	vertex []int32 // the part's number of each vertex; nil: the model is the part
}

// modelled returns the part's model. The caller holds the lock.
func (p *Part) modelled() *model {
	if p.shared.model != nil {
		return p.shared.model
	}
	m := &model{Part: *p}
	if len(p.Top.Mesh.Vertices) > fewEnough {
		m = modelOf(p, mostModelled)
	}
	p.shared.model = m
	return m
}

// modelOf returns a coarse copy of so many vertices, the part itself where there is
// none that hangs together alike.
func modelOf(p *Part, most int) *model {
	m := &model{Part: *p}
	c := p.Top.Coarsen(most)
	if top, err := mesh.NewTopology(c.Mesh); err == nil && top.Euler() == p.Top.Euler() {
		m.Part, m.vertex = newPart(top, nil), c.Vertex
	}
	return m
}
