package mesh

import (
	"fmt"
	"slices"

	"laywright/internal/base/fault"
)

// Topology tells what of a mesh touches what. It belongs to the mesh it was
// made from and is out of date once that mesh's triangles change.
type Topology struct {
	Mesh  *Mesh
	Edges [][2]int32 // each edge once, lower vertex first, in rising order

	// EdgeOf holds the edge of each half-edge. Twin holds the half-edge that
	// runs back along the same edge in the one triangle on the other side, and
	// -1 at a rim, at an edge of three or more triangles, and where the
	// neighbour runs the wrong way round.
	EdgeOf, Twin []int32

	edgeFaces, vertexFaces, vertexEdges lists
}

// lists holds many short lists in one array: list i is item[start[i]:start[i+1]].
type lists struct{ start, item []int32 }

func (l lists) at(i int) []int32 { return l.item[l.start[i]:l.start[i+1]] }

// group sorts the items 0..n-1 into lists by key, keeping their order.
func group(n, keys int, key func(i int) int32) lists {
	start := make([]int32, keys+1)
	for i := range n {
		start[key(i)+1]++
	}
	for k := range keys {
		start[k+1] += start[k]
	}
	fill := append([]int32(nil), start[:keys]...)
	item := make([]int32, n)
	for i := range n {
		k := key(i)
		item[fill[k]] = int32(i)
		fill[k]++
	}
	return lists{start, item}
}

// maxTriangles keeps half-edge numbers inside int32.
const maxTriangles = 1<<31/3 - 1

// check refuses indices that no vertex answers to and triangles that name a
// vertex twice.
func (m *Mesh) check() error {
	if len(m.Triangles) > maxTriangles {
		return &fault.Input{Field: "mesh", What: fmt.Sprintf("%d triangles are more than can be numbered", len(m.Triangles)), Do: "thin it out"}
	}
	for f, t := range m.Triangles {
		for _, v := range t {
			if v < 0 || int(v) >= len(m.Vertices) {
				return &fault.Input{Field: "mesh", What: fmt.Sprintf("triangle %d names vertex %d of %d", f, v, len(m.Vertices))}
			}
		}
		if t[0] == t[1] || t[1] == t[2] || t[2] == t[0] {
			return &fault.Input{Field: "mesh", What: fmt.Sprintf("triangle %d names vertex %d twice", f, repeated(t)), Do: "clean the mesh first"}
		}
	}
	return nil
}

func repeated(t [3]int32) int32 {
	if t[0] == t[1] {
		return t[0]
	}
	return t[2]
}

// NewTopology works out what touches what in m. It takes any triangles, also
// with holes, fins or wrong turns; it refuses only an index without a vertex
// and a triangle that names a vertex twice.
func NewTopology(m *Mesh) (*Topology, error) {
	if err := m.check(); err != nil {
		return nil, err
	}
	n := 3 * len(m.Triangles)
	t := &Topology{Mesh: m, EdgeOf: make([]int32, n), Twin: make([]int32, n)}
	t.findEdges(n)
	t.findTwins()
	t.vertexFaces = group(n, len(m.Vertices), func(h int) int32 { return t.From(h) })
	for i, h := range t.vertexFaces.item {
		t.vertexFaces.item[i] = h / 3
	}
	t.vertexEdges = group(2*len(t.Edges), len(m.Vertices), func(i int) int32 { return t.Edges[i/2][i%2] })
	for i, e := range t.vertexEdges.item {
		t.vertexEdges.item[i] = e / 2
	}
	return t, nil
}

// findEdges numbers the edges by lower vertex, then higher vertex, and lists the
// triangles of each.
func (t *Topology) findEdges(n int) {
	low := group(n, len(t.Mesh.Vertices), func(h int) int32 { return min(t.From(h), t.To(h)) })
	t.edgeFaces.item = make([]int32, 0, n)
	t.edgeFaces.start = make([]int32, 0, n/2+n/16) // a surface has about half as many edges as half-edges
	t.Edges = make([][2]int32, 0, n/2+n/16)
	var byHigher []uint64 // higher vertex, then half-edge
	for v := range t.Mesh.Vertices {
		byHigher = byHigher[:0]
		for _, h := range low.at(v) {
			byHigher = append(byHigher, uint64(max(t.From(int(h)), t.To(int(h))))<<32|uint64(h))
		}
		slices.Sort(byHigher)
		for i, k := range byHigher {
			if i == 0 || k>>32 != byHigher[i-1]>>32 {
				t.Edges = append(t.Edges, [2]int32{int32(v), int32(k >> 32)})
				t.edgeFaces.start = append(t.edgeFaces.start, int32(len(t.edgeFaces.item)))
			}
			h := int32(uint32(k))
			t.EdgeOf[h] = int32(len(t.Edges) - 1)
			t.edgeFaces.item = append(t.edgeFaces.item, h/3)
		}
	}
	t.edgeFaces.start = append(t.edgeFaces.start, int32(n))
}

// findTwins pairs the half-edges of edges with two triangles that agree.
func (t *Topology) findTwins() {
	for h := range t.Twin {
		t.Twin[h] = -1
	}
	for e := range t.Edges {
		f := t.EdgeFaces(e)
		if len(f) != 2 || f[0] == f[1] {
			continue
		}
		if g, h := t.halfEdge(int(f[0]), e), t.halfEdge(int(f[1]), e); t.From(g) != t.From(h) {
			t.Twin[g], t.Twin[h] = int32(h), int32(g)
		}
	}
}

// turn turns triangle f the other way round; findTwins must follow.
func (t *Topology) turn(f int) {
	tri := &t.Mesh.Triangles[f]
	tri[1], tri[2] = tri[2], tri[1]
	t.EdgeOf[3*f], t.EdgeOf[3*f+2] = t.EdgeOf[3*f+2], t.EdgeOf[3*f]
}

// From returns the vertex that half-edge h starts at.
func (t *Topology) From(h int) int32 { return t.Mesh.Triangles[h/3][h%3] }

// To returns the vertex that half-edge h ends at.
func (t *Topology) To(h int) int32 { return t.From(Next(h)) }

// Next returns the half-edge that follows h round its triangle.
func Next(h int) int {
	if h%3 == 2 {
		return h - 2
	}
	return h + 1
}

// Prev returns the half-edge before h round its triangle.
func Prev(h int) int {
	if h%3 == 0 {
		return h + 2
	}
	return h - 1
}
