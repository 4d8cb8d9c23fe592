package mesh

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
)

// Subdivide returns the mesh with each triangle cut into four at the middles of
// its sides: the old vertices first, then one for each edge in order. Triangles
// 4f to 4f+3 come from f; the last is the middle one. project, if given, moves
// each new vertex onto the true surface.
func (t *Topology) Subdivide(project func(r3.Vec) r3.Vec) *Mesh {
	m := t.Mesh
	out := &Mesh{Vertices: append([]r3.Vec(nil), m.Vertices...)}
	for e := range t.Edges {
		p := t.midpoint(e)
		if project != nil {
			p = project(p)
		}
		out.Vertices = append(out.Vertices, p)
	}
	for f, tri := range m.Triangles {
		var mid [3]int32
		for k := range mid {
			mid[k] = int32(len(m.Vertices)) + t.EdgeOf[3*f+k]
		}
		out.Triangles = append(out.Triangles, [3]int32{tri[0], mid[0], mid[2]}, [3]int32{tri[1], mid[1], mid[0]},
			[3]int32{tri[2], mid[2], mid[1]}, mid)
	}
	return out
}

// Refined is a mesh with its longer edges cut. Its first vertices are those of
// the old mesh; Face is the old triangle that each new one lies in.
type Refined struct {
	Mesh *Mesh
	Face []int32
}

// RefineLimits says how far Refine goes.
type RefineLimits struct {
	Edge      float64 // longest edge that stays, m
	Triangles int     // most triangles that may come of it; 0 stands for 2 million

	Where func(a, b r3.Vec) bool // tells which edges may be cut; nil: all
}

// Refine cuts every edge longer than the limit in its middle, again and again,
// so that the surface stays exactly as it was and neighbours still share their
// vertices. It refuses where that takes more triangles than allowed.
func (m *Mesh) Refine(l RefineLimits) (Refined, error) {
	if l.Triangles == 0 {
		l.Triangles = 2_000_000
	}
	if !(l.Edge > 0) {
		return Refined{}, &fault.Input{Field: "mesh", What: fmt.Sprintf("triangles with sides of %g m can't be made", l.Edge)}
	}
	out := Refined{Mesh: m.Clone(), Face: make([]int32, len(m.Triangles))}
	for f := range out.Face {
		out.Face[f] = int32(f)
	}
	for {
		t, err := NewTopology(out.Mesh)
		if err != nil {
			return Refined{}, err
		}
		if !out.cut(t, l) {
			return out, nil
		}
		if n := len(out.Mesh.Triangles); n > l.Triangles {
			return Refined{}, &fault.Input{Field: "mesh", What: fmt.Sprintf("sides of %.3g m at most would take more than %d triangles", l.Edge, l.Triangles), Do: "allow longer sides, or check the file's unit"}
		}
	}
}

// cut makes one pass, and returns false where nothing was too long.
func (r *Refined) cut(t *Topology, l RefineLimits) bool {
	long := make([]bool, len(t.Edges))
	any := false
	for e, ends := range t.Edges {
		long[e] = t.EdgeLength(e) > l.Edge && (l.Where == nil || l.Where(t.Mesh.Vertices[ends[0]], t.Mesh.Vertices[ends[1]]))
		any = any || long[e]
	}
	if any {
		r.halve(t, long, t.midpoint)
	}
	return any
}

// halve cuts the sides that are marked, at the places given.
func (r *Refined) halve(t *Topology, marked []bool, place func(e int) r3.Vec) {
	mid := make([]int32, len(t.Edges))
	for e, cut := range marked {
		mid[e] = -1
		if cut {
			mid[e] = int32(len(r.Mesh.Vertices))
			r.Mesh.Vertices = append(r.Mesh.Vertices, place(e))
		}
	}
	old, from := r.Mesh.Triangles, r.Face
	r.Mesh.Triangles, r.Face = nil, nil
	for f, tri := range old {
		var m [3]int32
		for k := range m {
			m[k] = mid[t.EdgeOf[3*f+k]]
		}
		for _, piece := range r.pieces(tri, m) {
			r.Mesh.Triangles = append(r.Mesh.Triangles, piece)
			r.Face = append(r.Face, from[f])
		}
	}
}

// pieces cuts a triangle at the new vertices m of its sides, -1 for none.
func (r *Refined) pieces(t, m [3]int32) [][3]int32 {
	count := 0
	for _, v := range m {
		if v >= 0 {
			count++
		}
	}
	switch count {
	case 0:
		return [][3]int32{t}
	case 3:
		return [][3]int32{{t[0], m[0], m[2]}, {t[1], m[1], m[0]}, {t[2], m[2], m[1]}, m}
	}
	for k := range 3 { // turn it so that side 0 is cut, and side 1 if two are
		i, j := (k+1)%3, (k+2)%3
		if count == 1 && m[k] >= 0 {
			return [][3]int32{{t[k], m[k], t[j]}, {m[k], t[i], t[j]}}
		}
		if count == 2 && m[j] < 0 {
			tip := [3]int32{m[k], t[i], m[i]}
			return append([][3]int32{tip}, r.Mesh.quad(t[k], m[k], m[i], t[j])...)
		}
	}
	return nil // not reached: count is 1 or 2
}

// quad cuts the quadrangle a b c d along its shorter diagonal.
func (m *Mesh) quad(a, b, c, d int32) [][3]int32 {
	p := m.Vertices
	if r3.Norm2(r3.Sub(p[a], p[c])) <= r3.Norm2(r3.Sub(p[b], p[d])) {
		return [][3]int32{{a, b, c}, {a, c, d}}
	}
	return [][3]int32{{a, b, d}, {b, c, d}}
}
