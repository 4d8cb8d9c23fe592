package shapes

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// Patch maps a grid of nu by nv cells over the unit square onto at(u, v). Its
// normal is that of ∂/∂u × ∂/∂v. Diagonals alternate, so that no direction is
// favoured.
func Patch(nu, nv int, at func(u, v float64) r3.Vec) *mesh.Mesh {
	g := grid{nu: nu, nv: nv}
	return g.mesh(at)
}

// Wound is a [Patch] of which the sides u = 0 and u = 1 are one: a tube.
func Wound(nu, nv int, at func(u, v float64) r3.Vec) *mesh.Mesh {
	g := grid{nu: nu, nv: nv, join: func(i, j int) (int, int) { return i % nu, j }}
	return g.mesh(at)
}

// grid is a patch whose corners (i, j) may be one with others, as join says.
type grid struct {
	nu, nv int
	join   func(i, j int) (int, int)
	keep   func(i, j int) bool // cells that are there; nil: all
}

func (g grid) mesh(at func(u, v float64) r3.Vec) *mesh.Mesh {
	m := &mesh.Mesh{}
	number := map[[2]int]int32{}
	corner := func(i, j int) int32 {
		if g.join != nil {
			i, j = g.join(i, j)
		}
		v, there := number[[2]int{i, j}]
		if !there {
			v = int32(len(m.Vertices))
			number[[2]int{i, j}] = v
			m.Vertices = append(m.Vertices, at(float64(i)/float64(g.nu), float64(j)/float64(g.nv)))
		}
		return v
	}
	for j := range g.nv {
		for i := range g.nu {
			if g.keep != nil && !g.keep(i, j) {
				continue
			}
			a, b, c, d := corner(i, j), corner(i+1, j), corner(i+1, j+1), corner(i, j+1)
			if (i+j)%2 == 0 {
				m.Triangles = append(m.Triangles, [3]int32{a, b, c}, [3]int32{a, c, d})
			} else {
				m.Triangles = append(m.Triangles, [3]int32{a, b, d}, [3]int32{b, c, d})
			}
		}
	}
	return m
}

// Starred is a [Patch] whose diagonals run from the middle outwards, so that it is even
// about both its middle lines.
func Starred(nx, ny int, at func(s, t float64) r3.Vec) *mesh.Mesh {
	m := &mesh.Mesh{}
	for j := 0; j <= ny; j++ {
		for i := 0; i <= nx; i++ {
			m.Vertices = append(m.Vertices, at(float64(i)/float64(nx), float64(j)/float64(ny)))
		}
	}
	for j := range ny {
		for i := range nx {
			a := int32(j*(nx+1) + i)
			b, c, d := a+1, a+int32(nx)+2, a+int32(nx)+1
			if (2*i >= nx) == (2*j >= ny) {
				m.Triangles = append(m.Triangles, [3]int32{a, b, c}, [3]int32{a, c, d})
			} else {
				m.Triangles = append(m.Triangles, [3]int32{a, b, d}, [3]int32{b, c, d})
			}
		}
	}
	return m
}

// Disc maps rings of triangles round a middle onto at(r, φ), r from 0 to 1 and φ
// in rad. Ring k has 6k vertices, so that triangles stay even in size. Its normal
// is that of ∂/∂r × ∂/∂φ.
func Disc(rings int, at func(r, φ float64) r3.Vec) *mesh.Mesh {
	m := &mesh.Mesh{Vertices: []r3.Vec{at(0, 0)}}
	vertex := func(ring, i int) int32 {
		if ring == 0 {
			return 0
		}
		return int32(1 + 3*ring*(ring-1) + i%(6*ring))
	}
	for k := 1; k <= rings; k++ {
		for i := range 6 * k {
			m.Vertices = append(m.Vertices, at(float64(k)/float64(rings), 2*math.Pi*float64(i)/float64(6*k)))
		}
		for sector := range 6 {
			for j := range k {
				in, out := vertex(k-1, sector*(k-1)+j), vertex(k, sector*k+j+1)
				m.Triangles = append(m.Triangles, [3]int32{in, vertex(k, sector*k+j), out})
				if j < k-1 {
					m.Triangles = append(m.Triangles, [3]int32{in, out, vertex(k-1, sector*(k-1)+j+1)})
				}
			}
		}
	}
	return m
}

// Together puts surfaces into one mesh. Vertices at the very same place become
// one where weld is true.
func Together(weld bool, parts ...*mesh.Mesh) *mesh.Mesh {
	m := &mesh.Mesh{}
	first := map[r3.Vec]int32{}
	for _, p := range parts {
		number := make([]int32, len(p.Vertices))
		for v, at := range p.Vertices {
			w, there := first[at]
			if !there || !weld {
				w = int32(len(m.Vertices))
				m.Vertices = append(m.Vertices, at)
				first[at] = w
			}
			number[v] = w
		}
		for _, t := range p.Triangles {
			m.Triangles = append(m.Triangles, [3]int32{number[t[0]], number[t[1]], number[t[2]]})
		}
	}
	return m
}

// without returns m less the triangles at which drop is true, and less the
// vertices that nothing uses any more.
func without(m *mesh.Mesh, drop func(f int) bool) *mesh.Mesh {
	out := &mesh.Mesh{}
	number := make([]int32, len(m.Vertices))
	for f, t := range m.Triangles {
		if drop(f) {
			continue
		}
		for k, v := range t {
			if number[v] == 0 {
				out.Vertices = append(out.Vertices, m.Vertices[v])
				number[v] = int32(len(out.Vertices))
			}
			t[k] = number[v] - 1
		}
		out.Triangles = append(out.Triangles, t)
	}
	return out
}
