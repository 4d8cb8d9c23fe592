package mesh

// Part is a piece taken out of a mesh, with the old number of each of its
// vertices and triangles.
type Part struct {
	Mesh         *Mesh
	Vertex, Face []int32
}

// Extract returns the triangles listed as a mesh of their own, in the order of
// the list; vertices keep their order.
func (m *Mesh) Extract(faces []int32) Part {
	now := make([]int32, len(m.Vertices))
	for _, f := range faces {
		for _, v := range m.Triangles[f] {
			now[v] = 1
		}
	}
	p := Part{Mesh: &Mesh{}, Face: append([]int32(nil), faces...)}
	for v, used := range now {
		if used == 1 {
			now[v] = int32(len(p.Vertex))
			p.Vertex = append(p.Vertex, int32(v))
			p.Mesh.Vertices = append(p.Mesh.Vertices, m.Vertices[v])
		}
	}
	for _, f := range faces {
		t := m.Triangles[f]
		p.Mesh.Triangles = append(p.Mesh.Triangles, [3]int32{now[t[0]], now[t[1]], now[t[2]]})
	}
	return p
}

// Region returns, in rising order, the triangles that can be reached from one
// over sides with two triangles that agree; cross, if given, says which
// half-edges may be crossed.
func (t *Topology) Region(from int, cross func(half int) bool) []int32 {
	in := make([]bool, len(t.Mesh.Triangles))
	in[from] = true
	for stack := []int{from}; len(stack) > 0; {
		f := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for h := 3 * f; h < 3*f+3; h++ {
			twin := int(t.Twin[h])
			if twin < 0 || in[twin/3] || cross != nil && !cross(h) {
				continue
			}
			in[twin/3] = true
			stack = append(stack, twin/3)
		}
	}
	var faces []int32
	for f, is := range in {
		if is {
			faces = append(faces, int32(f))
		}
	}
	return faces
}

// FacesWhere returns the triangles that pass, in rising order.
func (m *Mesh) FacesWhere(pass func(f int) bool) []int32 {
	var faces []int32
	for f := range m.Triangles {
		if pass(f) {
			faces = append(faces, int32(f))
		}
	}
	return faces
}
