package strengthdraw

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
	"laywright/internal/job"
	"laywright/internal/stage/strength"
)

// sheet is the strength of a plan on the surface that it is drawn on, no finer than
// paper shows.
type sheet struct {
	*strength.Result
	plan  job.Plan
	words words
	drawn *mesh.Mesh
	of    []int32 // the vertex that each drawn one stands for; nil: the same
}

// open returns nil where a plan has no strength to be drawn.
func open(p job.Plan) *sheet {
	if p.Strength == nil || p.Strength.Mesh == nil || len(p.Strength.Mesh.Triangles) == 0 {
		return nil
	}
	s := &sheet{Result: p.Strength, plan: p, words: wordsOf(p)}
	s.drawn, s.of = plydraw.Drawable(p.Strength.Mesh)
	return s
}

// taken returns the values of the vertices that are drawn.
func taken[T any](s *sheet, values []T) []T {
	if s.of == nil {
		return values
	}
	out := make([]T, len(s.of))
	for i, v := range s.of {
		out[i] = values[v]
	}
	return out
}

// worst carries a number of each triangle to the drawn vertices: the largest of
// those round it, so that no peak is smoothed away.
func (s *sheet) worst(of []float64) []float64 {
	m := s.Mesh
	if s.of == nil {
		return around(m, func(f int) float64 { return of[f] })
	}
	find := mesh.NewLocator(s.drawn)
	most := make([]float64, len(s.drawn.Triangles))
	for f, x := range of {
		if hit, ok := find.Closest(m.Centroid(f)); ok {
			most[hit.Face] = math.Max(most[hit.Face], x)
		}
	}
	return around(s.drawn, func(f int) float64 { return most[f] })
}

func around(m *mesh.Mesh, of func(f int) float64) []float64 {
	out := make([]float64, len(m.Vertices))
	for f, t := range m.Triangles {
		for _, v := range t {
			out[v] = math.Max(out[v], of(f))
		}
	}
	return out
}

// shown is the share of the surface's diagonal that the largest of a motion is drawn
// as, at most.
const shown = 0.04

// times is how many times as large a motion is drawn, a round number.
func (s *sheet) times(size float64) float64 {
	if size == 0 {
		return 1
	}
	return roundDown(shown * s.Mesh.Diagonal() / size)
}

// moved is the drawn surface with its vertices moved by so many times a motion.
func (s *sheet) moved(by []r3.Vec, times float64) *mesh.Mesh {
	m := &mesh.Mesh{Vertices: make([]r3.Vec, len(s.drawn.Vertices)), Triangles: s.drawn.Triangles}
	for v, d := range taken(s, by) {
		m.Vertices[v] = r3.Add(s.drawn.Vertices[v], r3.Scale(times, d))
	}
	return m
}

// seen looks at the surface, moved, from where it is seen at rest.
func (s *sheet) seen(moved *mesh.Mesh, values []float64, r draw.Range) plydraw.Views {
	return plydraw.NewViews(moved, values, r, plydraw.NewViews(s.drawn, nil, r).Eyes()...)
}

// farthest is the vertex that moves most, and how far.
func farthest(by []r3.Vec) (at int, size float64) {
	for v, d := range by {
		if x := r3.Norm(d); x > size {
			at, size = v, x
		}
	}
	return at, size
}

// roundDown returns 1, 2 or 5 times a power of ten, not above x.
func roundDown(x float64) float64 {
	unit := math.Pow(10, math.Floor(math.Log10(x)))
	for _, m := range [...]float64{5, 2} {
		if m*unit <= x*(1+1e-9) {
			return m * unit
		}
	}
	return unit
}

// stretch is how far beyond what is reached a scale goes to show a limit.
const stretch = 1.6

// scale is a map's scale from nought that ends on a round number: at the largest
// finite value, or at the limit, if that lies not far beyond.
func scale(label, unit string, values []float64, limit *float64) draw.Range {
	high := 0.0
	for _, x := range values {
		if !math.IsInf(x, 0) {
			high = math.Max(high, x)
		}
	}
	if limit != nil && *limit > high && *limit <= stretch*high {
		high = *limit
	}
	if ticks := draw.Ticks(0, high, 5); len(ticks) > 1 {
		high = ticks[1] * math.Ceil(high/ticks[1]-1e-9)
	} else {
		high = 1
	}
	return draw.Range{Ramp: draw.Sequential(), High: high, Limit: limit, Label: label, Unit: unit}
}

func vec(a [3]float64) r3.Vec { return r3.Vec{X: a[0], Y: a[1], Z: a[2]} }
