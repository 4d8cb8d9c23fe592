package draw

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Item is something drawn: a [Path], [Circle], [Facets] or [Text]. The set is
// closed, so an encoder switches on the type.
type Item interface {
	Moved(Affine) Item         // the item carried by a similarity
	Bounds() r2.Box            // the box round it, pen width left out
	Clipped(box r2.Box) []Item // what of it lies in the box
}

// Pen draws lines. The zero pen draws nothing.
type Pen struct {
	Width  float64 // mm; 0 draws nothing
	Colour Colour
	Dash   []float64 // mm on, mm off, ...; empty is a full line
}

// Path is a polyline, or a polygon when Closed (the first point is not
// repeated). Fill applies to closed paths.
type Path struct {
	Points []r2.Vec
	Closed bool
	Pen    Pen
	Fill   Colour // zero: not filled
}

// Line returns an open path.
func Line(pen Pen, points ...r2.Vec) Path { return Path{Points: points, Pen: pen} }

// Ring returns a closed path that is not filled.
func Ring(pen Pen, points []r2.Vec) Path { return Path{Points: points, Closed: true, Pen: pen} }

// Rect returns the outline of a box; either colour may be zero.
func Rect(box r2.Box, pen Pen, fill Colour) Path {
	return Path{Points: box.Vertices(), Closed: true, Pen: pen, Fill: fill}
}

// Moved carries every point.
func (p Path) Moved(a Affine) Item {
	p.Points = a.All(p.Points)
	return p
}

// Bounds is the box round the points.
func (p Path) Bounds() r2.Box { return boxOf(p.Points) }

// Circle is a circle with centre and radius in millimetres.
type Circle struct {
	At   r2.Vec
	R    float64
	Pen  Pen
	Fill Colour
}

// Moved carries the centre and scales the radius.
func (c Circle) Moved(a Affine) Item {
	c.At, c.R = a.Do(c.At), c.R*a.Scale()
	return c
}

// Bounds is the box round the circle.
func (c Circle) Bounds() r2.Box {
	d := r2.Vec{X: c.R, Y: c.R}
	return r2.Box{Min: r2.Sub(c.At, d), Max: r2.Add(c.At, d)}
}

// Polygon returns the circle as a closed path whose corners lie on it and whose
// sides leave it by no more than sag millimetres.
func (c Circle) Polygon(sag float64) Path {
	n := 12
	if sag > 0 && sag < c.R {
		n = max(n, int(math.Ceil(math.Pi/math.Acos(1-sag/c.R))))
	}
	pts := make([]r2.Vec, n)
	for i := range pts {
		s, co := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		pts[i] = r2.Vec{X: c.At.X + c.R*co, Y: c.At.Y + c.R*s}
	}
	return Path{Points: pts, Closed: true, Pen: c.Pen, Fill: c.Fill}
}

// Facets is a batch of filled triangles drawn in order, one colour each. It is
// how shaded maps are kept small: an encoder writes a colour only when it
// changes, and covers the hairline between neighbours with a thin stroke.
type Facets struct {
	Tris    [][3]r2.Vec
	Colours []Colour // as long as Tris
}

// Moved carries every corner.
func (f Facets) Moved(a Affine) Item {
	tris := make([][3]r2.Vec, len(f.Tris))
	for i, t := range f.Tris {
		tris[i] = [3]r2.Vec{a.Do(t[0]), a.Do(t[1]), a.Do(t[2])}
	}
	f.Tris = tris
	return f
}

// Bounds is the box round the corners.
func (f Facets) Bounds() r2.Box {
	var b r2.Box
	for i, t := range f.Tris {
		tb := boxOf(t[:])
		if i == 0 {
			b = tb
			continue
		}
		b = join(b, tb)
	}
	return b
}

// boxOf returns the box round points; a single point gives an empty box there.
func boxOf(pts []r2.Vec) r2.Box {
	if len(pts) == 0 {
		return r2.Box{}
	}
	b := r2.Box{Min: pts[0], Max: pts[0]}
	for _, p := range pts[1:] {
		b.Min.X, b.Max.X = min(b.Min.X, p.X), max(b.Max.X, p.X)
		b.Min.Y, b.Max.Y = min(b.Min.Y, p.Y), max(b.Max.Y, p.Y)
	}
	return b
}

// join is the box round two boxes. Unlike r2.Box.Union it keeps flat boxes: a
// level line has no height and still counts.
func join(a, b r2.Box) r2.Box {
	return r2.Box{
		Min: r2.Vec{X: min(a.Min.X, b.Min.X), Y: min(a.Min.Y, b.Min.Y)},
		Max: r2.Vec{X: max(a.Max.X, b.Max.X), Y: max(a.Max.Y, b.Max.Y)},
	}
}
