// Package overlay answers of what cloth a wall is made at each place: it needs what each
// ply lays on each triangle of the surface, its bodies, laps and patches, and tells
// apart the parts of a triangle over which the same cloth lies.
//
// A place in a triangle is given by the weights of its second and third corner, so that
// the triangle is the corner of the unit square below its diagonal. Lengths are
// metres, angles radians.
//
// It does not know how cloth came to lie there, nor what it is made of.
package overlay

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/geom"
)

// crumb is the area in weights that is left out as rounding.
const crumb = 1e-10

// Cloth is what one ply lays on each triangle of the surface, and where its seams
// are butted.
type Cloth struct {
	On    [][]Bit // bodies first, then patches and laps, which lie over them
	Butts []Butt
	Share []float64 // of each triangle in its own of the surface as it was given
	In    []int32   // that triangle; nil: they are the same
}

// Bit is cloth of one piece on a triangle: its body there, a patch or a lap.
type Bit struct {
	Yarns
	Of     int32         // names the body, patch or lap within its ply
	Bulk   float64       // flat area over the area that it covers
	Shapes []geom.Convex // that do not overlap, in weights; nil: the whole triangle
}

// Yarns is how cloth lies on a triangle.
type Yarns struct {
	Warp, Weft r3.Vec  // unit vectors in its plane
	Shear      float64 // rad
}

// Mixed is the mean of y and of what has a share s of the whole, in one plane.
func (y Yarns) Mixed(o Yarns, s float64) Yarns {
	mean := func(a, b r3.Vec) r3.Vec {
		v := r3.Add(r3.Scale(1-s, a), r3.Scale(s, b))
		if n := r3.Norm(v); n > 0 {
			return r3.Scale(1/n, v)
		}
		return v
	}
	return Yarns{mean(y.Warp, o.Warp), mean(y.Weft, o.Weft), (1-s)*y.Shear + s*o.Shear}
}

// Butt is a place at which no cloth of the ply goes on over a seam.
type Butt struct {
	Face  int32
	Along r3.Vec // unit vector
}

// Part is a share of a triangle over which the same cloth lies, from the mould.
type Part struct {
	Share float64
	Bits  []PlyBit
}

// PlyBit is the cloth of a ply, by its place in the stack from 0.
type PlyBit struct {
	Ply int
	*Bit
}

// Walls tells of what cloth the wall is made over each triangle of the surface as it
// was given, ply upon ply; what a ply lays twice lies on itself. The parts' shares
// add up to 1, and share times bulk to the flat area of cloth laid:
//
//	Σ area·Σ share·Σ bulk = flat area of cloth on the surface
//
// Plies laid by themselves may be put together, if the surface is the same.
func Walls(plies []Cloth) [][]Part {
	if len(plies) == 0 {
		return nil
	}
	c := &plies[0]
	count := len(c.On)
	if c.In != nil {
		count = int(slices.Max(c.In)) + 1
	}
	out := make([][]Part, count)
	for f := range c.On {
		at, share := f, 1.0
		if c.In != nil {
			at, share = int(c.In[f]), c.Share[f]
		}
		for _, p := range wallOn(plies, f) {
			p.Share *= share
			out[at] = join(out[at], p)
		}
	}
	return out
}

// alike is the cosine of the angle, 5 degrees, up to which cloth of one body counts as
// lying alike; beyond, as on the two sides of a slit, it does not.
const alike = 0.9962

// join adds a part to those of a triangle: to one of the same bodies and laps that lie
// alike, if there is one, which then has the mean of both.
func join(to []Part, p Part) []Part {
	same := func(a, b PlyBit) bool {
		return a.Ply == b.Ply && a.Of == b.Of && !(r3.Dot(a.Warp, b.Warp) < alike*r3.Norm(a.Warp)) && !(r3.Dot(a.Weft, b.Weft) < alike*r3.Norm(a.Weft))
	}
	i := slices.IndexFunc(to, func(o Part) bool { return slices.EqualFunc(o.Bits, p.Bits, same) })
	if i < 0 {
		return append(to, p)
	}
	sum := to[i].Share + p.Share
	s := p.Share / sum
	bits := make([]PlyBit, len(p.Bits))
	for k, b := range to[i].Bits {
		bits[k] = PlyBit{b.Ply, &Bit{Yarns: b.Mixed(p.Bits[k].Yarns, s), Of: b.Of, Bulk: (1-s)*b.Bulk + s*p.Bits[k].Bulk}}
	}
	to[i] = Part{sum, bits}
	return to
}

// field is a part of a triangle while plies are laid over it.
type field struct {
	bits   []PlyBit
	shapes []geom.Convex
}

func wallOn(plies []Cloth, f int) []Part {
	fields := []field{{shapes: []geom.Convex{{{}, {X: 1}, {Y: 1}}}}}
	for i := range plies {
		on := plies[i].On[f]
		for k := range on {
			fields = cover(fields, PlyBit{i, &on[k]})
		}
	}
	whole := 0.0
	for _, r := range fields {
		whole += geom.AreaOf(r.shapes)
	}
	out := make([]Part, len(fields))
	for i, r := range fields {
		out[i] = Part{geom.AreaOf(r.shapes) / whole, r.bits}
	}
	return out
}

// cover lays cloth over what there is: fields that it covers in part become two.
func cover(fields []field, l PlyBit) (out []field) {
	for _, r := range fields {
		laid := append(r.bits[:len(r.bits):len(r.bits)], l)
		if l.Shapes == nil {
			out = append(out, field{laid, r.shapes})
			continue
		}
		var in []geom.Convex
		rest := r.shapes
		for _, s := range l.Shapes {
			for _, p := range r.shapes {
				if q := p.Shared(s); q != nil && q.Area() > crumb {
					in = append(in, q)
				}
			}
			rest = geom.Without(rest, s, crumb)
		}
		if in != nil {
			out = append(out, field{laid, in})
		}
		if rest != nil {
			out = append(out, field{r.bits, rest})
		}
	}
	return out
}
