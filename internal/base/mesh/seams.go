package mesh

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// Within calls visit for each triangle whose box meets the box.
func (l *Locator) Within(box r3.Box, visit func(f int)) {
	if len(l.nodes) == 0 {
		return
	}
	var room [64]int32
	stack := append(room[:0], 0)
	for len(stack) > 0 {
		n := &l.nodes[stack[len(stack)-1]]
		i := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		switch {
		case !boxesMeet(&n.box, &box):
		case n.right != 0:
			stack = append(stack, n.right, i+1)
		default:
			for _, f := range l.order[n.from:n.to] {
				if b := l.m.box(f); boxesMeet(&b, &box) {
					visit(int(f))
				}
			}
		}
	}
}

// Segments returns a mesh of triangles without width, one a side listed, in which
// a [Locator] finds the nearest place on a line.
func (t *Topology) Segments(edges []int32) *Mesh {
	m := &Mesh{Vertices: t.Mesh.Vertices}
	for _, e := range edges {
		a, b := t.Edges[e][0], t.Edges[e][1]
		m.Triangles = append(m.Triangles, [3]int32{a, b, b})
	}
	return m
}

// sewPasses bounds how often sew starts again, as it cuts one side of a triangle
// at a time.
const sewPasses = 8

// sew cuts the sides at the rim on which a vertex of the rim lies within the
// distance, m, and returns those vertices. None moves.
func (c *cleaner) sew(t *Topology, distance float64) (places []r3.Vec, err error) {
	for range sewPasses {
		if !(distance > 0) {
			break
		}
		on, all := t.onRim(distance)
		for _, cut := range on {
			places = append(places, c.cutSide(t, cut)...)
		}
		if all {
			break
		}
		if t, err = NewTopology(c.out); err != nil {
			return nil, err
		}
	}
	return places, nil
}

// cutSide cuts a triangle from its far corner to the vertices on its side.
func (c *cleaner) cutSide(t *Topology, cut seam) (places []r3.Vec) {
	h := int(cut.half)
	far := t.From(Prev(h))
	chain := append(append([]int32{t.From(h)}, cut.vertices...), t.To(h))
	c.out.Triangles[h/3] = [3]int32{chain[0], chain[1], far}
	for i := 1; i+1 < len(chain); i++ {
		places = append(places, c.out.Vertices[chain[i]])
		c.out.Triangles = append(c.out.Triangles, [3]int32{chain[i], chain[i+1], far})
		c.from = append(c.from, c.from[h/3])
	}
	return places
}

// seam is a half-edge at the rim and the vertices on it, in its order.
type seam struct {
	half     int32
	vertices []int32
}

// onRim finds the vertices on sides at the rim: all, or those of one side only
// where a triangle has more.
func (t *Topology) onRim(distance float64) (out []seam, all bool) {
	edges := t.RimEdges()
	if len(edges) == 0 {
		return nil, true
	}
	lines := t.Segments(edges)
	l := NewLocator(lines)
	found := map[int32][]int32{} // by place in edges
	for v, is := range t.RimVertices() {
		if !is {
			continue
		}
		p := t.Mesh.Vertices[v]
		d := r3.Vec{X: distance, Y: distance, Z: distance}
		l.Within(r3.Box{Min: r3.Sub(p, d), Max: r3.Add(p, d)}, func(i int) {
			if t.liesOn(v, int(edges[i]), distance) {
				found[int32(i)] = append(found[int32(i)], int32(v))
			}
		})
	}
	all = true
	taken := map[int32]bool{}
	for i, e := range edges {
		f := t.EdgeFaces(int(e))[0]
		vertices := found[int32(i)]
		if len(vertices) == 0 || taken[f] {
			all = all && len(vertices) == 0
			continue
		}
		taken[f] = true
		h := t.halfEdge(int(f), int(e))
		from := t.Mesh.Vertices[t.From(h)]
		way := r3.Sub(t.Mesh.Vertices[t.To(h)], from)
		slices.SortStableFunc(vertices, func(a, b int32) int {
			return cmp.Compare(r3.Dot(way, r3.Sub(t.Mesh.Vertices[a], from)), r3.Dot(way, r3.Sub(t.Mesh.Vertices[b], from)))
		})
		out = append(out, seam{int32(h), vertices})
	}
	return out, all
}

// liesOn tells whether v lies on edge e between its ends, clear of both, and is no
// corner of its triangle.
func (t *Topology) liesOn(v, e int, distance float64) bool {
	for _, w := range t.Mesh.Triangles[t.EdgeFaces(e)[0]] {
		if int(w) == v {
			return false
		}
	}
	p, a, b := t.Mesh.Vertices[v], t.Mesh.Vertices[t.Edges[e][0]], t.Mesh.Vertices[t.Edges[e][1]]
	way := r3.Sub(b, a)
	l := r3.Norm(way)
	x := r3.Dot(r3.Sub(p, a), way) / l
	off := r3.Norm(r3.Sub(r3.Sub(p, a), r3.Scale(x/l, way)))
	return x > distance && x < l-distance && off <= distance
}

// Untie gives each fan of triangles that touches another in a vertex alone a
// vertex of its own; from is the old number of each vertex.
func (t *Topology) Untie() (out *Mesh, from []int32) {
	out = t.Mesh.Clone()
	from = make([]int32, len(out.Vertices))
	for v := range from {
		from[v] = int32(v)
	}
	for _, v := range t.BowTies() {
		left := slices.Clone(t.VertexFaces(int(v)))
		for first := true; len(left) > 0; first = false {
			fan := t.fanOf(int(v), left[0])
			left = slices.DeleteFunc(left, func(f int32) bool { return slices.Contains(fan, f) })
			if first {
				continue
			}
			now := int32(len(out.Vertices))
			out.Vertices, from = append(out.Vertices, out.Vertices[v]), append(from, v)
			for _, f := range fan {
				out.Triangles[f][slices.Index(out.Triangles[f][:], v)] = now
			}
		}
	}
	return out, from
}

// fanOf lists the triangles at v that hang together with f by sides at v.
func (t *Topology) fanOf(v int, f int32) []int32 {
	fan := []int32{f}
	for i := 0; i < len(fan); i++ {
		for h := 3 * int(fan[i]); h < 3*int(fan[i])+3; h++ {
			if int(t.From(h)) != v && int(t.To(h)) != v {
				continue
			}
			for _, g := range t.EdgeFaces(int(t.EdgeOf[h])) {
				if !slices.Contains(fan, g) {
					fan = append(fan, g)
				}
			}
		}
	}
	return fan
}
