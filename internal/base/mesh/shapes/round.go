package shapes

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

func polar(r, φ, z float64) r3.Vec {
	sin, cos := math.Sincos(φ)
	return r3.Vec{X: r * cos, Y: r * sin, Z: z}
}

// torus is a ring whose section spans an angle, rad, that begins at another,
// measured from the outside towards +z.
func torus(big, small, from, span float64, around, across int) *mesh.Mesh {
	g := grid{nu: around, nv: across, join: func(i, j int) (int, int) { return i % around, j }}
	if span == 2*math.Pi {
		g.join = func(i, j int) (int, int) { return i % around, j % across }
	}
	return g.mesh(func(u, v float64) r3.Vec {
		sin, cos := math.Sincos(from + span*v)
		return polar(big+small*cos, 2*math.Pi*u, small*sin)
	})
}

// Torus is a closed ring about z: big is the radius of its middle line, small
// that of its cross-section.
func Torus(big, small float64, around, across int) *mesh.Mesh {
	return torus(big, small, 0, 2*math.Pi, around, across)
}

// HalfTorus is the upper half of a [Torus]: a ring with two rims, curved one way
// outside and the other way inside.
func HalfTorus(big, small float64, around, across int) *mesh.Mesh {
	return torus(big, small, 0, math.Pi, around, across)
}

// Elbow is a pipe of a radius round a bend of the middle line through an angle,
// rad, open at both ends.
func Elbow(bend, radius, angle float64, around, along int) *mesh.Mesh {
	return Wound(around, along, func(u, v float64) r3.Vec {
		sin, cos := math.Sincos(2 * math.Pi * u)
		return polar(bend-radius*cos, angle*v, radius*sin)
	})
}

// Tube is an open cylinder about z.
func Tube(radius, height float64, around, up int) *mesh.Mesh {
	return Wound(around, up, func(u, v float64) r3.Vec { return polar(radius, 2*math.Pi*u, height*v) })
}

// Cap is the part of a sphere within an angle of its pole, rad; π/2 is a bowl
// laid on its mouth.
func Cap(radius, angle float64, rings int) *mesh.Mesh {
	return Disc(rings, func(r, φ float64) r3.Vec {
		sin, cos := math.Sincos(angle * r)
		return polar(radius*sin, φ, radius*cos)
	})
}

// Cone rises to an apex, whose vertex holds all its curvature.
func Cone(radius, height float64, rings int) *mesh.Mesh {
	return Disc(rings, func(r, φ float64) r3.Vec { return polar(radius*r, φ, height*(1-r)) })
}

// Saddle is z = (x² - y²)/(2·R) on a disc of a radius: at the middle it is
// curved by 1/R both ways.
func Saddle(radius, bend float64, rings int) *mesh.Mesh {
	return Disc(rings, func(r, φ float64) r3.Vec {
		p := polar(radius*r, φ, 0)
		p.Z = (p.X*p.X - p.Y*p.Y) / (2 * bend)
		return p
	})
}

// Blister is half a ball that stands on a round plate; a hollow of radius fillet
// leads from one to the other.
func Blister(ball, fillet, plate float64, rings int) *mesh.Mesh {
	// Along the section: a quarter of the ball down to where the fillet begins,
	// the fillet, and the flat. The ball's centre lies at the height of the plate
	// and the fillet's a radius above it, so that their centres are ball + fillet
	// apart.
	lean := math.Asin(fillet / (ball + fillet)) // of the line between centres
	foot := (ball + fillet) * math.Cos(lean)
	cap, hollow := ball*(math.Pi/2-lean), fillet*(math.Pi/2-lean)
	length := cap + hollow + plate - foot
	return Disc(rings, func(r, φ float64) r3.Vec {
		s := r * length
		switch {
		case s < cap:
			sin, cos := math.Sincos(s / ball)
			return polar(ball*sin, φ, ball*cos)
		case s < cap+hollow:
			sin, cos := math.Sincos(math.Pi/2 - lean - (s-cap)/fillet)
			return polar(foot-fillet*sin, φ, fillet-fillet*cos)
		}
		return polar(foot+s-cap-hollow, φ, 0)
	})
}

// Sphere is a closed ball, from an icosahedron whose faces are cut in four again
// and again.
func Sphere(radius float64, times int) *mesh.Mesh {
	m := icosahedron()
	for range times {
		m = quartered(m)
	}
	for v, p := range m.Vertices {
		m.Vertices[v] = r3.Scale(radius, r3.Unit(p))
	}
	return m
}

func icosahedron() *mesh.Mesh {
	m := &mesh.Mesh{Vertices: []r3.Vec{{Z: 1}}}
	for i := range 10 {
		z := 1 / math.Sqrt(5) * float64(1-2*(i%2))
		m.Vertices = append(m.Vertices, polar(2/math.Sqrt(5), float64(i)*math.Pi/5, z))
	}
	m.Vertices = append(m.Vertices, r3.Vec{Z: -1})
	at := func(i int) int32 { return int32(1 + i%10) }
	for i := 0; i < 10; i += 2 {
		m.Triangles = append(m.Triangles, [3]int32{0, at(i), at(i + 2)}, [3]int32{at(i), at(i + 1), at(i + 2)},
			[3]int32{at(i + 1), at(i + 3), at(i + 2)}, [3]int32{11, at(i + 3), at(i + 1)})
	}
	return m
}

func quartered(m *mesh.Mesh) *mesh.Mesh {
	out := m.Clone()
	out.Triangles = nil
	middle := map[[2]int32]int32{}
	between := func(a, b int32) int32 {
		key := [2]int32{min(a, b), max(a, b)}
		v, there := middle[key]
		if !there {
			v = int32(len(out.Vertices))
			middle[key] = v
			out.Vertices = append(out.Vertices, r3.Unit(r3.Add(m.Vertices[a], m.Vertices[b])))
		}
		return v
	}
	for _, t := range m.Triangles {
		x, y, z := between(t[0], t[1]), between(t[1], t[2]), between(t[2], t[0])
		out.Triangles = append(out.Triangles, [3]int32{t[0], x, z}, [3]int32{t[1], y, x}, [3]int32{t[2], z, y}, [3]int32{x, y, z})
	}
	return out
}

// Sieve is a [Sphere] with round holes spread evenly over it, each within an
// angle of its middle, rad. Rims follow the triangles.
func Sieve(radius float64, times, holes int, angle float64) *mesh.Mesh {
	m := Sphere(radius, times)
	least := math.Cos(angle)
	inHole := make([]bool, len(m.Vertices))
	for i := range holes {
		// Evenly in height, and round by the golden angle: a sunflower's seeds.
		z := 1 - (2*float64(i)+1)/float64(holes)
		middle := polar(math.Sqrt(1-z*z), float64(i)*math.Pi*(3-math.Sqrt(5)), z)
		for v, p := range m.Vertices {
			inHole[v] = inHole[v] || r3.Dot(p, middle) > least*radius
		}
	}
	return without(m, func(f int) bool {
		t := m.Triangles[f]
		return inHole[t[0]] || inHole[t[1]] || inHole[t[2]]
	})
}
