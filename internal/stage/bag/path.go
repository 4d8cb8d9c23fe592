package bag

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/geom"
	"laywright/internal/base/mesh"
)

// cuts is how many planes a face is cut by each way: between two of 48 a ball's widest
// cut is missed by 0.02 %.
const cuts = 48

// undersides are triangles whose normal points down by more than this: they stand on
// a plate, or belong to the other sheet of an envelope.
const undersides = -0.5

// axis tells which way a cut runs.
type axis int

// Cuts run along x or along y.
const (
	alongX axis = iota
	alongY
)

// split returns a place's coordinates along and across the cut.
func (a axis) split(p r3.Vec) (along, across float64) {
	if a == alongX {
		return p.X, p.Y
	}
	return p.Y, p.X
}

// place is [axis.split] backwards.
func (a axis) place(along, across, z float64) r3.Vec {
	if a == alongX {
		return r3.Vec{X: along, Y: across, Z: z}
	}
	return r3.Vec{X: across, Y: along, Z: z}
}

// part is a straight piece of a cut: along it, and z.
type part struct{ a, b r2.Vec }

// cut is the face in a plane that stands upright on the base.
type cut struct {
	at    float64 // the plane, across
	parts []part
	over  []r2.Vec // a string drawn tight over it: corners by rising place along
}

// long is the way over the surface: the sum over its parts.
func (c *cut) long() (sum float64) {
	for _, p := range c.parts {
		sum += r2.Norm(r2.Sub(p.b, p.a))
	}
	return sum
}

// cutUp cuts a face by even planes along an axis.
func cutUp(m *mesh.Mesh, way axis) []cut {
	box := m.Bounds()
	_, low := way.split(box.Min)
	_, high := way.split(box.Max)
	step := (high - low) / cuts
	out := make([]cut, cuts)
	for k := range out {
		out[k].at = low + (float64(k)+0.5)*step
	}
	if !(step > 0) {
		return nil
	}
	for f := range m.Triangles {
		if m.FaceNormal(f).Z < undersides {
			continue
		}
		var corners [3]r3.Vec
		corners[0], corners[1], corners[2] = m.Corners(f)
		least, most := math.Inf(1), math.Inf(-1)
		for _, p := range corners {
			_, y := way.split(p)
			least, most = min(least, y), max(most, y)
		}
		first, last := int(math.Ceil((least-low)/step-0.5)), int(math.Floor((most-low)/step-0.5))
		for k := max(0, first); k <= min(last, cuts-1); k++ {
			if p, ok := through(corners, out[k].at, way); ok {
				out[k].parts = append(out[k].parts, p)
			}
		}
	}
	for k := range out {
		out[k].over = overhead(out[k].parts)
	}
	return slices.DeleteFunc(out, func(c cut) bool { return len(c.parts) == 0 })
}

// through cuts a triangle by the plane.
func through(corners [3]r3.Vec, at float64, way axis) (part, bool) {
	var ends []r2.Vec
	for i, p := range corners {
		q := corners[(i+1)%3]
		a, u := way.split(p)
		b, v := way.split(q)
		if (u >= at) == (v >= at) {
			continue
		}
		s := (at - u) / (v - u)
		ends = append(ends, r2.Vec{X: a + s*(b-a), Y: p.Z + s*(q.Z-p.Z)})
	}
	if len(ends) != 2 {
		return part{}, false
	}
	return part{ends[0], ends[1]}, true
}

// overhead is the upper hull of a cut, by rising place along.
func overhead(parts []part) []r2.Vec {
	points := make([]r2.Vec, 0, 2*len(parts))
	for _, p := range parts {
		points = append(points, p.a, p.b)
	}
	if len(points) == 0 {
		return nil
	}
	hull := geom.Hull(points)
	// From the rightmost corner, anticlockwise, the upper chain runs to the leftmost.
	right, left := 0, 0
	for i, p := range hull {
		if q := hull[right]; p.X > q.X || p.X == q.X && p.Y > q.Y {
			right = i
		}
		if q := hull[left]; p.X < q.X || p.X == q.X && p.Y > q.Y {
			left = i
		}
	}
	var out []r2.Vec
	for i := right; ; i = (i + 1) % len(hull) {
		out = append(out, hull[i])
		if i == left {
			break
		}
	}
	slices.Reverse(out)
	return out
}

// depth returns how far a place lies below the string, square to it, negative above
// it; ok is false where no string is over it.
func (c *cut) depth(along, z float64) (d float64, ok bool) {
	i, _ := slices.BinarySearchFunc(c.over, along, func(p r2.Vec, x float64) int { return cmp.Compare(p.X, x) })
	if i == 0 || i == len(c.over) {
		return 0, false
	}
	a, b := c.over[i-1], c.over[i]
	run, rise := b.X-a.X, b.Y-a.Y
	above := a.Y + rise*(along-a.X)/run - z
	return above * run / math.Hypot(run, rise), true
}

// longest is the cut with the longest way over the surface.
func longest(all []cut) (c cut, long float64) {
	for _, x := range all {
		if l := x.long(); l > long {
			c, long = x, l
		}
	}
	return c, long
}
