package geom

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Frame is a place with three unit axes square to each other; Z is the axis of
// what stands there.
type Frame struct{ O, X, Y, Z r3.Vec }

// Along returns a frame at o with Z along axis. X lies level where it can, and
// along the world's x for an axis that stands upright.
func Along(o, axis r3.Vec) Frame {
	z := r3.Unit(axis)
	x := r3.Cross(r3.Vec{Z: 1}, z)
	if r3.Norm(x) < 1e-9 {
		x = r3.Vec{X: 1}
	} else {
		x = r3.Unit(x)
	}
	return Frame{O: o, X: x, Y: r3.Cross(z, x), Z: z}
}

// Turned returns the frame turned about its own Z by angle, rad.
func (f Frame) Turned(angle float64) Frame {
	s, c := math.Sincos(angle)
	x := r3.Add(r3.Scale(c, f.X), r3.Scale(s, f.Y))
	return Frame{O: f.O, X: x, Y: r3.Cross(f.Z, x), Z: f.Z}
}

// In returns p seen in the frame.
func (f Frame) In(p r3.Vec) r3.Vec {
	q := r3.Sub(p, f.O)
	return r3.Vec{X: r3.Dot(q, f.X), Y: r3.Dot(q, f.Y), Z: r3.Dot(q, f.Z)}
}

// Out returns the direction v of the frame as a direction of the world.
func (f Frame) Out(v r3.Vec) r3.Vec {
	return r3.Add(r3.Scale(v.X, f.X), r3.Add(r3.Scale(v.Y, f.Y), r3.Scale(v.Z, f.Z)))
}

// Place returns the point v of the frame as a place in the world.
func (f Frame) Place(v r3.Vec) r3.Vec { return r3.Add(f.O, f.Out(v)) }
