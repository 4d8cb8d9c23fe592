package drape

import (
	"context"
	"math"
	"slices"

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
	Converged  bool         // the last descent came to rest; else this is the best it found
	Turned     int          // triangles of the surface that lie turned over, where cloth has collapsed or a rim is hollow
}

// Solve lays the sheet down. A descent that does not come to rest gives the best
// that it found, with [Result.Converged] false; it is an error if no way is found
// to lay the surface flat in which no triangle of it, or of others cut on its
// vertices ([surface.reshaped]), lies turned over.
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
	out := &Result{Net: net, Flat: slices.Clone(o.flat), Covered: o.covered()}
	s, err := given.reshaped()
	if err != nil {
		return nil, err
	}
	spreadOut(given, out.Flat, slices.Clone(o.known))
	if out.Covered < mostlyCovered || turned(s, out.Flat) > 0 {
		if err := out.ease(ctx, s, o); err != nil {
			return nil, err
		}
	}
	if in.Film {
		err = out.layFilm(ctx, s)
	} else {
		err = out.layCloth(ctx, s, newCloth(in.Locking), o)
	}
	if err != nil {
		return nil, err
	}
	out.Turned = turned(given, out.Flat)
	return out, nil
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
		kept := *r
		kept.Flat = slices.Clone(r.Flat)
		if err := r.settle(ctx, p, sh); err != nil {
			return err
		}
		if kept.Converged && !r.Converged {
			kept.Steps = r.Steps
			*r = kept // the round before stands: straightening is a refinement
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
	rep, err := p.descend(ctx, r.Flat, rigid{film{open: true}}, easings)
	if err != nil {
		return err
	}
	r.Steps += rep.steps
	if err := r.settle(ctx, p, film{open: true}); err != nil {
		return err
	}
	r.recover(s)
	return nil
}

func (r *Result) settle(ctx context.Context, p *problem, sh sheet) error {
	rep, err := p.descend(ctx, r.Flat, sh, mostSteps)
	r.Steps += rep.steps
	r.Residual, r.Converged = rep.residual*p.s.edge, rep.atRest
	return err
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
