package plydraw

import (
	"laywright/internal/base/mesh"
	"laywright/internal/job"
)

// Album makes the pictures of a plan. What several of them need is worked out
// once, when it is first needed.
type Album struct {
	plan    job.Plan
	kinds   []Kind
	surface *drawn
	find    *mesh.Locator // on the surface
	grounds map[int][]*ground
}

// Open prepares the pictures of a plan.
func Open(p job.Plan) *Album {
	return &Album{plan: p, kinds: kindsOf(p), grounds: map[int][]*ground{}}
}

// Kinds lists the plan's kinds of ply, in the order of the first of each; none
// where there is no surface to draw them on.
func (a *Album) Kinds() []Kind {
	if !has(a.plan) {
		return nil
	}
	return a.kinds
}

// has tells whether a plan's plies can be drawn.
func has(p job.Plan) bool {
	return p.Plies != nil && p.Mould != nil && p.Mould.Surface != nil && len(p.Mould.Surface.Triangles) > 0
}

// All lists the pictures: of each kind of ply on the mould, its order of work and
// its flat pieces, then those of all plies together.
func (a *Album) All() (out []Picture) {
	for _, k := range a.Kinds() {
		out = append(out, a.Shear(k))
		if work, any := a.Work(k); any {
			out = append(out, work)
		}
		out = append(out, a.Flat(k))
	}
	if seams, any := a.Seams(); any {
		out = append(out, seams)
	}
	if stack, any := a.Stack(); any {
		out = append(out, stack)
	}
	if radii, any := a.Radii(); any {
		out = append(out, radii)
	}
	return out
}

// mostDrawn is how many vertices of a surface are drawn: more can't be told apart
// on paper, and make files large.
const mostDrawn = 8000

// drawn is a mesh no finer than can be drawn, with each vertex's number in the
// mesh that it stands for; nil: the same.
type drawn struct {
	mesh *mesh.Mesh
	of   []int32
}

// drawable returns a mesh as it is drawn. One whose sides do not join properly is
// drawn as it is.
func drawable(m *mesh.Mesh) *drawn {
	if len(m.Vertices) <= mostDrawn {
		return &drawn{mesh: m}
	}
	top, err := mesh.NewTopology(m)
	if err != nil || len(top.NonManifoldEdges()) > 0 || len(top.BowTies()) > 0 {
		return &drawn{mesh: m}
	}
	c := top.Coarsen(mostDrawn)
	return &drawn{c.Mesh, c.Vertex}
}

// taken returns the values of the vertices that are drawn.
func taken[T any](d *drawn, values []T) []T {
	if d.of == nil {
		return values
	}
	out := make([]T, len(d.of))
	for i, v := range d.of {
		out[i] = values[v]
	}
	return out
}

// mould is the part's surface as it is drawn, seen from its sides.
func (a *Album) mould() stage {
	if a.surface == nil {
		a.surface = drawable(a.plan.Mould.Surface)
		a.find = mesh.NewLocator(a.surface.mesh)
	}
	return newStage(a.surface.mesh, a.find)
}

// groundsOf returns what the pieces of a kind of ply lie on, each cut open along
// its slits.
func (a *Album) groundsOf(k Kind) []*ground {
	if out, known := a.grounds[k.First.Number]; known {
		return out
	}
	patch := map[string]bool{}
	for _, piece := range k.First.Pieces {
		patch[piece.Name] = piece.Patch
	}
	var out []*ground
	for _, s := range k.First.Sheets {
		d := drawable(s.Top.Mesh)
		out = append(out, &ground{piece: s.Piece, patch: patch[s.Piece], mesh: d.mesh, flat: taken(d, s.Flat), shear: inDegrees(taken(d, s.Shear))})
	}
	a.grounds[k.First.Number] = out
	return out
}
