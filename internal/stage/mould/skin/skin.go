// Package skin answers with what triangles a surface is best covered that a
// distance field gives: vertices exactly on it, edges as long as its curvature
// allows, creases and rims kept sharp.
//
// Places are in metres; triangles run counter-clockwise seen from where the
// distance is positive. The surface is first found on a grid, then cut along
// creases and by cutters, then its triangles are split, joined, flipped and
// shifted until they are near equilateral. Same input, same triangles.
//
// It does not see what is thinner than a cell of its first grid.
package skin

import (
	"gonum.org/v1/gonum/spatial/r3"
)

// Field tells the signed distance of p from a surface, m, and the unit vector
// along which it grows.
type Field interface {
	At(p r3.Vec) (d float64, n r3.Vec)
}

// Options say how fine the triangles are.
type Options struct {
	Size   float64 // longest wanted edge, m
	Chord  float64 // how far an edge may stand off the surface in its middle, m
	Finest float64 // shortest wanted edge, m
}

// What a vertex is bound to, where it is not the number of a cutter.
const (
	free   int32 = -1 // slides on the surface
	crease int32 = -2 // slides along a crease
	corner int32 = -3 // stays
)

// Skin is a surface of triangles that is being worked on.
type Skin struct {
	f    Field
	o    Options
	cuts []Field

	p, n   []r3.Vec  // place and field's normal of each vertex
	size   []float64 // wanted edge length at each vertex
	tag    []int32
	loose  []bool     // a new vertex that could not be brought onto the surface yet
	tri    [][3]int32 // a triangle taken out begins with -1
	around [][]int32  // triangles at each vertex

	rated map[[3]r3.Vec]float64 // quality of triangles, while they are mended

	// curve holds what each bound edge runs along: crease, or a cutter's number.
	curve map[[2]int32]int32
}

func key(a, b int32) [2]int32 { return [2]int32{min(a, b), max(a, b)} }

func (s *Skin) addVertex(p, n r3.Vec, size float64, tag int32) int32 {
	s.p, s.n, s.size, s.tag = append(s.p, p), append(s.n, n), append(s.size, size), append(s.tag, tag)
	s.around, s.loose = append(s.around, nil), append(s.loose, false)
	return int32(len(s.p) - 1)
}

func (s *Skin) addTriangle(t [3]int32) {
	f := int32(len(s.tri))
	s.tri = append(s.tri, t)
	for _, v := range t {
		s.around[v] = append(s.around[v], f)
	}
}

func (s *Skin) removeTriangle(f int32) {
	for _, v := range s.tri[f] {
		s.detach(v, f)
	}
	s.tri[f][0] = -1
}

func (s *Skin) detach(v, f int32) {
	list := s.around[v]
	for i, g := range list {
		if g == f {
			s.around[v] = append(list[:i], list[i+1:]...)
			return
		}
	}
}

// rename puts vertex to in place of from in triangle f.
func (s *Skin) rename(f, from, to int32) {
	for k, v := range s.tri[f] {
		if v == from {
			s.tri[f][k] = to
		}
	}
	s.detach(from, f)
	s.around[to] = append(s.around[to], f)
}

// faces returns the triangles at the edge ab; f1 is -1 at a rim.
func (s *Skin) faces(a, b int32) (f0, f1 int32) {
	f0, f1 = -1, -1
	for _, f := range s.around[a] {
		t := s.tri[f]
		if t[0] != b && t[1] != b && t[2] != b {
			continue
		}
		if f0 < 0 {
			f0 = f
		} else {
			f1 = f
		}
	}
	return
}

// opposite returns the corner of triangle f that is neither a nor b.
func (s *Skin) opposite(f, a, b int32) int32 {
	t := s.tri[f]
	for _, v := range t {
		if v != a && v != b {
			return v
		}
	}
	return -1
}

// edges lists the edges, each once, in the order of the triangles.
func (s *Skin) edges() [][2]int32 {
	out := make([][2]int32, 0, len(s.tri)*3/2)
	for _, t := range s.tri {
		if t[0] < 0 {
			continue
		}
		for k := range 3 {
			a, b := t[k], t[(k+1)%3]
			if a > b { // the triangle beyond lists it, unless this is the rim
				if _, f1 := s.faces(a, b); f1 >= 0 {
					continue
				}
			}
			out = append(out, [2]int32{a, b})
		}
	}
	return out
}

// neighbours returns the vertices joined to v, in no wanted order but the same
// each time.
func (s *Skin) neighbours(v int32, into []int32) []int32 {
	out := into[:0]
	for _, f := range s.around[v] {
		for _, w := range s.tri[f] {
			if w != v && !has(out, w) {
				out = append(out, w)
			}
		}
	}
	return out
}

func has(list []int32, x int32) bool {
	for _, y := range list {
		if x == y {
			return true
		}
	}
	return false
}

// vector returns half the cross product of two sides of a triangle.
func (s *Skin) vector(t [3]int32) r3.Vec { return vectorOf(s.p[t[0]], s.p[t[1]], s.p[t[2]]) }

func vectorOf(a, b, c r3.Vec) r3.Vec {
	return r3.Scale(0.5, r3.Cross(r3.Sub(b, a), r3.Sub(c, a)))
}
