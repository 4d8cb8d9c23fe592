package drape

import (
	"context"
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
	Room    *Room          // shared with other sheets; nil: its own. It has no say in the result
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

	seed mesh.Point // on the surface itself: the net's may lie in the strip along its rim
}

// Solve lays the sheet down: [NewSolver] and [Solver.Solve] in one.
func Solve(ctx context.Context, in Input) (*Result, error) {
	l, err := NewSolver(in.Surface)
	if err != nil {
		return nil, err
	}
	return l.Solve(ctx, in)
}

// Solver lays one sheet after the other on a surface and keeps what they have in
// common. It is not for several goroutines at once.
type Solver struct {
	given  *surface
	shaped *surface // cut into other triangles on the same vertices
	wide   *surface // with its holes closed and a strip along its rim, for the net
	tracer *mesh.Tracer
}

// NewSolver prepares a surface.
func NewSolver(t *mesh.Topology) (*Solver, error) {
	if err := check(Input{Surface: t}); err != nil {
		return nil, err
	}
	l := &Solver{given: newSurface(t)}
	whole, err := l.given.overHoles()
	if err != nil {
		return nil, err
	}
	wide, err := skirted(whole.topology)
	if err != nil {
		return nil, err
	}
	l.wide, l.tracer = newSurface(wide), mesh.NewTracer(wide, rounding(wide, len(t.Mesh.Triangles), len(whole.Triangles)))
	l.shaped, err = l.given.reshaped()
	return l, err
}

// Solve lays a sheet on the solver's surface, whatever that of the input is. A
// descent that does not come to rest gives the best that it found, with
// [Result.Converged] false; it is an error if no way is found to lay the surface
// flat in which no triangle of it, or of others cut on its vertices
// ([surface.reshaped]), lies turned over.
func (l *Solver) Solve(ctx context.Context, in Input) (*Result, error) {
	given, s := l.given, l.shaped
	net, err := newNetOn(l.wide, l.tracer, in.Seed, in.Warp, given.edge)
	if err != nil {
		return nil, err
	}
	o := placeByNet(net, len(given.Triangles)).first(len(given.Vertices))
	net.s = &surface{Mesh: net.s.Mesh, normal: net.s.normal, edge: net.s.edge} // the rest is of no use any more, and large
	out := &Result{Net: net, Flat: slices.Clone(o.flat), Covered: o.covered(), seed: net.Nodes[0].Point}
	if out.seed.Face >= len(given.Triangles) {
		out.seed = in.Seed
	}
	spreadOut(given, out.Flat, o.placed())
	if out.Covered < mostlyCovered || turned(s, out.Flat) > 0 {
		if err := out.begin(ctx, s, o, newCloth(in.Locking), mostEased); err != nil {
			return nil, err
		}
	}
	if in.Room != nil {
		in.Room.turn.Lock()
		defer in.Room.turn.Unlock()
		s.room = in.Room
	}
	if in.Film {
		err = out.layFilm(ctx, s)
	} else {
		out, err = out.layWoven(ctx, s, newCloth(in.Locking), o)
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
	p := newProblem(s, append(r.Net.ties(s.topology), o.ties(s, sh.locking)...))
	trusted := p.trustNet(o)
	if err := r.open(ctx, p, sh); err != nil {
		return err
	}
	if err := r.settle(ctx, p, sh); err != nil {
		return err
	}
	if slices.Contains(trusted, false) {
		if err := r.refine(ctx, p, sh, trusted); err != nil {
			return err
		}
	}
	r.recover(p.s)
	s.sharpen(r.Shear, r.Flat)
	r.shearFromNet(s, o)
	r.Warp, r.Weft = s.spreadYarns(r.Warp, r.Weft, r.Shear)
	return nil
}

// refine straightens the triangles that are not trusted and lets the cloth settle
// again. The problem is left with the surface that the flat places belong to.
func (r *Result) refine(ctx context.Context, p *problem, sh cloth, trusted []bool) error {
	s := p.s
	for range rounds {
		if r.Steps > stepsOn(len(s.Vertices))/2 {
			break // so hard a case has collapsed places, and refinement is lost on it
		}
		last, kept := p.s, *r
		kept.Flat = slices.Clone(r.Flat)
		p.s = s.straightened(r.Flat, p.s.shearOf(r.Flat), trusted)
		if turned(p.s, r.Flat) > 0 {
			p.s = last
			break
		}
		if err := r.settle(ctx, p, sh); err != nil {
			return err
		}
		if kept.Converged && !r.Converged {
			kept.Steps = r.Steps
			*r, p.s = kept, last // the round before stands: straightening is a refinement
			break
		}
	}
	return nil
}

func (r *Result) settle(ctx context.Context, p *problem, sh sheet) error {
	rep, err := p.descend(ctx, r.Flat, sh, stepsOn(len(r.Flat)))
	r.Steps += rep.steps
	r.Residual, r.Converged = rep.residual*p.s.edge, rep.atRest
	return err
}

// turned counts the triangles that lie turned over or have no area in the flat.
func turned(s *surface, flat []r2.Vec) int {
	return int(sumOf(len(s.Triangles), func(from, to int) float64 {
		count := 0
		for f := from; f < to; f++ {
			if s.turnedOver(f, flat) {
				count++
			}
		}
		return float64(count)
	}))
}

func (s *surface) turnedOver(f int, flat []r2.Vec) bool {
	return !s.flat(f) && !(s.gradientOf(f, flat).det() > 0)
}
