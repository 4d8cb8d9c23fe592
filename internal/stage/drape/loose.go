package drape

import (
	"context"
	"math"
	"slices"
)

// Cloth that locks on more than a trifling share of the surface where the net has it
// lies there, and is laid once more loose from the net; so it stays if it then locks on
// less than half as much. What is gained by less the triangles' own errors could give.
const (
	trifling = 1e-5
	worth    = 0.5
)

// loosened lays cloth that locks once more, and returns the better of both. Behind a
// place that holds curvature the net has no choice: all its yarns are sheared by what
// they enclose. Cloth that gives by a little, by less than the net's stretch at the
// places that lock costs, can lie there almost unsheared, but no descent from the net comes to that:
// the net's places are held, and what triangles show against it is taken for their
// error. So nothing is known of the net then but the two yarns through the seed, and
// the descent begins with the sheet as it lies if it does not shear at all.
func (r *Result) loosened(ctx context.Context, s *surface, sh cloth, o start) (*Result, error) {
	before := s.locked(r.Shear, sh)
	if before <= trifling*s.whole {
		return r, nil
	}
	loose := &Result{Net: r.Net, Flat: slices.Clone(r.Flat), Covered: r.Covered}
	if err := loose.stiffen(ctx, s); err != nil {
		return nil, err
	}
	loose.Steps = 0 // those that only find a start do not count
	if err := loose.layCloth(ctx, s, sh, o.forgotten()); err != nil {
		return nil, err
	}
	all := r.Steps + loose.Steps
	if s.locked(loose.Shear, sh) < worth*before {
		r = loose
	}
	r.Steps = all
	return r, nil
}

// forgotten is a start that knows nothing of the net.
func (o start) forgotten() start {
	o.rank = slices.Repeat([]int8{unknown}, len(o.rank))
	return o
}

// locked is the area on which shear is over the locking angle, m².
func (s *surface) locked(shear []float64, sh cloth) (sum float64) {
	for v, area := range s.vertexAreas() {
		if math.Abs(shear[v]) > sh.locking {
			sum += area
		}
	}
	return sum
}
