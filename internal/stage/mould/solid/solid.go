// Package solid answers how far a point lies from the surface of a shape that a
// shop can carve: blocks, wedges, cylinders, cones, domes, blisters and swept
// ducts, and what they make together with rounded joints.
//
// Places are in metres, z rises from the base plane. A distance is positive
// outside and negative inside, and comes with the direction in which it grows.
// Distances of convex solids and of the joints between them are Euclidean; the
// sweep's is right on the surface and to first order beside it.
//
// It makes no meshes and knows neither moulds nor materials.
package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/geom"
)

// Field tells the signed distance of p from a surface, m, and the unit vector
// along which it grows: on the surface the outward normal.
type Field interface {
	At(p r3.Vec) (d float64, n r3.Vec)
}

// Crisp is a field that also tells a distance whose zero is the same, but whose
// direction is always that of a face and never fans out about a sharp edge.
type Crisp interface {
	Crisp(p r3.Vec) (d float64, n r3.Vec)
}

// crisp returns the crisp distance of fields that have one.
func crisp(f Field, p r3.Vec) (float64, r3.Vec) {
	if c, ok := f.(Crisp); ok {
		return c.Crisp(p)
	}
	return f.At(p)
}

// Enclosing is a field that tells of a hollow of its own, convex seen from within,
// whether p lies in it and a ball of radius r does not fit all of it.
type Enclosing interface {
	Encloses(p r3.Vec, r float64) bool
}

// encloses asks fields that have such a hollow.
func encloses(f Field, p r3.Vec, r float64) bool {
	e, ok := f.(Enclosing)
	return ok && e.Encloses(p, r)
}

// Solid is a field with a box that holds its surface at and above its foot.
type Solid interface {
	Field
	Bounds() r3.Box
}

// footed is a solid that ends in a plane where it stands: below the foot, at
// s = 0 along the axis, there is none of it. The body itself goes on below, so
// that its edge at the foot is not rounded.
type footed struct {
	body Solid
	at   r3.Vec
	axis r3.Vec // unit
}

// Footed cuts body off below the plane through at, square to the unit axis.
// Its distance is exact where the body's sides are straight there.
func Footed(body Solid, at, axis r3.Vec) Solid { return footed{body, at, axis} }

func (f footed) Bounds() r3.Box { return f.body.Bounds() }

func (f footed) At(p r3.Vec) (float64, r3.Vec) {
	d, n := f.body.At(p)
	below, down := f.below(p)
	return beside(d, n, below, down)
}

func (f footed) Crisp(p r3.Vec) (float64, r3.Vec) {
	d, n := crisp(f.body, p)
	if below, down := f.below(p); below > d {
		return below, down
	}
	return d, n
}

// Encloses tells whether the body encloses p.
func (f footed) Encloses(p r3.Vec, r float64) bool { return encloses(f.body, p, r) }

func (f footed) below(p r3.Vec) (float64, r3.Vec) {
	return -r3.Dot(r3.Sub(p, f.at), f.axis), r3.Scale(-1, f.axis)
}

// beside returns the distance from what two faces make together at a sharp
// edge, from the distances d and e of their flats and the normals n and m:
//
//	λ = (d − c e)/(1 − c²),  μ = (e − c d)/(1 − c²),  c = n·m
//
// Where both are positive the edge is nearest, at |λn + μm|; elsewhere the
// face that is farther.
func beside(d float64, n r3.Vec, e float64, m r3.Vec) (float64, r3.Vec) {
	c := r3.Dot(n, m)
	if l, k := d-c*e, e-c*d; max(d, e) > inTolerance && l > 0 && k > 0 && c*c < 1-1e-9 {
		v := r3.Scale(1/(1-c*c), r3.Add(r3.Scale(l, n), r3.Scale(k, m)))
		size := norm(v)
		return size, r3.Scale(1/size, v)
	}
	if e > d {
		return e, m
	}
	return d, n
}

// Frame is a place with three unit axes square to each other; Z is the axis of
// a solid.
type Frame = geom.Frame

// Along is [geom.Along].
func Along(o, axis r3.Vec) Frame { return geom.Along(o, axis) }

// boxOf returns the world's box round a box of the frame.
func boxOf(f Frame, low, high r3.Vec) r3.Box {
	inf := math.Inf(1)
	b := r3.Box{Min: r3.Vec{X: inf, Y: inf, Z: inf}, Max: r3.Vec{X: -inf, Y: -inf, Z: -inf}}
	for i := range 8 {
		c := low
		if i&1 != 0 {
			c.X = high.X
		}
		if i&2 != 0 {
			c.Y = high.Y
		}
		if i&4 != 0 {
			c.Z = high.Z
		}
		b = Join(b, r3.Box{Min: f.Place(c), Max: f.Place(c)})
	}
	return b
}

// Join returns the box round two boxes.
func Join(a, b r3.Box) r3.Box {
	return r3.Box{
		Min: r3.Vec{X: min(a.Min.X, b.Min.X), Y: min(a.Min.Y, b.Min.Y), Z: min(a.Min.Z, b.Min.Z)},
		Max: r3.Vec{X: max(a.Max.X, b.Max.X), Y: max(a.Max.Y, b.Max.Y), Z: max(a.Max.Z, b.Max.Z)},
	}
}
