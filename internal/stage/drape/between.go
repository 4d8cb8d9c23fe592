package drape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// weave is the net between its nodes: the middle cell of sixteen nodes, and cubics
// through them along either yarn.
type weave struct {
	node [4][4]*Node
	u, v float64 // flat place of its least corner, in steps
}

// weaveAt returns the weave that holds a flat place, given in steps; false where
// it has not all its nodes, or where an edge runs through it, which cubics would
// swing over.
func (n *Net) weaveAt(u, v float64) (p weave, ok bool) {
	p.u, p.v = math.Floor(u), math.Floor(v)
	if !(math.Abs(p.u) < 1<<30 && math.Abs(p.v) < 1<<30) {
		return p, false
	}
	for i := range p.node {
		for j := range p.node[i] {
			k := n.at.get([2]int32{int32(p.u) + int32(i) - 1, int32(p.v) + int32(j) - 1})
			if k < 0 || n.Nodes[k].edged || n.Nodes[k].Cells < 4 && !n.Nodes[k].summed {
				return p, false
			}
			p.node[i][j] = &n.Nodes[k]
		}
	}
	return p, true
}

// cubic returns the weights of four values at t between the middle two, and how
// they change.
func cubic(t float64) (w, dw [4]float64) {
	return [4]float64{t * (-1 + t*(2-t)) / 2, 1 + t*t*(3*t-5)/2, t * (1 + t*(4-3*t)) / 2, t * t * (t - 1) / 2},
		[4]float64{(-1 + t*(4-3*t)) / 2, t * (9*t - 10) / 2, (1 + t*(8-9*t)) / 2, t * (3*t - 2) / 2}
}

// at returns the place in space of a flat place, in steps, and how it changes.
func (p *weave) at(u, v float64) (x, xu, xv r3.Vec) {
	a, da := cubic(u - p.u)
	b, db := cubic(v - p.v)
	for i := range a {
		for j := range b {
			q := p.node[i][j].At
			x = r3.Add(x, r3.Scale(a[i]*b[j], q))
			xu = r3.Add(xu, r3.Scale(da[i]*b[j], q))
			xv = r3.Add(xv, r3.Scale(a[i]*db[j], q))
		}
	}
	return x, xu, xv
}

// free tells whether one of the cell's corners is.
func (p *weave) free() bool {
	return p.node[1][1].Free || p.node[2][1].Free || p.node[1][2].Free || p.node[2][2].Free
}

// asideOf is how far from the net's cubics a vertex may lie, in steps, to be told
// its place by them: what triangles cut off a fillet, and less than an edge.
const asideOf = 0.06

// find returns the flat place, in steps, of a place in space, from one nearby.
func (n *Net) find(at r3.Vec, u, v float64) (_, _ float64, free, ok bool) {
	for range 8 {
		p, ok := n.weaveAt(u, v)
		if !ok {
			return 0, 0, false, false
		}
		x, xu, xv := p.at(u, v)
		off := r3.Sub(at, x)
		uu, uv, vv := r3.Norm2(xu), r3.Dot(xu, xv), r3.Norm2(xv)
		det := uu*vv - uv*uv
		if !(det > collapse*collapse*uu*vv) {
			return 0, 0, false, false
		}
		eu, ev := r3.Dot(xu, off), r3.Dot(xv, off)
		du, dv := (vv*eu-uv*ev)/det, (uu*ev-uv*eu)/det
		if math.Hypot(du, dv) < 1e-6 {
			return u, v, p.free(), r3.Norm(off) < asideOf*n.Step
		}
		u, v = u+du, v+dv
	}
	return 0, 0, false, false
}

// fillIn places the vertices that no node lies beside, and takes the shear of all
// that lie between nodes from those.
func (o start) fillIn(n *Net, part int) {
	var ring []int32
	for v := range o.rank {
		if o.sure(int32(v)) {
			ring = append(ring, int32(v))
		}
	}
	for len(ring) > 0 {
		var next []int32
		for _, v := range ring {
			for _, e := range n.s.topology.VertexEdges(int(v)) {
				w := int32(n.s.topology.Other(int(e), int(v)))
				if o.sure(w) {
					continue
				}
				if a, b, free, ok := n.find(n.s.Vertices[w], o.flat[v].X/n.Step, o.flat[v].Y/n.Step); ok {
					o.flat[w], o.rank[w] = r2.Vec{X: a * n.Step, Y: b * n.Step}, insideNet
					if free {
						o.rank[w] = freeInNet
					}
					next = append(next, w)
				}
			}
		}
		ring = next
	}
	split(len(o.flat), func(_, from, to int) {
		for v := from; v < to; v++ {
			if o.sure(int32(v)) {
				a, b := o.flat[v].X/n.Step, o.flat[v].Y/n.Step
				if c, ok := n.cellAt(a, b, part); ok {
					o.shear[v] = n.shearIn(c, a-math.Floor(a), b-math.Floor(b))
				}
			}
		}
	})
}
