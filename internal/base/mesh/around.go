package mesh

// EdgeFaces returns the triangles at edge e; the caller must not change them.
func (t *Topology) EdgeFaces(e int) []int32 { return t.edgeFaces.at(e) }

// VertexFaces returns the triangles at vertex v in rising order; the caller
// must not change them.
func (t *Topology) VertexFaces(v int) []int32 { return t.vertexFaces.at(v) }

// VertexEdges returns the edges at vertex v in rising order; the caller must
// not change them.
func (t *Topology) VertexEdges(v int) []int32 { return t.vertexEdges.at(v) }

// Other returns the end of edge e that is not v.
func (t *Topology) Other(e, v int) int {
	ends := t.Edges[e]
	if int(ends[0]) == v {
		return int(ends[1])
	}
	return int(ends[0])
}

// EdgeBetween returns the edge between two vertices, and -1 where there is none.
func (t *Topology) EdgeBetween(a, b int) int {
	for _, e := range t.VertexEdges(a) {
		if t.Other(int(e), a) == b {
			return int(e)
		}
	}
	return -1
}

// Neighbour returns the triangle beyond side k (corner k to k+1) of triangle f,
// and -1 where Twin has none.
func (t *Topology) Neighbour(f, k int) int {
	if h := t.Twin[3*f+k]; h >= 0 {
		return int(h) / 3
	}
	return -1
}

// RimVertices tells for each vertex whether it lies on the rim: at a half-edge
// without a twin.
func (t *Topology) RimVertices() []bool {
	rim := make([]bool, len(t.Mesh.Vertices))
	for h, twin := range t.Twin {
		if twin < 0 {
			rim[t.From(h)], rim[t.To(h)] = true, true
		}
	}
	return rim
}

// RimLoops returns the rims as closed chains of half-edges, each with the
// surface on its left seen from outside: an outer rim runs counter-clockwise,
// that of a hole clockwise. They come in the order of their lowest half-edge.
//
// The chain turns about each vertex inside its own fan of triangles, so two
// parts that touch in a point stay apart. Every half-edge without a twin is in
// one chain; where the mesh has edges of three triangles or triangles that run
// the wrong way round, those edges count as rim.
func (t *Topology) RimLoops() [][]int32 {
	seen := make([]bool, len(t.Twin))
	var loops [][]int32
	for first, twin := range t.Twin {
		if twin >= 0 || seen[first] {
			continue
		}
		var loop []int32
		for h := first; !seen[h]; h = t.rimAfter(h) {
			seen[h] = true
			loop = append(loop, int32(h))
		}
		loops = append(loops, loop)
	}
	return loops
}

// rimAfter turns about the end of rim half-edge h to the next rim half-edge.
func (t *Topology) rimAfter(h int) int {
	n := Next(h)
	for t.Twin[n] >= 0 {
		n = Next(int(t.Twin[n]))
	}
	return n
}

// LoopVertices returns the vertices that a chain of half-edges starts from.
func (t *Topology) LoopVertices(loop []int32) []int32 {
	vertices := make([]int32, len(loop))
	for i, h := range loop {
		vertices[i] = t.From(int(h))
	}
	return vertices
}

// NonManifoldEdges returns the edges of three or more triangles.
func (t *Topology) NonManifoldEdges() []int32 {
	return t.edgesWhere(func(half []int32) bool { return len(half) > 2 })
}

// RimEdges returns the edges of one triangle.
func (t *Topology) RimEdges() []int32 {
	return t.edgesWhere(func(half []int32) bool { return len(half) == 1 })
}

// FlippedEdges returns the edges whose two triangles turn against each other.
func (t *Topology) FlippedEdges() []int32 {
	var found []int32
	for e := range t.Edges {
		f := t.EdgeFaces(e)
		if len(f) == 2 && t.Twin[t.halfEdge(int(f[0]), e)] < 0 {
			found = append(found, int32(e))
		}
	}
	return found
}

func (t *Topology) edgesWhere(is func(faces []int32) bool) []int32 {
	var found []int32
	for e := range t.Edges {
		if is(t.EdgeFaces(e)) {
			found = append(found, int32(e))
		}
	}
	return found
}

// halfEdge returns the half-edge of triangle f that runs along edge e.
func (t *Topology) halfEdge(f, e int) int {
	for h := 3 * f; h < 3*f+3; h++ {
		if int(t.EdgeOf[h]) == e {
			return h
		}
	}
	return -1
}

// BowTies returns the vertices where more than one fan of triangles meets:
// where parts touch in a point only.
func (t *Topology) BowTies() []int32 {
	var found []int32
	for v := range t.Mesh.Vertices {
		faces := t.VertexFaces(v)
		if len(faces) > 0 && !t.oneFan(v) && len(t.fanOf(v, faces[0])) < len(faces) {
			found = append(found, int32(v))
		}
	}
	return found
}

// oneFan tells whether a walk over twins comes by all triangles at v; where they
// turn against each other it may not, though they hang together.
func (t *Topology) oneFan(v int) bool {
	faces := t.VertexFaces(v)
	first := 3 * int(faces[0])
	for int(t.From(first)) != v {
		first++
	}
	count, h := 0, first
	for ; count < len(faces); count++ { // against the clock
		twin := int(t.Twin[Prev(h)])
		if twin < 0 {
			break
		}
		if h = twin; h == first {
			return count+1 == len(faces)
		}
	}
	for count, h = count+1, first; count < len(faces); count++ { // and back
		twin := int(t.Twin[h])
		if twin < 0 {
			break
		}
		h = Next(twin)
	}
	return count == len(faces)
}

// Components numbers the parts that hang together by edges, in the order of
// their lowest triangle: the part of each triangle, and how many there are.
func (t *Topology) Components() (part []int32, count int) {
	part = make([]int32, len(t.Mesh.Triangles))
	for f := range part {
		part[f] = -1
	}
	queue := make([]int32, 0, len(part))
	for first := range part {
		if part[first] >= 0 {
			continue
		}
		part[first] = int32(count)
		queue = append(queue[:0], int32(first))
		for i := 0; i < len(queue); i++ {
			f := int(queue[i])
			for h := 3 * f; h < 3*f+3; h++ {
				for _, n := range t.EdgeFaces(int(t.EdgeOf[h])) {
					if part[n] < 0 {
						part[n] = int32(count)
						queue = append(queue, n)
					}
				}
			}
		}
		count++
	}
	return part, count
}

// Closed tells whether every side of every triangle has just one neighbour
// that turns the same way.
func (t *Topology) Closed() bool {
	for _, twin := range t.Twin {
		if twin < 0 {
			return false
		}
	}
	return len(t.Twin) > 0
}

// Euler returns the Euler characteristic: vertices in use less edges plus
// triangles. A closed surface like a sphere has 2, a disc 1, a tube 0.
func (t *Topology) Euler() int {
	used := 0
	for v := range t.Mesh.Vertices {
		if len(t.VertexFaces(v)) > 0 {
			used++
		}
	}
	return used - len(t.Edges) + len(t.Mesh.Triangles)
}
