package shapes

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// Folded bends a strip of a width sharply along lines across it: lengths are
// those of its flats and turns, rad, the bends between them, positive upwards.
// cells is how many cells each flat is long, and across how many it is wide.
func Folded(lengths, turns []float64, width float64, cells, across int) *mesh.Mesh {
	places := make([]r3.Vec, 1, len(lengths)+1)
	heading := 0.0
	for i, l := range lengths {
		if i > 0 {
			heading += turns[i-1]
		}
		sin, cos := math.Sincos(heading)
		places = append(places, r3.Add(places[i], r3.Vec{X: l * cos, Z: l * sin}))
	}
	return Patch(cells*len(lengths), across, func(u, v float64) r3.Vec {
		i := min(int(u*float64(len(lengths))), len(lengths)-1)
		w := u*float64(len(lengths)) - float64(i)
		p := r3.Add(r3.Scale(1-w, places[i]), r3.Scale(w, places[i+1]))
		p.Y = width * v
		return p
	})
}

// face is a flat grid on a corner and two sides.
func face(corner, u, v r3.Vec, nu, nv int) *mesh.Mesh {
	return Patch(nu, nv, func(s, t float64) r3.Vec {
		return r3.Add(corner, r3.Add(r3.Scale(s, u), r3.Scale(t, v)))
	})
}

// box is a block of cells cells a side, with its lower face where bottom is true.
func box(size r3.Vec, cells int, bottom bool) *mesh.Mesh {
	// Corners from products alone, so that faces meet in the very same places.
	x, y, z := r3.Vec{X: size.X}, r3.Vec{Y: size.Y}, r3.Vec{Z: size.Z}
	n := cells
	faces := []*mesh.Mesh{
		face(z, x, y, n, n), face(r3.Vec{}, x, z, n, n), face(x, y, z, n, n),
		face(y, z, x, n, n), face(r3.Vec{}, z, y, n, n),
	}
	if bottom {
		faces = append(faces, face(r3.Vec{}, y, x, n, n))
	}
	return Together(true, faces...)
}

// OpenBox has four upright walls and a lid, all corners sharp: a box over a
// core, five sides of a block.
func OpenBox(size r3.Vec, cells int) *mesh.Mesh { return box(size, cells, false) }

// CrossedBoxes are two closed blocks that run through each other; no triangle
// of one is joined to the other.
func CrossedBoxes(size r3.Vec, cells int) *mesh.Mesh {
	one := box(size, cells, true)
	other := Moved(one, r3.Scale(0.4, size))
	return Together(false, one, other)
}

// Links are two closed rings that hang in each other, as links of a chain do.
func Links(big, small float64, around, across int) *mesh.Mesh {
	one := Torus(big, small, around, across)
	other := Moved(Turned(one, r3.Vec{X: 1}, math.Pi/2), r3.Vec{X: big})
	return Together(false, one, other)
}

// OpenLinks are two rings that hang in each other, each with its lower half left
// out, so that each could be laid on by itself.
func OpenLinks(big, small float64, around, across int) *mesh.Mesh {
	one := HalfTorus(big, small, around, across)
	other := Moved(Turned(one, r3.Vec{X: 1}, math.Pi/2), r3.Vec{X: big})
	return Together(false, one, other)
}

// Duct is the half of a pipe whose middle line is a flat S, with a flange along
// each side: the mould of one half of a duct. sway is how far the ends lie to
// either side of the middle.
func Duct(length, radius, sway, flange float64, along, across int) *mesh.Mesh {
	wall, arc := flange, math.Pi*radius
	whole := 2*wall + arc
	return Patch(along, across, func(u, v float64) r3.Vec {
		middle := r3.Vec{X: length * u, Y: -sway * math.Cos(math.Pi*u)}
		dx, dy := length, sway*math.Pi*math.Sin(math.Pi*u)
		aside := r3.Scale(1/math.Hypot(dx, dy), r3.Vec{X: -dy, Y: dx})
		s := v * whole
		var out, up float64 // to the left of the middle line, and above
		switch {
		case s < wall:
			out = -radius - (wall - s)
		case s < wall+arc:
			sin, cos := math.Sincos((s - wall) / radius)
			out, up = -radius*cos, radius*sin
		default:
			out = radius + s - wall - arc
		}
		return r3.Add(middle, r3.Add(r3.Scale(out, aside), r3.Vec{Z: up}))
	})
}

// Swell is a rectangle that swells up, highest off its middle, so that no two of
// its parts are alike: z = 16·high·s·(1-s)·t·(1-t) with s = u^1.3, t = v^0.8.
func Swell(long, wide, high float64, along, across int) *mesh.Mesh {
	return Patch(along, across, func(u, v float64) r3.Vec {
		s, t := math.Pow(u, 1.3), math.Pow(v, 0.8)
		return r3.Vec{X: long * u, Y: wide * v, Z: 16 * high * s * (1 - s) * t * (1 - t)}
	})
}

// Comb is a flat sheet with long fingers along y from a back: each finger and
// each gap is one cell wide.
func Comb(fingers int, cell, long float64, cells int) *mesh.Mesh {
	back := 4
	nu, nv := 2*fingers-1, back+cells
	g := grid{nu: nu, nv: nv, keep: func(i, j int) bool { return j < back || i%2 == 0 }}
	return g.mesh(func(u, v float64) r3.Vec {
		y := v * float64(nv) // in cells
		at := min(y, float64(back))*cell + max(0, y-float64(back))*long/float64(cells)
		return r3.Vec{X: u * float64(nu) * cell, Y: at}
	})
}

// Strip is a flat sheet one cell wide.
func Strip(length, width float64, cells int) *mesh.Mesh {
	return Patch(cells, 1, func(u, v float64) r3.Vec { return r3.Vec{X: length * u, Y: width * v} })
}

// Triangle is one triangle with right-angled sides of a length.
func Triangle(side float64) *mesh.Mesh {
	return &mesh.Mesh{Vertices: []r3.Vec{{}, {X: side}, {Y: side}}, Triangles: [][3]int32{{0, 1, 2}}}
}

// Touching is two triangles that share one corner and nothing else.
func Touching(side float64) *mesh.Mesh {
	return &mesh.Mesh{Vertices: []r3.Vec{{}, {X: side}, {Y: side}, {X: -side}, {Y: -side}},
		Triangles: [][3]int32{{0, 1, 2}, {0, 3, 4}}}
}
