package mould

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/stage/mould/scan"
	"laywright/internal/stage/mould/skin"
	"laywright/internal/stage/mould/solid"
)

// knife is a cut-out or a trim line as a signed distance.
type knife struct {
	field string // in the job file
	cut   skin.Cut
	rim   Rim
	off   float64 // how far its place lies from the surface, m
	reach float64 // how far it may, m
}

// knives returns what the part's section cuts, in order. normal tells the
// surface's place nearest to a point and its normal there, for holes without an
// axis.
func knives(p PartSpec, normal func(at r3.Vec) (r3.Vec, r3.Vec)) ([]knife, error) {
	var out []knife
	if t := p.Trim; t != nil {
		switch {
		case t.Polyline != nil:
			ring, err := t.Polyline.Ring("part.trim.polyline")
			if err != nil {
				return nil, err
			}
			out = append(out, knife{field: "part.trim.polyline", cut: skin.Cut{Field: lineCut{f: upright(0), ring: ring, keep: true}}, rim: Rim{Kind: Outer}})
		case t.Plane != nil:
			out = append(out, planeKnife("part.trim.plane", t.Plane))
		}
	}
	for i, c := range p.Cutouts {
		k, err := c.knife(fault.Numbered("part.cutouts", i), normal)
		if err != nil {
			return nil, err
		}
		k.rim = Rim{Kind: CutRim, Index: i}
		out = append(out, k)
	}
	return out, nil
}

func (c Cutout) knife(field string, normal func(at r3.Vec) (r3.Vec, r3.Vec)) (knife, error) {
	if (c.Circle == nil) == (c.Polygon == nil) {
		return knife{}, &fault.Input{Field: field, What: "a cut-out is a circle or a polygon", Do: "write one of them"}
	}
	aim := func(at r3.Vec, given *bind.Direction) (near, axis r3.Vec) {
		near, n := normal(at)
		if axis, ok := axisOf(given); ok {
			return near, axis
		}
		return near, n
	}
	if s := c.Circle; s != nil {
		r := float64(s.Diameter) / 2
		if !(smallest <= r && r <= largest) {
			return knife{}, &fault.Range{Field: field + ".circle.diameter", Value: 2e3 * r, Min: 2e3 * smallest, Max: 2e3 * largest, Unit: " mm", Why: "no hole is cut so"}
		}
		near, axis := aim(s.At.V, s.Axis)
		return knife{field: field + ".circle", cut: skin.Cut{Field: roundCut{s.At.V, axis, r}, Near: &near, Fine: 0.6 * r}, off: r3.Norm(r3.Sub(near, s.At.V)), reach: max(r, 5e-3)}, nil
	}
	s := c.Polygon
	ring, err := s.Outline.Ring(field + ".polygon.outline")
	if err != nil {
		return knife{}, err
	}
	near, axis := aim(s.At.V, s.Axis)
	b := ring.Bounds()
	r := math.Hypot(b.Max.X-b.Min.X, b.Max.Y-b.Min.Y) / 2
	return knife{field: field + ".polygon", cut: skin.Cut{Field: lineCut{f: solid.Along(s.At.V, axis), ring: ring}, Near: &near, Fine: min(b.Max.X-b.Min.X, b.Max.Y-b.Min.Y) / 3}, off: r3.Norm(r3.Sub(near, s.At.V)), reach: 2 * max(r, 5e-3)}, nil
}

func planeKnife(field string, p *Plane) knife {
	return knife{field: field, cut: skin.Cut{Field: solid.Behind{O: p.At.V, N: p.Normal.V}}, rim: Rim{Kind: Outer}}
}

// outlineKnife takes off what lies outside an outline.
func outlineKnife(field string, s *PolygonCut) (knife, error) {
	ring, err := s.Outline.Ring(field + ".outline")
	if err != nil {
		return knife{}, err
	}
	axis, _ := axisOf(s.Axis)
	return knife{field: field, cut: skin.Cut{Field: lineCut{f: solid.Along(s.At.V, axis), ring: ring, keep: true}}, rim: Rim{Kind: Outer}}, nil
}

// scanned is the knife for an imported mesh.
func (k knife) scanned() scan.Cut {
	c := scan.Cut{Field: k.field, Near: k.cut.Near, Distance: func(p r3.Vec) float64 { d, _ := k.cut.Field.At(p); return d }}
	if l, ok := k.cut.Field.(lineCut); ok {
		c.Ring = l.ring
		c.Flat = func(p r3.Vec) r2.Vec {
			q := l.f.In(p)
			return r2.Vec{X: q.X, Y: q.Y}
		}
	}
	return c
}

// missed reports a cut-out that took nothing off, or not there.
func (k knife) missed(area float64) error {
	switch {
	case k.rim.Kind == Outer || area > 0 && k.off <= k.reach:
		return nil
	case k.off > k.reach:
		return &fault.Input{Field: k.field + ".at", What: fmt.Sprintf("the cut-out's place lies %.4g mm off the surface", 1e3*k.off), Do: "give a place on the part"}
	}
	return &fault.Input{Field: k.field + ".at", What: "along its axis the cut-out misses the part", Do: "turn its axis into the wall, or leave the axis out for the wall's own normal"}
}

// trim cuts the part's surface from the face; it returns the rims by the number
// of their cutter.
func (b *shape) trim(in Input, s *skin.Skin) (map[int32]Rim, error) {
	if t := in.Part.Trim; t != nil && t.Word == "flange" && !b.ground {
		return nil, &fault.Input{Field: "part.trim", What: "the mould has no flange to trim at", Do: "give mould.flange, or write whole"}
	}
	ks, err := knives(in.Part, func(at r3.Vec) (r3.Vec, r3.Vec) {
		p := at
		var n r3.Vec
		for range 50 {
			var d float64
			if d, n = b.joined.At(p); math.Abs(d) < 1e-9 {
				break
			}
			p = r3.Sub(p, r3.Scale(d, n))
		}
		return p, n
	})
	if err != nil {
		return nil, err
	}
	rims := map[int32]Rim{}
	for _, k := range ks {
		number, area := s.Cut(b.moved.cut(k.cut))
		if err := k.missed(area); err != nil {
			return nil, err
		}
		rims[number] = k.rim
	}
	return rims, nil
}
