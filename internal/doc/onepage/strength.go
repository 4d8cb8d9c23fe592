package onepage

import (
	"fmt"
	"math"

	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/job"
)

// strengthPicture shows how much of its strength the wall uses, the factor
// counted in; where that is not known, how far it gives; and else the bare part.
func strengthPicture(p job.Plan) picture {
	m, s := p.Mould.Surface, p.Strength
	scene := draw.Scene{Vertices: m.Vertices, Triangles: m.Triangles, Edges: true}
	switch {
	case s.Index != nil && len(s.Share) == len(m.Triangles):
		factor := s.Factor
		if !(factor > 0) {
			factor = 1
		}
		one := 1.0
		values := worstAround(m, s.Share, factor)
		high := roundUp(top(values))
		scene.Values = held(values, high)
		scene.Range = draw.Range{Ramp: draw.Sequential(), High: high, Limit: &one, Label: "strength used"}
		caption := "Strength used"
		if factor != 1 {
			caption = fmt.Sprintf("Strength used, with factor %s", draw.Short(factor))
		}
		return mapPicture(caption, scene)
	case len(s.Move) == len(m.Vertices):
		unit, size := "mm", 1000.0
		if p.Spec.Show == si.US {
			unit, size = "in", 1/0.0254
		}
		for _, v := range s.Move {
			scene.Values = append(scene.Values, size*math.Sqrt(v.X*v.X+v.Y*v.Y+v.Z*v.Z))
		}
		scene.Range = draw.Range{Ramp: draw.Sequential(), High: roundUp(top(scene.Values)), Label: "gives by", Unit: unit}
		return mapPicture("Deflection", scene)
	}
	return picture{"Part", scene.Draw}
}

// worstAround carries a number of triangles to the vertices: the largest of
// those that meet there, so that no peak is smoothed away.
func worstAround(m *mesh.Mesh, share []float64, factor float64) []float64 {
	out := make([]float64, len(m.Vertices))
	for i := range out {
		out[i] = math.NaN()
	}
	for i, t := range m.Triangles {
		for _, v := range t {
			if x := factor * share[i]; !(out[v] >= x) {
				out[v] = x
			}
		}
	}
	return out
}

// held puts an infinite share, where heat alone breaks the wall, beyond the
// scale, so that the limit's line can be drawn round it.
func held(values []float64, high float64) []float64 {
	for i, v := range values {
		if math.IsInf(v, 1) {
			values[i] = 2 * max(high, 1)
		}
	}
	return values
}

// top is the largest finite value.
func top(values []float64) (out float64) {
	for _, v := range values {
		if finite(v) {
			out = max(out, v)
		}
	}
	return out
}

// roundUp returns 1, 2 or 5 times a power of ten, not below x; 1 for nought.
func roundUp(x float64) float64 {
	if !(x > 0) || !finite(x) {
		return 1
	}
	unit := math.Pow(10, math.Floor(math.Log10(x)))
	for _, m := range [...]float64{1, 2, 5} {
		if m*unit >= x*(1-1e-9) {
			return m * unit
		}
	}
	return 10 * unit
}
