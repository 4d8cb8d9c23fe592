package drape

import (
	"context"
	"math"
	"slices"
)

// trifling is the share of a surface up to which cloth may lock without being laid
// another way too.
const trifling = 1e-5

// worth is by how much less the cloth must lock that is laid loose to be preferred:
// smaller gains are within what the triangles' own errors give.
const worth = 0.5

// layWoven lays cloth as the net has it, and loose from the net if it locks so; where the net
// itself locks, loose first.
//
// Behind a place that holds curvature the net has no choice: all its yarns are sheared
// by what they enclose. Cloth that gives a little there may lie beyond it almost
// unsheared. No descent that begins with the net comes to that, since the net's places
// are held, and what triangles show against them is taken for their error.
func (r *Result) layWoven(ctx context.Context, s *surface, sh cloth, o start) (*Result, error) {
	loose := &Result{Net: r.Net, Flat: slices.Clone(r.Flat), Covered: r.Covered}
	lies := func(one *Result) bool { return s.locked(one.Shear, sh) <= trifling*s.whole }
	early := s.locked(o.shearTold(), sh) > trifling*s.whole
	if early {
		if err := loose.layLoose(ctx, s, sh, o); err != nil || lies(loose) {
			return loose, err
		}
	}
	if err := r.layCloth(ctx, s, sh, o); err != nil || lies(r) {
		return r, err
	}
	if !early {
		copy(loose.Flat, r.Flat)
		if err := loose.layLoose(ctx, s, sh, o); err != nil {
			return nil, err
		}
	}
	all := r.Steps + loose.Steps
	if s.locked(loose.Shear, sh) < worth*s.locked(r.Shear, sh) {
		r = loose
	}
	r.Steps = all
	return r, nil
}

// layLoose lays cloth that knows nothing of the net but the two yarns through the seed:
// it begins as a sheet lies that does not shear.
func (r *Result) layLoose(ctx context.Context, s *surface, sh cloth, o start) error {
	if err := r.stiffen(ctx, s); err != nil {
		return err
	}
	r.Steps = 0 // those that only find a start do not count
	o.rank = slices.Repeat([]int8{unknown}, len(o.rank))
	return r.layCloth(ctx, s, sh, o)
}

// shearTold is the net's shear at the vertices where it tells it, 0 at the others.
func (o start) shearTold() []float64 {
	out := slices.Clone(o.shear)
	for v := range out {
		if !o.told(int32(v)) {
			out[v] = 0
		}
	}
	return out
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
