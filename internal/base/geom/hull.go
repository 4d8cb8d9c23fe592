package geom

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// Hull is the convex hull of points, anticlockwise, without corners on a
// straight line (Andrew's monotone chain). Fewer than three points, or points
// on one line, give the one or two ends.
// Source: [andrew1979]
func Hull(points []r2.Vec) Polygon {
	s := slices.Clone(points)
	slices.SortFunc(s, func(a, b r2.Vec) int {
		return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y))
	})
	s = slices.Compact(s)
	if len(s) < 3 {
		return s
	}
	lower := chain(s)
	slices.Reverse(s)
	upper := chain(s)
	return append(lower[:len(lower)-1], upper[:len(upper)-1]...)
}

// chain keeps the corners that turn left along sorted points.
func chain(s []r2.Vec) Polygon {
	var h Polygon
	for _, v := range s {
		for len(h) >= 2 && r2.Cross(r2.Sub(h[len(h)-1], h[len(h)-2]), r2.Sub(v, h[len(h)-1])) <= 0 {
			h = h[:len(h)-1]
		}
		h = append(h, v)
	}
	return h
}
