package slits

import (
	"context"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/stage/drape"
)

// Bed is one piece of cloth laid on its ground: a part with its slits, or a piece
// of it.
type Bed struct {
	*cut.Ground
	Seed       mesh.Point // on the bed's own ground: flat place (0, 0)
	SeedAt     r3.Vec
	WarpDir    r3.Vec    // warp of the ply at the seed
	Areas      []float64 // of vertices, m²
	Flat       []r2.Vec
	Shear      []float64 // of a film see [filmTurn]
	Warp, Weft []r3.Vec
	Steps      int
	Residual   float64
	Unfinished bool    // the step limit of the solver came first
	Collapsed  int     // cells of the kinematic net
	Doubled    float64 // area on which the flat piece lies over itself, m²

	// Of all cuts of the ply, on its first bed:
	Unreachable int      // drawn cuts that could not be made
	Trespass    float64  // length inside places to be kept off, m
	Pinned      []r3.Vec // places that they must run through, since curvature is gathered there
}

// Lay lays cloth on a ground from the part's own seed.
func (p *Part) Lay(ctx context.Context, g *cut.Ground, k Ask) (*Bed, error) {
	return p.layFrom(ctx, g, k, p.ownSeat(g))
}

// seat is where a piece of cloth is laid down first.
type seat struct {
	seed         mesh.Point
	warp, normal r3.Vec // warp for angle 0
}

func (p *Part) ownSeat(g *cut.Ground) seat {
	s := seat{p.Seed, p.Warp, p.Normal}
	if !p.keepsSeed(g) {
		hit, _ := mesh.NewLocator(g.Top.Mesh).Closest(p.Top.Mesh.At(p.Seed))
		s.seed = hit.Point
	}
	return s
}

// keepsSeed tells whether a ground has the seed's triangle under the number that it
// has on the part: a cut leaves the triangles that it does not cross theirs.
func (p *Part) keepsSeed(g *cut.Ground) bool {
	f := p.Seed.Face
	if g.Top == p.Top || f >= len(g.Top.Mesh.Triangles) {
		return g.Top == p.Top
	}
	a, b, c := p.Top.Mesh.Corners(f)
	x, y, z := g.Top.Mesh.Corners(f)
	return a == x && b == y && c == z
}

func (p *Part) layFrom(ctx context.Context, g *cut.Ground, k Ask, s seat) (*Bed, error) {
	warp := turned(s.warp, s.normal, k.Angle)
	in := drape.Input{Surface: g.Top, Seed: s.seed, Warp: warp, Locking: si.Angle(k.Locking), Film: k.Film}
	if len(g.Top.Mesh.Vertices) > fewEnough {
		in.Room = k.Room
	}
	r, err := drape.Solve(ctx, in)
	if err != nil {
		return nil, err
	}
	b := &Bed{Ground: g, Seed: s.seed, SeedAt: g.Top.Mesh.At(s.seed), WarpDir: warp, Areas: g.Top.Mesh.VertexAreas(),
		Flat: r.Flat, Shear: r.Shear, Warp: r.Warp, Weft: r.Weft, Steps: r.Steps, Residual: r.Residual, Unfinished: !r.Converged}
	if k.Film {
		for v, s := range r.Stretch {
			b.Shear[v] = filmTurn(s)
		}
	}
	if r.Net != nil {
		b.Collapsed = r.Net.Collapsed
	}
	b.Doubled = b.doubled()
	return b, nil
}

// Locked returns the places where a bed is over the limit, but for those that are
// no more than a few triangles beside a cut: there the cloth is free to move,
// and lies double.
func (b *Bed) Locked(limit, trifle float64) []Place {
	out, _ := b.LockedAndTight(limit, trifle)
	return out
}

// tightReach is how far from a cut, and tightArea how large, a locked place may
// be to count as tight only: in mean sides, and their squares.
const (
	tightReach = 2.5
	tightArea  = 0.3
)

// LockedAndTight returns the places over the limit that matter, and those beside
// cuts that hardly do.
func (b *Bed) LockedAndTight(limit, trifle float64) (locked, tight []Place) {
	edge := b.Top.Mesh.MeanEdge()
	for _, p := range Places(b.Top, b.Areas, b.Shear, limit, trifle) {
		if p.Area < tightArea*edge*edge && b.besideCut(p, tightReach*edge) {
			tight = append(tight, p)
		} else {
			locked = append(locked, p)
		}
	}
	return locked, tight
}

func (b *Bed) besideCut(p Place, reach float64) bool {
	for _, s := range b.Slits {
		for _, side := range [2][]int32{s.Left, s.Right} {
			for _, u := range side {
				for _, v := range p.All {
					if cut.Length(b.Top.Mesh, u, v) < reach {
						return true
					}
				}
			}
		}
	}
	return false
}

// wide returns the width of the flat bed across its warp, m.
func (b *Bed) wide() float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, q := range b.Flat {
		lo, hi = min(lo, q.Y), max(hi, q.Y)
	}
	return hi - lo
}

// Cells by which doubled area is counted: so many along the flat bed, and no
// smaller than a share of the mean side.
const (
	doubleCells = 600
	doubleShare = 0.3
)

// doubled returns the area on which the flat bed lies over itself: cells of a grid
// whose middle lies in more than one triangle.
func (b *Bed) doubled() float64 {
	lo, hi := b.Flat[0], b.Flat[0]
	for _, q := range b.Flat {
		lo, hi = r2.Vec{X: min(lo.X, q.X), Y: min(lo.Y, q.Y)}, r2.Vec{X: max(hi.X, q.X), Y: max(hi.Y, q.Y)}
	}
	step := max(doubleShare*b.Top.Mesh.MeanEdge(), max(hi.X-lo.X, hi.Y-lo.Y)/doubleCells)
	nx, ny := int((hi.X-lo.X)/step)+1, int((hi.Y-lo.Y)/step)+1
	if !(step > 0) || nx > 2*doubleCells || ny > 2*doubleCells {
		return 0
	}
	seen := make([]bool, nx*ny)
	count := 0
	for _, t := range b.Top.Mesh.Triangles {
		p, q, r := r2.Sub(b.Flat[t[0]], lo), r2.Sub(b.Flat[t[1]], lo), r2.Sub(b.Flat[t[2]], lo)
		for j := max(0, int(min(p.Y, q.Y, r.Y)/step-0.5)); j < ny && (float64(j)+0.5)*step <= max(p.Y, q.Y, r.Y); j++ {
			for i := max(0, int(min(p.X, q.X, r.X)/step-0.5)); i < nx && (float64(i)+0.5)*step <= max(p.X, q.X, r.X); i++ {
				if !holds(p, q, r, r2.Vec{X: (float64(i) + 0.5) * step, Y: (float64(j) + 0.5) * step}) {
					continue
				}
				if seen[j*nx+i] {
					count++
				}
				seen[j*nx+i] = true
			}
		}
	}
	return float64(count) * step * step
}

// holds tells whether x lies inside a triangle, whichever way round.
func holds(a, b, c, x r2.Vec) bool {
	d, e, f := r2.Cross(r2.Sub(b, a), r2.Sub(x, a)), r2.Cross(r2.Sub(c, b), r2.Sub(x, b)), r2.Cross(r2.Sub(a, c), r2.Sub(x, c))
	return d > 0 && e > 0 && f > 0 || d < 0 && e < 0 && f < 0
}
