package geom

import (
	"errors"
	"fmt"

	"github.com/peterstace/simplefeatures/geom"
	"gonum.org/v1/gonum/spatial/r2"
)

// Region is a polygon with holes. Neither ring may cross itself, the holes lie
// inside the outer ring and do not overlap. The sense of travel is free on
// input; results have Outer anticlockwise and Holes clockwise.
type Region struct {
	Outer Polygon
	Holes []Polygon
}

// Region is the polygon as a region without holes.
func (p Polygon) Region() Region { return Region{Outer: p} }

// Area is the area between the outer ring and the holes; never negative.
func (r Region) Area() float64 {
	a := abs(r.Outer.Area())
	for _, h := range r.Holes {
		a -= abs(h.Area())
	}
	return max(0, a)
}

// Contains reports whether q lies in the outer ring and in none of the holes.
func (r Region) Contains(q r2.Vec) bool {
	if !r.Outer.Contains(q) {
		return false
	}
	for _, h := range r.Holes {
		if h.Contains(q) {
			return false
		}
	}
	return true
}

// Distance is how far q is from the nearest border, of the outer ring or a hole.
func (r Region) Distance(q r2.Vec) float64 {
	d := r.Outer.Distance(q)
	for _, h := range r.Holes {
		d = min(d, h.Distance(q))
	}
	return d
}

// Union is what lies in any of the regions.
func Union(regions ...Region) ([]Region, error) {
	g, err := shapes(regions)
	if err != nil {
		return nil, fmt.Errorf("union: %w", err)
	}
	return overlay("union", func() (geom.Geometry, error) { return geom.UnionMany(g) })
}

// Intersect is what lies in both a and b.
func Intersect(a, b []Region) ([]Region, error) {
	return binary("intersection", geom.Intersection, a, b)
}

// Difference is what lies in a and not in b.
func Difference(a, b []Region) ([]Region, error) {
	return binary("difference", geom.Difference, a, b)
}

// IntersectionArea is the area that a and b share. Both are seen from the middle of a:
// far from the origin the library loses sides that nearly touch.
func IntersectionArea(a, b Polygon) (float64, error) {
	middle := r2.Scale(-1, a.Bounds().Center())
	a, b = a.Shift(middle), b.Shift(middle)
	shared, err := Intersect([]Region{a.Region()}, []Region{b.Region()})
	var sum float64
	for _, r := range shared {
		sum += r.Area()
	}
	return sum, err
}

// Valid says why p is no simple polygon: fewer than three corners, a number
// that is not finite, no area, or a border that touches or crosses itself.
func (p Polygon) Valid() error {
	_, err := shape(p.Region())
	return err
}

func binary(name string, op func(a, b geom.Geometry) (geom.Geometry, error), a, b []Region) ([]Region, error) {
	// Parts of one side may touch or overlap, so each side is joined first.
	side := func(rs []Region) (geom.Geometry, error) {
		g, err := shapes(rs)
		if err != nil || len(g) == 0 {
			return geom.Geometry{}, err
		}
		if len(g) == 1 {
			return g[0], nil
		}
		return geom.UnionMany(g)
	}
	return overlay(name, func() (geom.Geometry, error) {
		ga, err := side(a)
		if err != nil {
			return geom.Geometry{}, err
		}
		gb, err := side(b)
		if err != nil {
			return geom.Geometry{}, err
		}
		return op(ga, gb)
	})
}

// overlay runs a Boolean operation and turns its answer into regions. The
// library panics on broken invariants of its edge graph; that must stay here.
func overlay(name string, op func() (geom.Geometry, error)) (out []Region, err error) {
	defer func() {
		if r := recover(); r != nil {
			out, err = nil, fmt.Errorf("%s of polygons: %v", name, r)
		}
	}()
	g, err := op()
	if err != nil {
		return nil, fmt.Errorf("%s of polygons: %w", name, err)
	}
	return regions(g), nil
}

func shapes(rs []Region) ([]geom.Geometry, error) {
	var out []geom.Geometry
	for i, r := range rs {
		s, err := shape(r)
		if err != nil {
			return nil, fmt.Errorf("polygon %d: %w", i, err)
		}
		out = append(out, s.AsGeometry())
	}
	return out, nil
}

func shape(r Region) (geom.Polygon, error) {
	rings := []geom.LineString{ring(r.Outer)}
	for _, h := range r.Holes {
		rings = append(rings, ring(h))
	}
	p := geom.NewPolygon(rings)
	if len(r.Outer) < 3 {
		return p, errors.New("fewer than three corners")
	}
	if err := p.Validate(); err != nil {
		return p, err
	}
	if p.Area() == 0 {
		return p, errors.New("no area")
	}
	return p, nil
}

func ring(p Polygon) geom.LineString {
	xy := make([]float64, 0, 2*len(p)+2)
	for _, v := range p {
		xy = append(xy, v.X, v.Y)
	}
	if len(p) > 0 {
		xy = append(xy, p[0].X, p[0].Y)
	}
	return geom.NewLineString(geom.NewSequence(xy, geom.DimXY))
}

// regions keeps the faces of an answer; shared points and edges have no area.
func regions(g geom.Geometry) []Region {
	var out []Region
	for _, part := range g.Dump() {
		if !part.IsPolygon() || part.IsEmpty() {
			continue
		}
		p := part.MustAsPolygon().ForceCCW()
		r := Region{Outer: corners(p.ExteriorRing())}
		for i := range p.NumInteriorRings() {
			r.Holes = append(r.Holes, corners(p.InteriorRingN(i)))
		}
		out = append(out, r)
	}
	return out
}

func corners(l geom.LineString) Polygon {
	seq := l.Coordinates()
	p := make(Polygon, 0, seq.Length())
	for i := range seq.Length() - 1 { // the last repeats the first
		v := seq.GetXY(i)
		p = append(p, r2.Vec{X: v.X, Y: v.Y})
	}
	return p
}
