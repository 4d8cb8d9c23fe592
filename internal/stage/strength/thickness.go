package strength

import (
	"fmt"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// leastBare is the area of triangles without cloth from which on it is told.
const leastBare = si.Area(1e-4)

// measure reports how thick the wall is.
func (r *Result) measure(in *Input, s *stacks) {
	r.Wall = make([]float64, len(s.axis))
	for f := range r.Wall {
		h := s.thickness(f)
		r.Wall[f] = h
		if f == 0 || h < float64(r.Thinnest) {
			r.Thinnest, r.ThinnestAt = si.Length(h), place(in.Mesh.Centroid(f))
		}
		if h > float64(r.Thickest) {
			r.Thickest, r.ThickestAt = si.Length(h), place(in.Mesh.Centroid(f))
		}
	}
	if s.bare > leastBare {
		f := r.find(fault.Stop, "wall-bare", fmt.Sprintf("Over %.1f cm² there is no cloth at all; as good as nothing stands there in the solve.", 1e4*float64(s.bare)),
			"The pieces do not reach there.", "See the findings on coverage, and lay cloth there.")
		*f = f.Against(1e4*float64(s.bare), 1e4*float64(leastBare), "cm²")
	}
}
