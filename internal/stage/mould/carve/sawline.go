package carve

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"laywright/internal/base/geom"
)

// envelope is what any of the levels fills, grown by the wood left for the saw.
func (b *body) envelope(of []Level, grow float64) ([]geom.Region, error) {
	var rs []geom.Region
	var before []geom.Region
	for _, l := range of {
		if !same(before, l.Cut) {
			rs = append(rs, l.Cut...)
		}
		before = l.Cut
	}
	if len(rs) == 0 {
		return nil, nil
	}
	joined, err := geom.Union(rs...)
	if err != nil {
		return nil, fmt.Errorf("the outline of a board: %w", err)
	}
	return grown(joined, grow)
}

// grown grows regions, or shrinks them by a negative distance.
func grown(of []geom.Region, by float64) (out []geom.Region, err error) {
	for _, r := range of {
		parts, err := geom.OffsetRegion(eased(r), by)
		if err != nil {
			return nil, fmt.Errorf("the outline of a board: %w", err)
		}
		out = append(out, parts...)
	}
	if by > 0 && len(out) > 1 {
		return geom.Union(out...)
	}
	return out, nil
}

// eased drops corners that tell a saw nothing.
func eased(r geom.Region) geom.Region {
	out := geom.Region{Outer: easedRing(r.Outer)}
	for _, h := range r.Holes {
		if math.Abs(h.Area()) > speck {
			out.Holes = append(out.Holes, easedRing(h))
		}
	}
	return out
}

func easedRing(p geom.Polygon) geom.Polygon {
	var q geom.Polygon
	kept := geom.Simplify(p, ChordTo).Clean(ChordTo / 5)
	for i, at := range kept { // the corner that it begins with stays whether it is one or not
		before, after := kept[(i+len(kept)-1)%len(kept)], kept[(i+1)%len(kept)]
		if geom.SegmentDistance(at, before, after) > ChordTo/50 {
			q = append(q, at)
		}
	}
	if q.Valid() == nil {
		return q
	}
	return p
}

// same tells whether two slices are one: of an upright wall all are.
func same(a, b []geom.Region) bool {
	const close = 1e-6 // m
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if len(a[i].Outer) != len(b[i].Outer) || len(a[i].Holes) > 0 || len(b[i].Holes) > 0 {
			return false
		}
		for k, p := range a[i].Outer {
			if r2.Norm(r2.Sub(p, b[i].Outer[k])) > close {
				return false
			}
		}
	}
	return true
}

// leastInside is the area from which a plug's inside is worth sawing out, m².
const leastInside = 25e-4

// hollowed saws the inside out of a plug's board, where the shape holds the wall's
// thickness on all sides and above.
func (b builder) hollowed(saw []geom.Region, low, high float64) ([]geom.Region, error) {
	wall := float64(b.in.How.Hollow)
	if high+wall >= b.wood.bounds.Max.Z {
		return saw, nil
	}
	all, _ := b.wood.levels(low, high+wall)
	inside := all[0].Cut
	var err error
	for i, l := range all[1:] {
		if same(all[i].Cut, l.Cut) {
			continue
		}
		if inside, err = geom.Intersect(inside, l.Cut); err != nil {
			return nil, fmt.Errorf("the inside of a board: %w", err)
		}
	}
	if inside, err = grown(inside, -wall); err != nil {
		return nil, err
	}
	for _, r := range inside {
		if r.Area() < leastInside {
			continue
		}
		if saw, err = geom.Difference(saw, []geom.Region{r.Outer.Region()}); err != nil {
			return nil, fmt.Errorf("the inside of a board: %w", err)
		}
	}
	return saw, nil
}

func (l Level) eased() Level {
	out := Level{Z: l.Z}
	for _, r := range l.Cut {
		out.Cut = append(out.Cut, eased(r))
	}
	return out
}
