package mesh

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
)

// ClipOptions says how a mesh is cut.
type ClipOptions struct {
	// Distance, if given, is the function whose zero is cut along; the cut then
	// lies on it to rounding at every edge. Without it the cut lies where the
	// straight line between the values at an edge's ends is zero.
	Distance func(r3.Vec) float64
	// Snap is the share of an edge within which a vertex is moved onto the cut
	// instead of leaving a sliver beside it; it moves along the edge. Without it
	// no vertex moves. Up to 0.2 is sensible, 0.45 the most.
	Snap float64
}

// Origin says where a vertex of a cut mesh comes from: vertex A at T = 0, or the
// point at share T from A to B of an old edge.
type Origin struct {
	A, B int32
	T    float64
}

// Clipped is what is left of a mesh after a cut.
type Clipped struct {
	Mesh   *Mesh
	Origin []Origin // of each vertex
	Face   []int32  // old triangle that each one lies in
	OnCut  []bool   // for each vertex, whether it lies on the cut
}

// Clip keeps the part of the mesh where d, given at the vertices, is positive.
// Triangles that the zero line of d runs through are cut at it; both sides of
// an edge get the same new vertex, so what was joined stays joined. Vertices
// that stay keep their order and, but for Snap, their place.
//
// A cut that passes wholly inside one triangle, so that no vertex changes its
// sign, is not seen: refine the mesh first to less than the width of what is
// cut out.
func (t *Topology) Clip(d []float64, o ClipOptions) (Clipped, error) {
	if len(d) != len(t.Mesh.Vertices) {
		return Clipped{}, &fault.Input{Field: "mesh", What: fmt.Sprintf("%d distances for %d vertices", len(d), len(t.Mesh.Vertices))}
	}
	for v, x := range d {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return Clipped{}, &fault.Input{Field: "mesh", What: fmt.Sprintf("the distance of vertex %d from the cut is no number", v)}
		}
	}
	if !(o.Snap >= 0 && o.Snap <= 0.45) {
		return Clipped{}, &fault.Range{Field: "mesh.snap", Value: o.Snap, Max: 0.45, Why: "beyond half an edge there is no telling which end to move"}
	}
	c := newClipper(t, d, o)
	if o.Snap > 0 {
		c.snap()
	}
	for f := range t.Mesh.Triangles {
		c.cutFace(f)
	}
	return c.finish(), nil
}

// ClipBy is Clip with the distance taken at the vertices too.
func (t *Topology) ClipBy(distance func(r3.Vec) float64, snap float64) (Clipped, error) {
	d := make([]float64, len(t.Mesh.Vertices))
	for v, p := range t.Mesh.Vertices {
		d[v] = distance(p)
	}
	return t.Clip(d, ClipOptions{Distance: distance, Snap: snap})
}

// clipper holds a mesh while it is cut: the old vertices, some moved, then the
// new ones.
type clipper struct {
	t      *Topology
	was, d []float64 // before and after snapping
	o      ClipOptions
	out    Clipped
	share  []float64 // of each crossed edge, where it is cut; -1 before it is known
	vertex []int32   // of each edge, the new vertex; -1 for none
}

func newClipper(t *Topology, d []float64, o ClipOptions) *clipper {
	n := len(t.Edges)
	c := &clipper{t: t, was: d, d: append([]float64(nil), d...), o: o, share: make([]float64, n), vertex: make([]int32, n)}
	for e := range n {
		c.share[e], c.vertex[e] = -1, -1
	}
	c.out.Mesh = &Mesh{Vertices: append([]r3.Vec(nil), t.Mesh.Vertices...)}
	c.out.Origin = make([]Origin, len(d))
	for v := range d {
		c.out.Origin[v] = Origin{int32(v), int32(v), 0}
	}
	return c
}

// crossed tells whether d changes its sign inside edge e.
func (c *clipper) crossed(e int) bool {
	a, b := c.d[c.t.Edges[e][0]], c.d[c.t.Edges[e][1]]
	return a > 0 && b < 0 || a < 0 && b > 0
}

// cutAt returns where edge e is cut, as a share from its lower vertex, by the
// values before snapping.
func (c *clipper) cutAt(e int) float64 {
	if c.share[e] < 0 {
		a, b := c.t.Edges[e][0], c.t.Edges[e][1]
		c.share[e] = c.was[a] / (c.was[a] - c.was[b])
		if c.o.Distance != nil {
			p, q := c.t.Mesh.Vertices[a], c.t.Mesh.Vertices[b]
			c.share[e] = rootBetween(c.was[a], c.was[b], func(s float64) float64 { return c.o.Distance(between(p, q, s)) })
		}
	}
	return c.share[e]
}

func between(a, b r3.Vec, s float64) r3.Vec { return r3.Add(r3.Scale(1-s, a), r3.Scale(s, b)) }

// rootBetween returns the zero of f between 0 and 1, where it is fa and fb, by
// false position with the stale end's value halved (Illinois), which needs few
// steps and never leaves the bracket.
func rootBetween(fa, fb float64, f func(float64) float64) float64 {
	const steps, width = 100, 1e-14
	a, b, s, side := 0.0, 1.0, 0.0, 0
	for range steps {
		s = (a*fb - b*fa) / (fb - fa)
		if !(s > a && s < b) { // rounding at the bracket's end
			s = (a + b) / 2
		}
		fs := f(s)
		switch {
		case fs == 0 || b-a < width:
			return s
		case (fs > 0) == (fa > 0):
			a, fa = s, fs
			if side == -1 {
				fb /= 2
			}
			side = -1
		default:
			b, fb = s, fs
			if side == 1 {
				fa /= 2
			}
			side = 1
		}
	}
	return s
}

// snap moves vertices near the cut onto it, each along the edge on which it is
// nearest. A vertex at the rim moves along the rim only, and none moves where
// that would turn a triangle over or fold it by more than 60 deg.
func (c *clipper) snap() {
	rim := c.t.RimVertices()
	edge := make([]int32, len(c.d))
	near := make([]float64, len(c.d))
	for v := range edge {
		edge[v], near[v] = -1, c.o.Snap
	}
	for e, ends := range c.t.Edges {
		if !c.crossed(e) {
			continue
		}
		s := c.cutAt(e)
		onRim := len(c.t.EdgeFaces(e)) == 1
		for k, share := range [2]float64{s, 1 - s} {
			if v := ends[k]; share < near[v] && (onRim || !rim[v]) {
				edge[v], near[v] = int32(e), share
			}
		}
	}
	for v, e := range edge {
		if e < 0 {
			continue
		}
		ends := c.t.Edges[e]
		p := between(c.t.Mesh.Vertices[ends[0]], c.t.Mesh.Vertices[ends[1]], c.share[e])
		if c.mayMove(v, p) {
			c.out.Mesh.Vertices[v], c.d[v] = p, 0
			c.out.Origin[v] = Origin{ends[0], ends[1], c.share[e]}
		}
	}
}

func (c *clipper) mayMove(v int, p r3.Vec) bool {
	for _, f := range c.t.VertexFaces(v) {
		var corner [3]r3.Vec
		for k, u := range c.t.Mesh.Triangles[f] {
			corner[k] = c.out.Mesh.Vertices[u]
			if int(u) == v {
				corner[k] = p
			}
		}
		n := r3.Cross(r3.Sub(corner[1], corner[0]), r3.Sub(corner[2], corner[0]))
		if r3.Dot(n, c.t.Mesh.FaceNormal(int(f))) <= 0.5*r3.Norm(n) {
			return false
		}
	}
	return true
}

// cutVertex returns the vertex at which crossed edge e is cut.
func (c *clipper) cutVertex(e int) int32 {
	if c.vertex[e] < 0 {
		ends, s := c.t.Edges[e], c.cutAt(e)
		c.vertex[e] = int32(len(c.out.Mesh.Vertices))
		c.out.Mesh.Vertices = append(c.out.Mesh.Vertices, between(c.t.Mesh.Vertices[ends[0]], c.t.Mesh.Vertices[ends[1]], s))
		c.out.Origin = append(c.out.Origin, Origin{ends[0], ends[1], s})
	}
	return c.vertex[e]
}

// cutFace adds what is left of triangle f: its corners above zero and on it and
// the cuts of its sides, in order, as one, two or no triangles.
func (c *clipper) cutFace(f int) {
	var corner []int32
	above, was := false, 0.0
	for k, v := range c.t.Mesh.Triangles[f] {
		was += c.was[v]
		if c.d[v] >= 0 {
			corner = append(corner, v)
		}
		above = above || c.d[v] > 0
		if e := int(c.t.EdgeOf[3*f+k]); c.crossed(e) {
			corner = append(corner, c.cutVertex(e))
		}
	}
	if !above && (len(corner) < 3 || was <= 0) { // wholly on the cut: as it lay before
		return
	}
	pieces := [][3]int32(nil)
	switch len(corner) {
	case 3:
		pieces = [][3]int32{{corner[0], corner[1], corner[2]}}
	case 4:
		pieces = c.out.Mesh.quad(corner[0], corner[1], corner[2], corner[3])
	}
	for _, p := range pieces {
		c.out.Mesh.Triangles = append(c.out.Mesh.Triangles, p)
		c.out.Face = append(c.out.Face, int32(f))
	}
}

// finish drops the vertices that were cut off.
func (c *clipper) finish() Clipped {
	all := make([]int32, len(c.out.Mesh.Triangles))
	for f := range all {
		all[f] = int32(f)
	}
	part := c.out.Mesh.Extract(all)
	out := Clipped{Mesh: part.Mesh, Face: c.out.Face}
	for _, v := range part.Vertex {
		out.Origin = append(out.Origin, c.out.Origin[v])
		out.OnCut = append(out.OnCut, int(v) >= len(c.d) || c.d[v] == 0)
	}
	return out
}
