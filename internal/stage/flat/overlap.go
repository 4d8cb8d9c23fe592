package flat

import (
	"math"

	"laywright/internal/base/geom"
)

// speck is the area below which what a rim encloses wrongly is a slip of the flat
// map, not cloth, m².
const speck = 2e-6

// untangled resolves a rim that may cross itself. Where the two sides of one slit
// overlap in the flat, the cloth there is counted once, and the overlap is returned
// with its slit; ok is false where the rim overlaps in any other way.
//
// A sheet lies over a place as often as its rims wind round it: the outer one once
// over the cloth, and twice over an overlap; that of a hole once less over the hole,
// and once more over an overlap. parts are the cloth within an outer rim, the largest
// first, or the holes within that of a hole.
func untangled(ring []border, outer bool) (parts []geom.Polygon, doubled []overlap, ok bool) {
	whole := ringOf(ring)
	if whole.Valid() == nil {
		return []geom.Polygon{whole}, nil, true
	}
	single := 1
	if !outer {
		single = 0
	}
	t := tangleOf(ring)
	for _, f := range t.faces {
		if math.Abs(f.border.Area()) < speck || f.winding == single || f.winding == single-1 {
			continue
		}
		slit, between := f.betweenSides(ring)
		if f.winding != single+1 || !between {
			return []geom.Polygon{whole}, nil, false
		}
		doubled = append(doubled, overlap{slit, f.border})
	}
	parts = t.rings(func(winding int) bool { return (winding >= single) == outer })
	if len(parts) == 0 || parts[0].Valid() != nil {
		return []geom.Polygon{whole}, nil, false
	}
	return parts, doubled, true
}

// overlap is where the two sides of a slit overlap in the flat.
type overlap struct {
	slit int
	area geom.Polygon
}

func ringOf(ring []border) geom.Polygon {
	out := make(geom.Polygon, len(ring))
	for i, e := range ring {
		out[i] = e.a
	}
	return out.Clean(1e-9)
}

// betweenSides returns the slit of which both sides border the face.
func (f face) betweenSides(ring []border) (slit int, ok bool) {
	seen := map[side]bool{}
	for _, i := range f.along {
		seen[ring[i].side] = true
	}
	for _, i := range f.along {
		if s := ring[i].slit; s >= 0 && seen[side{slit: s, left: true}] && seen[side{slit: s}] {
			return s, true
		}
	}
	return 0, false
}
