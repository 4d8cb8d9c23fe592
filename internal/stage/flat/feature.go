package flat

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
)

// What a knife can cut, m: common practice for a drag knife in woven cloth.
const (
	leastNotch = 1e-3 // a notch narrower than this is one knife line
	leastSpike = 2e-3 // cloth narrower than this frays away
	// leastBit is the area that a spike must have to be blunted, m²: a point of more
	// than 45° has less beyond where it is [leastSpike] wide.
	leastBit = 1.2e-6
	sharpest = 120 * math.Pi / 180
)

// cuttable returns a shape without notches and spikes that no knife follows. What
// lies inside the net is never cut off; where that is too narrow its place is
// returned.
func cuttable(shape, net geom.Region) (geom.Region, [][2]float64) {
	if !pinched(shape) {
		return shape, nil
	}
	shape = closed(shape, leastNotch/2)
	var cut []geom.Region
	var narrow [][2]float64
	for _, bit := range bits(shape, leastSpike/2) {
		if inside, err := geom.Intersect([]geom.Region{bit}, []geom.Region{net}); err != nil || area(inside) > 0.05*bit.Area() {
			at := bit.Outer.Centroid()
			narrow = append(narrow, [2]float64{at.X, at.Y})
			continue
		}
		cut = append(cut, bit)
	}
	if len(cut) > 0 {
		if left, err := geom.Difference([]geom.Region{shape}, cut); err == nil && len(left) > 0 {
			shape = largest(left)
		}
	}
	return shape, narrow
}

// pinched tells whether any of a shape's corners comes nearer than [leastSpike] to a
// side that is farther than thrice that along the border, or its border turns by more
// than sharpest in as short a way: without such there is nothing to mend.
func pinched(shape geom.Region) bool {
	for i, ring := range append([]geom.Polygon{shape.Outer}, shape.Holes...) {
		if i > 0 && math.Abs(ring.Area()) < leastHole {
			continue
		}
		n := len(ring)
		arc := make([]float64, n+1)
		for k := range ring {
			arc[k+1] = arc[k] + r2.Norm(r2.Sub(ring[(k+1)%n], ring[k]))
		}
		way := func(a, b float64) float64 { d := math.Abs(a - b); return min(d, arc[n]-d) }
		for k, p := range ring {
			for j := range ring {
				if way(arc[k], arc[j]) > 3*leastSpike && way(arc[k], arc[j+1]) > 3*leastSpike &&
					geom.SegmentDistance(p, ring[j], ring[(j+1)%n]) < leastSpike {
					return true
				}
			}
			if before, next := r2.Sub(p, ring[(k+n-1)%n]), r2.Sub(ring[(k+1)%n], p); r2.Dot(before, next) < r2.Norm(before)*r2.Norm(next)*math.Cos(sharpest) {
				return true
			}
		}
	}
	return false
}

// closed fills notches narrower than twice r.
func closed(shape geom.Region, r float64) geom.Region {
	wide, err := geom.OffsetRegion(shape, r)
	if err != nil || len(wide) == 0 {
		return shape
	}
	back, err := geom.OffsetRegion(thin(largest(wide)), -r)
	if err != nil || len(back) == 0 {
		return shape
	}
	return thin(largest(back))
}

// bits returns what of a shape is narrower than twice r, corners left out.
func bits(shape geom.Region, r float64) (out []geom.Region) {
	small, err := geom.OffsetRegion(shape, -r)
	if err != nil {
		return nil
	}
	var opened []geom.Region
	for _, s := range small {
		grown, err := geom.OffsetRegion(thin(s), r*1.02) // a little more, so that smooth borders leave no slivers
		if err != nil {
			return nil
		}
		opened = append(opened, grown...)
	}
	rest, err := geom.Difference([]geom.Region{shape}, opened)
	if err != nil {
		return nil
	}
	for _, bit := range rest {
		if bit.Area() > leastBit {
			out = append(out, bit)
		}
	}
	return out
}

// thin drops corners that an offset has made and no knife sees.
func thin(r geom.Region) geom.Region {
	slim := func(p geom.Polygon) geom.Polygon {
		if t := geom.Simplify(p, smooth/5); t.Valid() == nil {
			return t
		}
		return p
	}
	r.Outer = slim(r.Outer)
	holes := r.Holes
	r.Holes = nil
	for _, h := range holes {
		if math.Abs(h.Area()) > leastBit {
			r.Holes = append(r.Holes, slim(h))
		}
	}
	return r
}

func area(of []geom.Region) (sum float64) {
	for _, r := range of {
		sum += r.Area()
	}
	return sum
}
