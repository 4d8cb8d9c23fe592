package drape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// bent closes a pair whose one yarn has to bend at a vertex. No straightest line
// reaches the wedge behind a vertex at which there is more than 360°: lines pass
// it on one hand or on the other, and one that should end in the wedge jumps
// over it. A yarn that is pulled tight to there runs straight to the vertex and on
// from it, with no less than 180° on either hand. It is false where that does
// not close the pair either.
//
//	\  wedge  /
//	 \   P   /
//	  \  |  /
//	   \ | /
//	     V
//	     |
//	     B
func (n *Net) bent(y pair) (pair, bool) {
	for i := range y.from {
		if via, ok := n.aim(y, i); ok {
			if z, ok := n.meetBehind(y, i, via); ok {
				return z, true
			}
		}
	}
	return y, false
}

// onWay is a vertex on the way of a yarn.
type onWay struct {
	dir   r3.Vec  // from the node to it
	left  float64 // m, of the yarn from it on
	half  int     // a half-edge away from it
	back  r3.Vec  // from it to the node, in that half-edge's triangle
	whole float64 // rad round it
}

// justBefore is the distance, against the step, from which a vertex is seen.
const justBefore = 1e-5

// aim finds the vertex with more than 360° that yarn i passes closest by, and
// turns the yarn until it meets it.
func (n *Net) aim(y pair, i int) (via onWay, ok bool) {
	v, far, turn := n.passed(y, i)
	if v < 0 {
		return via, false
	}
	at := n.s.Vertices[v]
	via.dir = n.turned(y.from[i], y.dir[i], turn)
	for range mostMends {
		end, off, err := n.tracer.End(y.from[i].Point, via.dir, far)
		if off || err != nil {
			return via, false
		}
		gap := r3.Sub(at, end.At)
		if r3.Norm(gap) < closed*n.Step {
			// a little before, where it has not been turned by the vertex yet
			if end, off, err = n.tracer.End(y.from[i].Point, via.dir, far-justBefore*n.Step); off || err != nil {
				return via, false
			}
			k := largest(end.Bary)
			via.left, via.half, via.back = n.Step-far, 3*end.Face+k, r3.Scale(-1, end.Dir)
			half, round := n.s.fan(via.half)
			for _, h := range half {
				via.whole += n.s.Angles(h / 3)[h%3]
			}
			return via, round && n.s.Triangles[end.Face][k] == v
		}
		far += r3.Dot(gap, end.Dir)
		if !(far > 0 && far < n.Step) {
			return via, false
		}
		via.dir = n.turned(y.from[i], via.dir, r3.Dot(gap, r3.Cross(n.s.normal[end.Face], end.Dir))/far)
	}
	return via, false
}

// passed returns the vertex that yarn i passes closest by, of those with more
// than 360°, how far along the yarn, and the angle to turn it to there; −1: none.
func (n *Net) passed(y pair, i int) (v int32, far, turn float64) {
	v = -1
	line, err := n.s.topology.Trace(y.from[i].Point, y.dir[i], n.Step)
	if err != nil {
		return v, 0, 0
	}
	closest := 0.2 * n.Step // further off no vertex stands in the way
	for _, p := range line.Pieces {
		from := n.s.At(mesh.Point{Face: p.Face, Bary: p.From})
		for _, u := range n.s.Triangles[p.Face] {
			d := r3.Sub(n.s.Vertices[u], from)
			along := p.Start + r3.Dot(d, p.Dir)
			aside := r3.Dot(r3.Cross(p.Dir, d), n.s.normal[p.Face])
			if along <= 0 || along >= n.Step || math.Abs(aside) >= closest || !n.s.saddle(u) {
				continue
			}
			v, far, turn, closest = u, along, aside/along, math.Abs(aside)
		}
	}
	return v, far, turn
}

// saddle tells whether there is more than 360° round a vertex.
func (s *surface) saddle(v int32) bool {
	var whole float64
	for _, f := range s.topology.VertexFaces(int(v)) {
		whole += s.Angles(int(f))[corner(s.Triangles[f], v)]
	}
	return whole > 2*math.Pi+1e-9
}

// meetBehind turns yarn i at the vertex and the other at its node until they
// meet.
func (n *Net) meetBehind(y pair, i int, via onWay) (pair, bool) {
	y.dir[i] = via.dir
	turn, j := via.whole/2, 1-i
	for range 2 * mostMends {
		r := n.s.aroundCorner(via.half, via.back, turn/via.whole)
		endI, offI, errI := n.tracer.End(r.Point, r.dir, via.left)
		endJ, offJ, errJ := n.tracer.End(y.from[j].Point, y.dir[j], n.Step)
		if offI || offJ || errI != nil || errJ != nil {
			return y, false
		}
		y.end[i], y.end[j] = endI, endJ
		gap := r3.Sub(endJ.At, endI.At)
		if y.gap = r3.Norm(gap); y.gap < closed*n.Step {
			return y, true
		}
		δi, δj, ok := mend(r3.Cross(n.s.normal[endI.Face], endI.Dir), r3.Cross(n.s.normal[endJ.Face], endJ.Dir), gap, n.Step)
		if !ok {
			return y, false
		}
		turn = max(math.Pi, min(via.whole-math.Pi, turn+δi*n.Step/via.left))
		y.dir[j] = n.turned(y.from[j], y.dir[j], δj)
	}
	return y, false
}
