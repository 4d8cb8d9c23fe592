package drape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// bow is by how much the shear in the middle of a yarn between two nodes differs from
// the mean of theirs, rad.
//
// From a yarn to the next one on its left, the shear at its end grows against that at
// its start by the curvature of the cell between them, and the shear in its middle by
// that of the cell's first half. So
//
//	bow(next) = bow + (∫ K dA over the first half − ∫ K dA over the second half)/2
//
// with no bow on a generator. The curvature of half a cell is the area that the normals
// at its corners enclose on a ball of radius 1. Where curvature comes and goes within
// a cell, as along the rim of a fillet, no curve through the nodes' own shear shows it.
// Where both halves together are not the cell's curvature, within [mostApart], normals
// tell nothing: at a tip, or off the mould.
//
// Source: [hazzidakis1880].
type bow struct {
	rad    float64
	normal r3.Vec // of the surface in the yarn's middle
	known  bool
}

// bows works out the bow of each yarn from a node to the next warp and weft step.
func (n *Net) bows(round *mesh.Rounding) {
	n.bow = make([][2]bow, len(n.Nodes))
	up := make([]r3.Vec, len(n.Nodes))
	split(len(up), func(_, from, to int) {
		for i := from; i < to; i++ {
			p := &n.Nodes[i]
			if up[i] = round.Normal(p.Point); !p.summed {
				continue
			}
			for k := range n.bow[i] {
				if p.toward[k] == (r3.Vec{}) {
					continue
				}
				if at, off, err := n.tracer.End(p.Point, p.toward[k], n.Step/2); err == nil && !off {
					n.bow[i][k].normal = round.Normal(at.Point)
				}
			}
		}
	})
	for i := range n.Nodes {
		for k := range around {
			if j := n.at.get(step(n.Nodes[i].I, n.Nodes[i].J, k)); j >= 0 && j < int32(i) {
				own := int32(i)
				if k >= 2 {
					own = j
				}
				n.addBow(own, k%2, up)
			}
		}
	}
}

// addBow adds up the bow of the yarn from node i in direction k, from the bow of the one
// before it, as seen from the generator.
func (n *Net) addBow(i int32, k int, up []r3.Vec) {
	p, b := &n.Nodes[i], &n.bow[i][k]
	j := n.at.get(step(p.I, p.J, k))
	if j < 0 || !p.summed || !n.Nodes[j].summed || b.normal == (r3.Vec{}) {
		return
	}
	back, turn := [2]int32{p.I, p.J - sign(p.J)}, 1.0
	if k == 1 {
		back, turn = [2]int32{p.I - sign(p.I), p.J}, -1
	}
	if p.I == 0 && k == 1 || p.J == 0 && k == 0 {
		b.known = true
		return
	}
	c, d := n.at.get(back), n.at.get(step(back[0], back[1], k))
	if c < 0 || d < 0 || !n.bow[c][k].known {
		return
	}
	a := n.bow[c][k]
	first, second := turn*onBall(up[c], a.normal, b.normal, up[i]), turn*onBall(a.normal, up[d], up[j], b.normal)
	K, ok := n.curvatureOf([2]int32{min(p.I, back[0]), min(p.J, back[1])})
	if out := (p.I - back[0]) + (p.J - back[1]); ok && math.Abs(first+second-float64(out)*K) < mostApart {
		b.rad, b.known = a.rad+(first-second)/2, true
	}
}

// onBall returns the area of a quadrilateral on the ball of radius 1.
func onBall(a, b, c, d r3.Vec) float64 {
	return mesh.OnBall(a, b, c) + mesh.OnBall(a, c, d)
}

// shearIn returns the shear at a place of a cell, in steps from its least corner.
func (n *Net) shearIn(node [4]int32, s, t float64) float64 {
	var γ [4]float64
	for i, k := range node {
		γ[i] = n.Nodes[k].Shear
	}
	low, high := n.bowOf(node[0], 0), n.bowOf(node[2], 0)
	left, right := n.bowOf(node[0], 1), n.bowOf(node[1], 1)
	return (1-s)*(1-t)*γ[0] + s*(1-t)*γ[1] + (1-s)*t*γ[2] + s*t*γ[3] +
		4*s*(1-s)*((1-t)*low+t*high) + 4*t*(1-t)*((1-s)*left+s*right)
}

// bowOf returns the bow of the yarn from node i in direction k; where it can't be added
// up, that of the cubic through the nodes along it.
func (n *Net) bowOf(i int32, k int) float64 {
	if b := n.bow[i][k]; b.known {
		return b.rad
	}
	var γ [4]float64
	for at := range γ {
		q := &n.Nodes[i]
		j := n.at.get([2]int32{q.I + int32(at-1)*around[k][0], q.J + int32(at-1)*around[k][1]})
		if j < 0 || n.Nodes[j].edged || n.Nodes[j].Cells < 4 && !n.Nodes[j].summed {
			return 0
		}
		γ[at] = n.Nodes[j].Shear
	}
	return (γ[1] + γ[2] - γ[0] - γ[3]) / 16
}

// cellAt returns the nodes round a flat place, in steps; false where one is missing, or
// lies behind an edge on the skirt, which is bent otherwise than the mould there.
func (n *Net) cellAt(u, v float64, part int) (node [4]int32, ok bool) {
	i, j := math.Floor(u), math.Floor(v)
	for k := range node {
		q := n.at.get([2]int32{int32(i) + int32(k%2), int32(j) + int32(k/2)})
		if q < 0 || n.Nodes[q].edged && n.Nodes[q].Face >= part || n.Nodes[q].Cells < 4 && !n.Nodes[q].summed {
			return node, false
		}
		node[k] = q
	}
	return node, true
}
