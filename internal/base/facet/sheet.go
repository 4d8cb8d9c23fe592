package facet

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// kind is what holds a vertex.
type kind byte

const (
	free   kind = iota
	onLine      // of a rim or a crease, which goes on through it
	corner      // where rims and creases end, meet or turn
)

// sheet is a surface while it is worked on.
type sheet struct {
	g    Goal
	at   []r3.Vec
	tri  [][3]int32 // one that is gone has −1 first
	of   [][]int32  // triangles at a vertex
	kind []kind
	line map[[2]int32]bool // sides of rims and creases
}

func newSheet(t *mesh.Topology, g Goal) *sheet {
	m := t.Mesh.Clone()
	s := &sheet{g: g, at: m.Vertices, tri: m.Triangles, of: make([][]int32, len(m.Vertices)), kind: make([]kind, len(m.Vertices)), line: map[[2]int32]bool{}}
	for v := range s.of {
		s.of[v] = append([]int32(nil), t.VertexFaces(v)...)
	}
	lines := make([][]int32, len(m.Vertices)) // the other ends of a vertex's lines
	for e, ends := range t.Edges {
		rim := len(t.EdgeFaces(e)) != 2
		if !rim && math.Abs(t.Turning(e)) <= g.Crease {
			continue
		}
		s.line[ends] = true
		for k, v := range ends {
			lines[v] = append(lines[v], ends[1-k])
			if rim && g.HoldRim {
				s.kind[v] = corner
			}
		}
	}
	for v, others := range lines {
		switch {
		case len(others) == 0 || s.kind[v] == corner:
		case len(others) == 2 && s.straight(others[0], int32(v), others[1]):
			s.kind[v] = onLine
		default:
			s.kind[v] = corner
		}
	}
	return s
}

// straight tells whether the line a b c turns little at b.
func (s *sheet) straight(a, b, c int32) bool {
	u, w := r3.Sub(s.at[b], s.at[a]), r3.Sub(s.at[c], s.at[b])
	return r3.Dot(u, w) > math.Cos(cornerAt)*r3.Norm(u)*r3.Norm(w)
}

func key(a, b int32) [2]int32 { return [2]int32{min(a, b), max(a, b)} }

// sides lists the sides there are, each once, by their triangles' order.
func (s *sheet) sides() [][2]int32 {
	out := make([][2]int32, 0, 2*len(s.tri))
	for f, t := range s.tri {
		if t[0] < 0 {
			continue
		}
		for k, a := range t {
			b := t[(k+1)%3]
			if g := s.beyond(int32(f), a, b); g < 0 || g > int32(f) {
				out = append(out, [2]int32{a, b})
			}
		}
	}
	return out
}

// beyond returns the triangle that shares side ab with f, −1 for none.
func (s *sheet) beyond(f, a, b int32) int32 {
	for _, g := range s.of[a] {
		if g != f && holds(s.tri[g], b) {
			return g
		}
	}
	return -1
}

// beside returns the triangles at side ab; the first runs from a to b. Either is
// −1 where there is none.
func (s *sheet) beside(a, b int32) (f, g int32) {
	f, g = -1, -1
	for _, h := range s.of[a] {
		for k, v := range s.tri[h] {
			if v != a {
				continue
			}
			if s.tri[h][(k+1)%3] == b {
				f = h
			} else if s.tri[h][(k+2)%3] == b {
				g = h
			}
		}
	}
	return f, g
}

func holds(t [3]int32, v int32) bool { return t[0] == v || t[1] == v || t[2] == v }

// third returns the corner of triangle f that is neither a nor b.
func (s *sheet) third(f, a, b int32) int32 {
	for _, v := range s.tri[f] {
		if v != a && v != b {
			return v
		}
	}
	return -1
}

func (s *sheet) long(a, b int32) float64 { return r3.Norm(r3.Sub(s.at[a], s.at[b])) }

func (s *sheet) areaVector(t [3]int32) r3.Vec {
	return r3.Cross(r3.Sub(s.at[t[1]], s.at[t[0]]), r3.Sub(s.at[t[2]], s.at[t[0]]))
}

// drop takes triangle f out.
func (s *sheet) drop(f int32) {
	for _, v := range s.tri[f] {
		s.leave(v, f)
	}
	s.tri[f][0] = -1
}

func (s *sheet) leave(v, f int32) {
	list := s.of[v]
	for i, g := range list {
		if g == f {
			s.of[v] = append(list[:i], list[i+1:]...)
			return
		}
	}
}

func (s *sheet) add(t [3]int32) {
	f := int32(len(s.tri))
	s.tri = append(s.tri, t)
	for _, v := range t {
		s.of[v] = append(s.of[v], f)
	}
}

// rename puts vertex b in the place of a in triangle f.
func (s *sheet) rename(f, a, b int32) {
	for k, v := range s.tri[f] {
		if v == a {
			s.tri[f][k] = b
		}
	}
	s.leave(a, f)
	s.of[b] = append(s.of[b], f)
}

func (s *sheet) finish() *mesh.Mesh {
	out := &mesh.Mesh{}
	now := make([]int32, len(s.at))
	for v, p := range s.at {
		now[v] = -1
		if len(s.of[v]) > 0 {
			now[v] = int32(len(out.Vertices))
			out.Vertices = append(out.Vertices, p)
		}
	}
	for _, t := range s.tri {
		if t[0] >= 0 {
			out.Triangles = append(out.Triangles, [3]int32{now[t[0]], now[t[1]], now[t[2]]})
		}
	}
	return out
}
