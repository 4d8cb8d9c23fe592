package drape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// start is where the descent begins: the flat place of each vertex, where the
// net gives one, and the shear there.
type start struct {
	flat  []r2.Vec
	shear []float64
	rank  []int8 // of the nodes that have placed it: insideNet to edgeOfNet, or unknown

	rounded bool // by the net of a smooth surface
}

// Ranks of nodes, by how much they know, and of vertices that they place. Up to
// freeOnSkirt the places are right to the second order; those that are free lie
// beyond the reach of the generators, where the net is one of many that the yarns
// allow.
const (
	insideNet = int8(iota) // on the part
	onSkirt
	freeInNet
	freeOnSkirt
	edgeOfNet
	unknown
)

func (o start) known(v int32) bool { return o.rank[v] < unknown }

// sure tells whether the net has placed a vertex to the second order.
func (o start) sure(v int32) bool { return o.rank[v] <= freeOnSkirt }

// told tells whether the net says the shear at a vertex: not on the skirt, which
// has no curvature of its own.
func (o start) told(v int32) bool {
	return o.rank[v] == insideNet || o.rank[v] == freeInNet || o.rounded && o.sure(v)
}

// placeByNet gives the vertices of the triangles that hold a node of the net
// the flat place that the node's yarns say; the others stay unknown. Several
// nodes are weighed by the square of their nearness. Nodes are asked in the order
// of their rank; the skirt's triangles come after the part's.
func placeByNet(n *Net, part int) start {
	m := len(n.s.Vertices)
	o := start{make([]r2.Vec, m), make([]float64, m), make([]int8, m), n.rounded}
	for v := range o.rank {
		o.rank[v] = unknown
	}
	at := make([]yarns, len(n.Nodes))
	split(len(at), func(_, from, to int) {
		for i := from; i < to; i++ {
			at[i] = n.yarnsAt(&n.Nodes[i], part)
		}
	})
	for rank := insideNet; rank < unknown; rank++ {
		weight := make([]float64, m)
		for i, y := range at {
			if y.rank != rank {
				continue
			}
			p := &n.Nodes[i]
			for _, v := range n.s.Triangles[p.Face] {
				d := r3.Sub(n.s.Vertices[v], p.At)
				u, w := y.unbend(d)
				if o.known(v) || !(math.Hypot(u, w) <= farthest*r3.Norm(d)) {
					continue
				}
				near := 1 / (r3.Norm2(d) + 1e-6*n.Step*n.Step)
				o.flat[v] = r2.Add(o.flat[v], r2.Scale(near, r2.Vec{X: float64(p.I)*n.Step + u, Y: float64(p.J)*n.Step + w}))
				o.shear[v] += near * (p.Shear + y.du*u + y.dv*w)
				weight[v] += near
			}
		}
		for v, w := range weight {
			if w > 0 {
				o.flat[v], o.shear[v], o.rank[v] = r2.Scale(1/w, o.flat[v]), o.shear[v]/w, rank
			}
		}
	}
	if o.rounded {
		o.fillIn(n, part)
	}
	return o
}

// first returns the start of the first n vertices.
func (o start) first(n int) start { return start{o.flat[:n], o.shear[:n], o.rank[:n], o.rounded} }

// placed tells which vertices are known.
func (o start) placed() []bool {
	is := make([]bool, len(o.rank))
	for v := range is {
		is[v] = o.known(int32(v))
	}
	return is
}

func (o start) covered() float64 {
	count := 0
	for v := range o.rank {
		if o.known(int32(v)) {
			count++
		}
	}
	return float64(count) / float64(max(1, len(o.rank)))
}

// farthest is how far, against its distance in space, a vertex may lie from a
// node in the flat sheet: beyond, yarns have all but come together there, and the
// place is worth nothing.
const farthest = 3

// yarns are the two yarns at a node: unit vectors, and how shear changes along
// them, rad/m.
type yarns struct {
	normal, warp, weft r3.Vec
	du, dv             float64
	rank               int8
}

// yarnsAt returns the yarns at a node, of unknown rank where they can't be told.
func (n *Net) yarnsAt(p *Node, part int) (y yarns) {
	y.normal = n.s.normal[p.Face]
	y.warp = level(r3.Sub(p.toward[0], p.toward[2]), y.normal)
	y.weft = level(r3.Sub(p.toward[1], p.toward[3]), y.normal)
	var okU, okV bool
	y.du, okU = n.slope(p, 0, part)
	y.dv, okV = n.slope(p, 1, part)
	inside := p.Cells == 4 && okU && okV
	switch {
	case !(r3.Dot(y.normal, r3.Cross(y.warp, y.weft)) > collapse), !inside && p.Face >= part:
		y.rank = unknown // beyond both the part and the net's inside it may be anywhere
	case !inside:
		y.rank, y.du, y.dv = edgeOfNet, 0, 0
	case p.Free && p.Face >= part:
		y.rank = freeOnSkirt
	case p.Free:
		y.rank = freeInNet
	case p.Face >= part:
		y.rank = onSkirt
	}
	return y
}

// slope returns how shear changes along yarn k at a node, rad/m. On the part,
// nodes on the skirt do not count: the skirt has no curvature of its own, and
// shear grows more slowly there.
func (n *Net) slope(p *Node, k, part int) (float64, bool) {
	at := func(i int32) (float64, bool) {
		q := n.at.get([2]int32{p.I + i*around[k][0], p.J + i*around[k][1]})
		if q < 0 || n.Nodes[q].Cells < 4 || p.Face < part && n.Nodes[q].Face >= part {
			return 0, false
		}
		return n.Nodes[q].Shear, true
	}
	ahead, okA := at(1)
	behind, okB := at(-1)
	if okA && okB {
		return (ahead - behind) / (2 * n.Step), true
	}
	for _, side := range []int32{1, -1} {
		first, ok1 := at(side)
		second, ok2 := at(2 * side)
		if ok1 && ok2 {
			return float64(side) * (4*first - second - 3*p.Shear) / (2 * n.Step), true
		}
	}
	return 0, false
}

// unbend returns the flat place u, v, counted from the node, of what lies at d
// in the plane of the node's triangle. The yarns bend in the surface:
//
//	d = X_u·u + X_v·v + ½·γ_u·u²·J·X_u − ½·γ_v·v²·J·X_v
//
// where J turns left, since X_uv = 0 in a net of yarns that keep their length.
func (y yarns) unbend(d r3.Vec) (u, v float64) {
	left, up := r3.Cross(y.normal, y.warp), r3.Cross(y.normal, y.weft)
	for range 4 {
		bent := r3.Sub(r3.Scale(y.du*u*u/2, left), r3.Scale(y.dv*v*v/2, up))
		u, v = components(r3.Sub(d, bent), y.warp, y.weft, y.normal)
	}
	return u, v
}

// components returns u and v of d ≈ u·warp + v·weft in the plane of normal.
func components(d, warp, weft, normal r3.Vec) (u, v float64) {
	det := r3.Dot(normal, r3.Cross(warp, weft))
	return r3.Dot(normal, r3.Cross(d, weft)) / det, r3.Dot(normal, r3.Cross(warp, d)) / det
}

// steepest is the shear, rad, beyond which a vertex placed from its neighbours
// does not carry on their shear.
const steepest = 50 * math.Pi / 180

// spreadOut places the vertices that are not known yet from their neighbours,
// in rings: each triangle with one corner to place is unfolded about its known
// side as if the cloth went on with the yarns of the triangle on the other
// side. The mean over such triangles is taken. Vertices that hang on nothing
// known stay at the origin.
func spreadOut(s *surface, flat []r2.Vec, known []bool) {
	var ring []int32
	for v := range flat {
		if known[v] {
			ring = append(ring, int32(v))
		}
	}
	for len(ring) > 0 {
		var next []int32
		tried := map[int32]bool{}
		for _, v := range ring {
			for _, e := range s.topology.VertexEdges(int(v)) {
				w := int32(s.topology.Other(int(e), int(v)))
				if !known[w] && !tried[w] {
					tried[w] = true
					if q, ok := s.foretell(w, flat, known); ok {
						flat[w] = q
						next = append(next, w)
					}
				}
			}
		}
		for _, v := range next {
			known[v] = true
		}
		ring = next
	}
}

// foretell returns the mean place of a vertex over its triangles whose other
// two corners are known.
func (s *surface) foretell(v int32, flat []r2.Vec, known []bool) (r2.Vec, bool) {
	var sum r2.Vec
	count := 0.0
	for _, f := range s.topology.VertexFaces(int(v)) {
		t := s.Triangles[f]
		k := corner(t, v)
		if known[t[(k+1)%3]] && known[t[(k+2)%3]] {
			sum = r2.Add(sum, s.unfold(int(f), k, flat, known))
			count++
		}
	}
	return r2.Scale(1/max(count, 1), sum), count > 0
}

func corner(t [3]int32, v int32) int {
	for k, w := range t {
		if w == v {
			return k
		}
	}
	return -1
}

// unfold returns the flat place of corner k of triangle f from the side
// opposite to it.
func (s *surface) unfold(f, k int, flat []r2.Vec, known []bool) r2.Vec {
	i, j := (k+1)%3, (k+2)%3
	t, p := s.Triangles[f], s.local[f]
	side := r2.Sub(p[j], p[i])
	long := r2.Norm(side)
	if long == 0 {
		return flat[t[i]]
	}
	e := r2.Scale(1/long, side)
	r := r2.Sub(p[k], p[i])
	along, off := r2.Dot(r, e), r2.Cross(e, r)
	a := r2.Scale(1/long, r2.Sub(flat[t[j]], flat[t[i]])) // flat change along the side
	b := r2.Vec{X: -a.Y, Y: a.X}                          // and across it, if nothing is known
	if twin := s.topology.Twin[3*f+i]; twin >= 0 {
		b = s.across(int(twin), a, b, flat, known)
	}
	a, b = straighten(a, b)
	return r2.Add(flat[t[i]], r2.Add(r2.Scale(along, a), r2.Scale(off, b)))
}

// across returns the change of the flat place at a right angle to a side, into
// the triangle f, as half-edge h of the triangle beyond it has it.
func (s *surface) across(h int, a, b r2.Vec, flat []r2.Vec, known []bool) r2.Vec {
	g := h / 3
	t, p := s.Triangles[g], s.local[g]
	i, j, k := h%3, (h+1)%3, (h+2)%3 // the side runs from i to j, against ours
	if !known[t[k]] || s.flat(g) {
		return b
	}
	e := r2.Unit(r2.Sub(p[j], p[i]))
	r := r2.Sub(p[k], p[i])
	along, off := r2.Dot(r, e), r2.Cross(e, r)
	rest := r2.Add(r2.Sub(flat[t[k]], flat[t[i]]), r2.Scale(along, a)) // a runs the other way
	return r2.Scale(-1/off, rest)
}

// straighten turns a gradient with columns a and b into the nearest one whose
// yarns have their own length and whose shear is no more than steepest; one that
// is turned over, into a plain turn that keeps a's bearing. What is placed ring
// by ring so can't grow without bounds.
func straighten(a, b r2.Vec) (r2.Vec, r2.Vec) {
	g := gradient{a.X, b.X, a.Y, b.Y}
	if !(g.det() > 0) {
		if r2.Norm(a) == 0 {
			return r2.Vec{X: 1}, r2.Vec{Y: 1}
		}
		a = r2.Unit(a)
		return a, r2.Vec{X: -a.Y, Y: a.X}
	}
	warp, weft := g.yarns()
	θ := math.Atan2(warp.Y, warp.X)
	φ := math.Atan2(r2.Cross(warp, weft), r2.Dot(warp, weft))
	mid := θ + φ/2
	φ = math.Pi/2 - math.Max(-steepest, math.Min(steepest, math.Pi/2-φ))
	s1, c1 := math.Sincos(mid - φ/2)
	s2, c2 := math.Sincos(mid + φ/2)
	det := c1*s2 - s1*c2
	// the gradient is the inverse of the matrix with the yarns as columns
	return r2.Vec{X: s2 / det, Y: -s1 / det}, r2.Vec{X: -c2 / det, Y: c1 / det}
}
