package drape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// spread closes the cells at a node that lack just one corner.
func (n *Net) spread(i int32) {
	at := n.Nodes[i]
	for k := range around {
		p := step(at.I, at.J, k)
		q := step(at.I, at.J, (k+1)%4)
		r := [2]int32{p[0] + q[0] - at.I, p[1] + q[1] - at.J}
		hasP, hasQ, hasR := n.at.get(p) >= 0, n.at.get(q) >= 0, n.at.get(r) >= 0
		switch {
		case hasP && hasQ && !hasR: // opposite to the node
			n.close([2]int32{at.I, at.J}, k)
		case hasP && !hasQ && hasR: // beside it: the corner is at p
			n.close(p, (k+1)%4)
		case !hasP && hasQ && hasR:
			n.close(q, (k+3)%4)
		}
	}
}

func step(i, j int32, k int) [2]int32 { return [2]int32{i + around[k][0], j + around[k][1]} }

// A cell is closed when the gap between its two last yarns is below closed,
// against the step; mostMends is how often they are turned for that.
const (
	closed     = 1e-8
	mostMends  = 12
	widestMend = 0.5 // rad at once
)

// pair is the two yarns that close a cell: where they start, the way they set
// out, and where they end a step further.
type pair struct {
	from [2]*Node
	dir  [2]r3.Vec
	end  [2]mesh.Station
	gap  float64 // m, between the ends
}

// close finds the fourth corner of the cell that lies between directions k and
// k+1 of corner c: the yarns from the two neighbours of c, one step long each,
// end in the same place.
func (n *Net) close(c [2]int32, k int) {
	l := (k + 1) % 4
	to := [2]int32{c[0] + around[k][0] + around[l][0], c[1] + around[k][1] + around[l][1]}
	if n.at.get(to) == shut {
		return
	}
	A, B := &n.Nodes[n.at.get(step(c[0], c[1], k))], &n.Nodes[n.at.get(step(c[0], c[1], l))]
	C := &n.Nodes[n.at.get(c)]
	back, side := (k+2)%4, (l+2)%4
	if C.toward[k] == (r3.Vec{}) || C.toward[l] == (r3.Vec{}) || A.toward[back] == (r3.Vec{}) || B.toward[side] == (r3.Vec{}) {
		return
	}
	// the cell begins as a rhombus with the angle of its first corner
	ω := n.angle(C, k, l)
	y, off := n.meet(pair{from: [2]*Node{A, B}, dir: [2]r3.Vec{
		n.turned(A, r3.Scale(-1, A.toward[back]), ω), n.turned(B, r3.Scale(-1, B.toward[side]), -ω)}})
	if off {
		n.leave(to)
		return
	}
	wedged := false
	if y.gap > closed*n.Step {
		y, wedged = n.bent(y)
	}
	p := Node{I: to[0], J: to[1], wedged: wedged, Point: y.end[0].Point, At: y.end[0].At, Free: A.Free || B.Free || C.Free}
	p.toward[side], p.toward[back] = r3.Scale(-1, y.end[0].Dir), r3.Scale(-1, n.over(y.end[1].Dir, y.end[1].Face, p.Face))
	if y.gap > closed*n.Step || math.Sin(n.angle(&p, back, side)) < collapse {
		n.Collapsed++
		n.at.set(to, shut)
		return
	}
	A.toward[l], B.toward[k] = y.dir[0], y.dir[1]
	n.add(p)
}

// meet turns two yarns until their ends meet, by Newton's method, and returns
// them as they were with the least gap; true where one leaves the surface.
func (n *Net) meet(y pair) (best pair, off bool) {
	best.gap = math.Inf(1)
	for range mostMends {
		for i := range y.end {
			end, atRim, err := n.tracer.End(y.from[i].Point, y.dir[i], n.Step)
			if err != nil || atRim {
				return best, true
			}
			y.end[i] = end
		}
		gap := r3.Sub(y.end[1].At, y.end[0].At)
		if y.gap = math.Sqrt(r3.Norm2(gap)); y.gap < best.gap {
			best = y
		}
		if y.gap < closed*n.Step {
			return best, false
		}
		a, b := &y.end[0], &y.end[1]
		δA, δB, ok := mend(r3.Cross(n.s.normal[a.Face], a.Dir), r3.Cross(n.s.normal[b.Face], b.Dir), gap, n.Step)
		if !ok {
			return best, false
		}
		y.dir[0], y.dir[1] = n.turned(y.from[0], y.dir[0], δA), n.turned(y.from[1], y.dir[1], δB)
	}
	return best, false
}

// mend solves s·(tA·δA − tB·δB) = gap in the sense of least squares.
func mend(tA, tB, gap r3.Vec, s float64) (δA, δB float64, ok bool) {
	c := r3.Dot(tA, tB)
	det := 1 - c*c
	if det < collapse*collapse/4 {
		return 0, 0, false
	}
	x, y := r3.Dot(tA, gap)/s, -r3.Dot(tB, gap)/s
	δA, δB = (x+c*y)/det, (y+c*x)/det
	hold := max(1, math.Abs(δA)/widestMend, math.Abs(δB)/widestMend)
	return δA / hold, δB / hold, true
}

// angle returns the angle from direction k of a node to direction l, seen from
// outside, −π to π.
func (n *Net) angle(p *Node, k, l int) float64 {
	normal := n.s.normal[p.Face]
	return math.Atan2(r3.Dot(normal, r3.Cross(p.toward[k], p.toward[l])), r3.Dot(p.toward[k], p.toward[l]))
}

// over returns a direction in triangle f as it is in triangle g beside it, once the
// two are unfolded into a plane: turned as the normal turns, about the side.
func (n *Net) over(dir r3.Vec, f, g int) r3.Vec {
	a, b := n.s.normal[f], n.s.normal[g]
	axis, cos := r3.Cross(a, b), r3.Dot(a, b)
	if f == g || !(cos > -1) {
		return dir
	}
	return r3.Add(r3.Add(r3.Scale(cos, dir), r3.Cross(axis, dir)), r3.Scale(r3.Dot(axis, dir)/(1+cos), axis))
}

// turned returns a direction at a node, laid into its triangle and turned by
// the angle to the left.
func (n *Net) turned(p *Node, dir r3.Vec, angle float64) r3.Vec {
	normal := n.s.normal[p.Face]
	dir = r3.Sub(dir, r3.Scale(r3.Dot(dir, normal), normal))
	sin, cos := math.Sincos(angle)
	return r3.Add(r3.Scale(cos, dir), r3.Scale(sin, r3.Cross(normal, dir)))
}
