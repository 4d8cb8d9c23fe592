package drape

import (
	"context"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

// Input is one sheet to lay on one surface.
type Input struct {
	Surface *mesh.Topology // hangs together by its edges and has a rim
	Seed    mesh.Point     // where the sheet touches first: flat place (0, 0)
	Warp    r3.Vec         // direction of the warp there; it is laid into the surface
	Locking si.Angle       // shear beyond which the cloth is stiffer; 0: none
	Film    bool           // a sheet that does not shear: peel ply, film, bleeder
}

// Result is the sheet laid down, by vertex of the surface.
type Result struct {
	Flat       []r2.Vec     // place in the flat sheet, m
	Shear      []float64    // what the angle from warp to weft lacks to 90°, rad
	Warp, Weft []r3.Vec     // unit vectors along the yarns, at a right angle to the vertex normal
	Stretch    [][2]float64 // of warp and weft, less 1
	Net        *Net         // the kinematic net, which goes on a little beyond the rim
	Covered    float64      // share of the vertices that the net reaches
	Steps      int          // of the descents
	Residual   float64      // longest step of the last descent, m
}

// Solve lays the sheet down. It is an error if the descent does not come to
// rest, or if no start can be found in which no triangle lies turned over.
func Solve(ctx context.Context, in Input) (*Result, error) {
	if err := check(in); err != nil {
		return nil, err
	}
	given := newSurface(in.Surface)
	wide, err := skirted(in.Surface)
	if err != nil {
		return nil, err
	}
	net, err := newNet(newSurface(wide), in.Seed, in.Warp, given.edge)
	if err != nil {
		return nil, err
	}
	o := placeByNet(net, len(given.Triangles)).first(len(given.Vertices))
	out := &Result{Net: net, Flat: append([]r2.Vec(nil), o.flat...), Covered: o.covered()}
	s, err := given.reshaped()
	if err != nil {
		return nil, err
	}
	spreadOut(given, out.Flat, append([]bool(nil), o.known...))
	if out.Covered < mostlyCovered {
		out.ease(ctx, s, o)
	}
	if in.Film {
		return out, out.layFilm(ctx, s)
	}
	sh := cloth{locking: float64(in.Locking)}
	if sh.locking == 0 {
		sh.locking = math.Pi
	}
	return out, out.layCloth(ctx, s, sh, o)
}

func check(in Input) error {
	t := in.Surface
	if len(t.Mesh.Triangles) == 0 {
		return &fault.Input{Field: "mould", What: "the surface has no triangles"}
	}
	if _, parts := t.Components(); parts != 1 {
		return &fault.Input{Field: "mould", What: "the surface is in several parts", Do: "lay each part with its own sheet"}
	}
	if len(t.RimEdges()) == 0 {
		return &fault.Input{Field: "mould", What: "the surface is closed, and no sheet lies flat on it uncut", Do: "trim the part or split it"}
	}
	return nil
}

// layCloth finds the flat places of woven cloth.
func (r *Result) layCloth(ctx context.Context, s *surface, sh cloth, o start) error {
	p := newProblem(s, r.Net.ties(s.topology))
	trusted := p.trustNet(o)
	before := shearSeen(s, r.Flat)
	if err := r.open(ctx, p, sh); err != nil {
		return err
	}
	if err := r.settle(ctx, p, sh); err != nil {
		return err
	}
	r.recover(s)
	for range rounds {
		if r.Steps > mostSteps/2 {
			break // so hard a case has collapsed places, and refinement is lost on it
		}
		p.s = s.straightened(r.Flat, r.Shear, trusted)
		if turned(p.s, r.Flat) > 0 {
			p.s = s
			break
		}
		kept := append([]r2.Vec(nil), r.Flat...)
		if err := r.settle(ctx, p, sh); err != nil {
			if ctx.Err() != nil {
				return err
			}
			copy(r.Flat, kept) // the round before stands: straightening is a refinement
			break
		}
		r.recover(p.s)
	}
	r.sharpen(p.s)
	r.shearFromNet(o, before)
	r.Warp, r.Weft = s.spreadYarns(r.Warp, r.Weft, r.Shear)
	return nil
}

// layFilm finds the flat places of a sheet that does not shear.
func (r *Result) layFilm(ctx context.Context, s *surface) error {
	p := newProblem(s, pinned(r.Net.s.Triangles[r.Net.Nodes[0].Face], r.Flat))
	if err := r.open(ctx, p, cloth{math.Pi}); err != nil {
		return err
	}
	if _, err := p.descend(ctx, r.Flat, rigid{film{open: true}}, easings*4); ctx.Err() != nil {
		return err
	}
	if err := r.settle(ctx, p, film{open: true}); err != nil {
		return err
	}
	r.recover(s)
	return nil
}

// Where the net reaches less than mostlyCovered of the vertices, what hangs out
// from it is eased for a few steps first.
const (
	mostlyCovered = 0.97
	easings       = 12
	held          = 10 // weight of the net's vertices meanwhile
)

// ease lays what the net does not reach like a film that hangs on the net: a
// start near to the least stretch, where unfolding it ring by ring would gather
// errors.
func (r *Result) ease(ctx context.Context, s *surface, o start) {
	var ties []tie
	for v, is := range o.known {
		if is {
			a := int32(v)
			ties = append(ties, tie{from: a, to: a, edge: -1, axis: 0, value: o.flat[v].X, weight: held},
				tie{from: a, to: a, edge: -1, axis: 1, value: o.flat[v].Y, weight: held})
		}
	}
	eased := append([]r2.Vec(nil), r.Flat...)
	before := turned(s, r.Flat)
	if p := newProblem(s, ties); len(ties) > 0 {
		p.descend(ctx, eased, rigid{}, easings) // how far it comes does not matter
	}
	if turned(s, eased) <= before {
		copy(r.Flat, eased)
	}
}

func (r *Result) settle(ctx context.Context, p *problem, sh sheet) error {
	rep, err := p.descend(ctx, r.Flat, sh, mostSteps)
	r.Steps += rep.steps
	r.Residual = rep.residual * p.s.edge
	return err
}

// openings is how often a few steps are made to turn triangles back, unrollings
// how many steps bring a start on a circle near to the surface's own lengths.
const (
	openings   = 6
	unrollings = 30
)

// open makes sure that no triangle lies turned over. The start is the net with
// what it does not reach eased out from it; if that can't be opened, the sheet
// is unrolled from a circle like a film.
func (r *Result) open(ctx context.Context, p *problem, sh cloth) error {
	for range openings {
		if turned(p.s, r.Flat) == 0 {
			return nil
		}
		rep, err := p.descend(ctx, r.Flat, opening{cloth: sh}, 4)
		r.Steps += rep.steps
		if ctx.Err() != nil {
			return err
		}
	}
	if turned(p.s, r.Flat) == 0 {
		return nil
	}
	r.onCircle(p)
	if n := turned(p.s, r.Flat); n > 0 {
		return &fault.NoSolution{What: "a way to lay the sheet flat without folds", Steps: r.Steps,
			Residual: float64(n), Do: "trim the part, or lay it in smaller pieces"}
	}
	rep, err := p.descend(ctx, r.Flat, rigid{film{open: true}}, unrollings)
	r.Steps += rep.steps
	if ctx.Err() != nil {
		return err
	}
	r.align()
	rep, err = p.descend(ctx, r.Flat, opening{sh, true}, unrollings)
	r.Steps += rep.steps
	if ctx.Err() != nil {
		return err
	}
	return nil
}

// turned counts the triangles that lie turned over or have no area in the flat.
func turned(s *surface, flat []r2.Vec) int {
	count := 0
	for f := range s.Triangles {
		if !s.flat(f) && !(s.gradientOf(f, flat).det() > 0) {
			count++
		}
	}
	return count
}
