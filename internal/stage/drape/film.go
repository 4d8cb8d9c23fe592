package drape

import (
	"context"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/mesh"
)

// layFilm finds the flat places of a sheet that does not shear. The stretch at a
// vertex is then the largest and the least of all directions.
func (r *Result) layFilm(ctx context.Context, s *surface) error {
	if err := r.stiffen(ctx, s); err != nil {
		return err
	}
	r.recover(s)
	r.stretchOfFilm(s)
	return nil
}

// stiffen moves the flat places to where those of a sheet that does not shear lie: from
// where cloth would, by steps that hold each triangle's turn, which go down from
// anywhere, then faster.
func (r *Result) stiffen(ctx context.Context, s *surface) error {
	p := newProblem(s, pinned(r.Net.s.Triangles[r.seed.Face], r.Flat))
	if err := r.open(ctx, p, cloth{math.Pi}); err != nil {
		return err
	}
	rep, err := p.descend(ctx, r.Flat, rigid{film{open: true}}, easings)
	if err != nil {
		return err
	}
	r.Steps += rep.steps
	rep, err = p.creep(ctx, r.Flat, film{open: true}, stepsOn(len(r.Flat)))
	if err != nil {
		return err
	}
	r.Steps += rep.steps
	r.Residual, r.Converged = rep.residual*s.edge, rep.atRest
	r.straighten()
	return nil
}

// straighten turns the flat places so that the warp lies along u at the seed,
// and the seed at (0, 0).
func (r *Result) straighten() {
	r.align()
	var at r2.Vec
	for k, v := range r.Net.s.Triangles[r.seed.Face] {
		at = r2.Add(at, r2.Scale(r.seed.Bary[k], r.Flat[v]))
	}
	for v, q := range r.Flat {
		r.Flat[v] = r2.Sub(q, at)
	}
}

// stretchOfFilm puts the largest and the least stretch at each vertex in the
// place of those of warp and weft.
func (r *Result) stretchOfFilm(s *surface) {
	most, least := make([]float64, len(s.Triangles)), make([]float64, len(s.Triangles))
	for f := range s.Triangles {
		if g := s.gradientOf(f, r.Flat); !s.flat(f) && g.det() > 0 {
			big, small := g.singular()
			most[f], least[f] = 1/small-1, 1/big-1
		}
	}
	most, least = s.atVertices(r.Flat, most), s.atVertices(r.Flat, least)
	for v := range r.Stretch {
		r.Stretch[v] = [2]float64{most[v], least[v]}
	}
}

// singular returns the largest and the least change of length over the gradient;
// the least is negative where it turns over.
func (g gradient) singular() (big, small float64) {
	p, q := math.Hypot(g.a+g.d, g.c-g.b)/2, math.Hypot(g.a-g.d, g.c+g.b)/2
	return p + q, p - q
}

// Distortion tells what becomes of lengths and areas when a surface is laid
// flat: flat against curved, 1 where nothing changes.
type Distortion struct {
	Most, Least          float64 // of a length, over all triangles and directions
	SmallArea, LargeArea float64 // of a triangle
	RMS                  float64 // root mean square of both main changes of length less 1, by area
	Turned               int     // triangles that lie turned over, left out above
	RimWorst             float64 // largest change of a rim's side less 1, either way
	Rim                  float64 // of all rims together less 1
}

// Distortion returns the distortion of a surface, by its own triangles, that was
// laid flat as the result has it.
func (r *Result) Distortion(on *mesh.Topology) Distortion {
	s := newSurface(on)
	d := Distortion{Least: math.Inf(1), SmallArea: math.Inf(1)}
	var sum, whole float64
	for f := range s.Triangles {
		g := s.gradientOf(f, r.Flat)
		switch {
		case s.flat(f):
			continue
		case !(g.det() > 0):
			d.Turned++
			continue
		}
		big, small := g.singular()
		d.Most, d.Least = max(d.Most, big), min(d.Least, small)
		d.SmallArea, d.LargeArea = min(d.SmallArea, big*small), max(d.LargeArea, big*small)
		sum += s.area[f] * ((big-1)*(big-1) + (small-1)*(small-1)) / 2
		whole += s.area[f]
	}
	d.RMS = math.Sqrt(sum / whole)
	d.RimWorst, d.Rim = r.rimDistortion(s)
	return d
}

func (r *Result) rimDistortion(s *surface) (worst, all float64) {
	var flat, curved float64
	for h, twin := range s.topology.Twin {
		if twin >= 0 {
			continue
		}
		p := s.local[h/3]
		long := r2.Norm(r2.Sub(p[(h+1)%3], p[h%3]))
		laid := r2.Norm(r2.Sub(r.Flat[s.topology.To(h)], r.Flat[s.topology.From(h)]))
		flat, curved = flat+laid, curved+long
		if long > 0 {
			worst = max(worst, math.Abs(laid/long-1))
		}
	}
	return worst, flat/curved - 1
}

// film keeps its lengths in all directions as well as it can:
//
//	E = ½[(σ₁ − 1)² + (σ₂ − 1)²] = ½[2(p − 1)² + 2q²]
//
// σ are the singular values of the gradient, the second negative where the
// triangle is turned over; p and q are the lengths of its parts that turn and
// that distort, σ = p ± q. This is the energy of the sheet that stays as rigid
// as possible.
//
// Source: [liu2008].
type film struct{ open bool } // open: no triangle may be turned over on the way

func (f film) foldsFree() bool { return f.open }

func (film) terms(g gradient, out []term) []term {
	x, y := (g.a+g.d)/2, (g.c-g.b)/2
	p := math.Hypot(x, y)
	if p == 0 {
		return append(out, term{value: -math.Sqrt2})
	}
	r := math.Sqrt2 / 2
	return append(out,
		term{math.Sqrt2 * (p - 1), r * x / p, -r * y / p, r * y / p, r * x / p},
		term{r * (g.a - g.d), r, 0, 0, -r},
		term{r * (g.c + g.b), 0, r, r, 0})
}

// rigid is film's energy with each triangle's turn held during a step. Its steps
// are short, but every one goes down, however far off the start is.
type rigid struct{ film }

func (rigid) terms(g gradient, out []term) []term {
	x, y := (g.a+g.d)/2, (g.c-g.b)/2
	p := math.Hypot(x, y)
	if p == 0 {
		x, p = 1, 1
	}
	return append(out, term{value: g.a - x/p, a: 1}, term{value: g.b + y/p, b: 1},
		term{value: g.c - y/p, c: 1}, term{value: g.d - x/p, d: 1})
}
