package mould

import (
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/stage/mould/carve"
	"laywright/internal/stage/mould/skin"
	"laywright/internal/stage/mould/solid"
)

// cutFlange takes off what lies in a plane farther than width from the solids'
// foot there.
func (b *shape) cutFlange(s *skin.Skin, f solid.Frame, width float64, field string) error {
	f.O = r3.Add(f.O, r3.Scale(overFoot, f.Z))
	feet := b.feet(f, min(1e-3, b.least/3))
	f.O = r3.Sub(f.O, r3.Scale(overFoot, f.Z))
	if len(feet) == 0 {
		return &fault.Input{Field: field, What: "no solid stands on its plane, so there is nothing to put a flange round", Do: "set a solid's foot on the plane (z = 0 for the base plane), or leave the flange out"}
	}
	edge := flangeCut{f, feet, width}
	if err := b.clearOf(edge, field); err != nil {
		return err
	}
	s.Cut(skin.Cut{Field: edge, Where: inPlane(f)})
	return nil
}

// overFoot is how far over a plane the solids' foot is looked for, m: a solid that is
// cut off at the plane has none in it.
const overFoot = 1e-6

// feet returns the bare solids' outlines in the level plane of a frame.
func (b *shape) feet(f solid.Frame, cell float64) []geom.Polygon {
	bare := b.bare()
	flat := func(p r3.Vec) (float64, r3.Vec) { return bare.Sharp(f.Place(p)) }
	return carve.Foot(flat, seen(f, b.bounds), cell)
}

// seen returns the box of a frame that holds a box of the world.
func seen(f solid.Frame, b r3.Box) r3.Box {
	var out r3.Box
	for i := range 8 {
		c := b.Min
		if i&1 != 0 {
			c.X = b.Max.X
		}
		if i&2 != 0 {
			c.Y = b.Max.Y
		}
		if i&4 != 0 {
			c.Z = b.Max.Z
		}
		one := r3.Box{Min: f.In(c), Max: f.In(c)}
		if i == 0 {
			out = one
		}
		out = solid.Join(out, one)
	}
	return out
}

// clearOf refuses a flange whose edge runs through filler: where a solid hangs
// over it so low that no ball goes under.
func (b *shape) clearOf(c flangeCut, field string) error {
	const step = 2e-3
	for _, foot := range c.feet {
		for i, a := range foot {
			side := r2.Sub(foot[(i+1)%len(foot)], a)
			l := r2.Norm(side)
			if l == 0 {
				continue
			}
			out := r2.Scale(c.width/l, r2.Vec{X: side.Y, Y: -side.X})
			for x := 0.0; x < l; x += step {
				q := r2.Add(r2.Add(a, r2.Scale(x/l, side)), out)
				p := c.f.Place(r3.Vec{X: q.X, Y: q.Y})
				if g, _ := c.At(p); g < -1e-6 {
					continue // within reach of another side
				}
				if field != "mould.flange" && p.Z < b.base {
					continue // cut off by the base plane
				}
				if d, _ := b.joined.At(p); d < -1e-6 {
					return b.overhang(p, field)
				}
			}
		}
	}
	return nil
}
