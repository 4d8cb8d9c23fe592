package mesh

import (
	"fmt"

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
	t.edgeFaces = group(n, len(t.Edges), func(h int) int32 { return t.EdgeOf[h] })
	t.findTwins()
	for i, h := range t.edgeFaces.item { // grouped as half-edges; kept as faces
		t.edgeFaces.item[i] = h / 3
	}
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

// findEdges numbers the edges by lower vertex, then higher vertex.
func (t *Topology) findEdges(n int) {
	many := len(t.Mesh.Vertices)
	high := group(n, many, func(h int) int32 { return max(t.From(h), t.To(h)) }).item
	low := group(n, many, func(i int) int32 { return min(t.From(int(high[i])), t.To(int(high[i]))) }).item
	t.Edges = make([][2]int32, 0, n/2+n/8) // what two triangles share counts once
	last := [2]int32{-1, -1}
	for _, i := range low {
		h := int(high[i])
		if ends := [2]int32{min(t.From(h), t.To(h)), max(t.From(h), t.To(h))}; ends != last {
			t.Edges, last = append(t.Edges, ends), ends
		}
		t.EdgeOf[h] = int32(len(t.Edges) - 1)
	}
}

// findTwins needs edgeFaces to hold half-edges.
func (t *Topology) findTwins() {
	for h := range t.Twin {
		t.Twin[h] = -1
	}
	for e := range t.Edges {
		half := t.edgeFaces.at(e)
		if len(half) == 2 && t.From(int(half[0])) != t.From(int(half[1])) {
			t.Twin[half[0]], t.Twin[half[1]] = half[1], half[0]
		}
	}
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
