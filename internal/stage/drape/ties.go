package drape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/mesh"
)

// tieReach is the width, in mean sides of a triangle, of the strip whose
// stiffness holds a generator to its straight line in the flat sheet. A wider
// strip gives more way to the error of straight triangles along the line.
const tieReach = 2

// ties hold the two yarns through the seed to the lines that they were laid on:
// v = 0 where the warp's line crosses the sides of triangles, u = 0 on the
// weft's. How far along a yarn a place lies is left to the yarn's own length.
func (n *Net) ties(t *mesh.Topology) []tie {
	var out []tie
	for k, line := range n.lines {
		axis := (k + 1) % 2
		for i, p := range line.Pieces {
			if p.Face >= len(t.Mesh.Triangles) {
				break // beyond the rim
			}
			if i == 0 && k < 2 {
				out = n.addTie(out, t, p.Face, p.From, axis, p.Length/2)
			}
			share := p.Length
			if i+1 < len(line.Pieces) {
				share += line.Pieces[i+1].Length
			}
			out = n.addTie(out, t, p.Face, p.To, axis, share/2)
		}
	}
	return out
}

// ties hold the vertices that the net has placed to there, with the stiffness with
// which a generator is held: what gives way beyond the net, at a tip that no cell
// spans or where it has collapsed, does not draw on the yarns all along them. Where
// the net leaves a choice, and where cloth is sheared by more than half of what locks
// it, rad, it is free to find a better place: it has to make room for what locks.
func (o start) ties(s *surface, locking float64) []tie {
	if !o.rounded {
		return nil
	}
	var out []tie
	for v, area := range s.vertexAreas() {
		if o.rank[v] > onSkirt || math.Abs(o.shear[v]) > locking/2 || area == 0 {
			continue
		}
		t := tie{from: int32(v), to: int32(v), value: o.flat[v].X, weight: area / (s.edge * s.edge * tieReach * tieReach)}
		out = append(out, t)
		t.axis, t.value = 1, o.flat[v].Y
		out = append(out, t)
	}
	return out
}

// vertexAreas returns a third of the area round each vertex, m².
func (s *surface) vertexAreas() []float64 {
	out := make([]float64, len(s.Vertices))
	for f, t := range s.Triangles {
		for _, v := range t {
			out[v] += s.area[f] / 3
		}
	}
	return out
}

// addTie appends the tie of a place on a side or at a corner.
func (n *Net) addTie(out []tie, top *mesh.Topology, f int, bary [3]float64, axis int, share float64) []tie {
	t := tie{axis: axis, weight: share / (n.s.edge * tieReach * tieReach)}
	tri := n.s.Triangles[f]
	for k, b := range bary {
		i, j := (k+1)%3, (k+2)%3
		switch {
		case b > 1-onCorner:
			t.from, t.to = tri[k], tri[k]
			return append(out, t)
		case b == 0 && bary[i] > onCorner && bary[j] > onCorner:
			t.from, t.to, t.at = tri[i], tri[j], bary[j]
			if top.EdgeBetween(int(tri[i]), int(tri[j])) < 0 {
				return out // the side was turned
			}
			return append(out, t)
		}
	}
	return out
}

// onCorner is the weight of the other corners below which a place is at one.
const onCorner = 1e-6

// pinned holds the sheet against shifting and turning by two corners of a
// triangle, and strains nothing: the first stays, the second keeps its bearing.
func pinned(t [3]int32, flat []r2.Vec) []tie {
	a, b := t[0], t[1]
	d := r2.Sub(flat[b], flat[a])
	axis, value := 1, flat[b].Y
	if math.Abs(d.Y) > math.Abs(d.X) {
		axis, value = 0, flat[b].X
	}
	return []tie{
		{from: a, to: a, axis: 0, value: flat[a].X, weight: 1},
		{from: a, to: a, axis: 1, value: flat[a].Y, weight: 1},
		{from: b, to: b, axis: axis, value: value, weight: 1},
	}
}
