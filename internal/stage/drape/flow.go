package drape

import (
	"container/heap"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// looseEnds are the places where yarns could go straight on beside others that leave
// the surface, those nearest to a generator first.
type looseEnds struct {
	list  []looseEnd
	count int
}

// looseEnd is a node and a direction in which it has no neighbour.
type looseEnd struct {
	node, k      int32
	aside, order int32
}

func (e *looseEnds) Len() int      { return len(e.list) }
func (e *looseEnds) Swap(i, j int) { e.list[i], e.list[j] = e.list[j], e.list[i] }
func (e *looseEnds) Push(x any)    { e.list = append(e.list, x.(looseEnd)) }

func (e *looseEnds) Less(i, j int) bool {
	a, b := e.list[i], e.list[j]
	return a.aside < b.aside || a.aside == b.aside && a.order < b.order
}

func (e *looseEnds) Pop() any {
	last := e.list[len(e.list)-1]
	e.list = e.list[:len(e.list)-1]
	return last
}

// note keeps direction k of a node in mind.
func (n *Net) note(i int32, k int) {
	p := &n.Nodes[i]
	aside := p.J // of a place on a yarn along the warp, from the warp's generator
	if k%2 == 1 {
		aside = p.I
	}
	heap.Push(&n.ends, looseEnd{i, int32(k), max(aside, -aside), int32(n.ends.count)})
	n.ends.count++
}

// leave marks a place that yarns can't be laid to since they leave the surface,
// and notes the yarns that would pass beside it.
func (n *Net) leave(to [2]int32) {
	if n.at.get(to) != untried {
		return
	}
	n.at.set(to, outside)
	for l := range around {
		t := step(to[0], to[1], l)
		if n.at.get(t) != untried {
			continue
		}
		for _, k := range []int{(l + 1) % 4, (l + 3) % 4} {
			if p := n.at.get(step(t[0], t[1], (k+2)%4)); p >= 0 {
				n.note(p, k)
			}
		}
	}
}

// look notes the yarns of a new node that would pass beside a place off the rim.
func (n *Net) look(i int32) {
	at := [2]int32{n.Nodes[i].I, n.Nodes[i].J}
	for k := range around {
		t := step(at[0], at[1], k)
		if n.at.get(t) == untried && (n.at.get(step(t[0], t[1], (k+1)%4)) == outside || n.at.get(step(t[0], t[1], (k+3)%4)) == outside) {
			n.note(i, k)
		}
	}
}

// goOn lays one more straightest line, from the last node of a yarn that passes
// an opening or comes out of a narrow place: the cells beside it lack the corner
// that the opening has taken, and no cell would ever reach what lies behind.
// Nothing says how that yarn bends from there, so it goes straight on, to the rim
// or to where the net already is. A place where a cell collapsed is not gone
// round. It returns false when there is no such yarn left.
func (n *Net) goOn() bool {
	for len(n.ends.list) > 0 {
		e := heap.Pop(&n.ends).(looseEnd)
		p, k := n.Nodes[e.node], int(e.k)
		to := step(p.I, p.J, k)
		if n.at.get(to) != untried || p.toward[(k+2)%4] == (r3.Vec{}) || len(n.Nodes) >= n.limit {
			continue
		}
		n.straightOn(e.node, k)
		return true
	}
	return false
}

// straightOn adds nodes along direction k of a node as far as they go.
func (n *Net) straightOn(i int32, k int) {
	dir := r3.Scale(-1, n.Nodes[i].toward[(k+2)%4])
	for len(n.Nodes) < n.limit {
		p := &n.Nodes[i]
		to := step(p.I, p.J, k)
		if n.at.get(to) != untried {
			return
		}
		at, off, err := n.tracer.End(p.Point, dir, n.Step)
		if off || err != nil {
			n.leave(to)
			return
		}
		p.toward[k] = dir
		node := Node{I: to[0], J: to[1], Point: at.Point, At: at.At, Free: true}
		node.toward[(k+2)%4] = r3.Scale(-1, at.Dir)
		i, dir = n.add(node), at.Dir
	}
}

// joined is how far, against the step, the end of a yarn may lie from the node
// that it is to join.
const joined = 1e-3

// join lays the yarn between neighbours that two waves have come to from
// different sides, where one of a step's length fits, and counts those where it
// does not.
func (n *Net) join() {
	for i := range n.Nodes {
		p := &n.Nodes[i]
		for k := range 2 {
			if q := n.at.get(step(p.I, p.J, k)); q >= 0 && p.toward[k] == (r3.Vec{}) && n.parted(p, &n.Nodes[q], k) {
				n.Seams++
			}
		}
	}
}

// parted lays a yarn from p, turned until it comes nearest to q, and tells
// whether it misses q. A yarn that leaves the surface has a hole between the
// two, and parts nothing.
func (n *Net) parted(p, q *Node, k int) bool {
	dir := n.turned(p, r3.Sub(q.At, p.At), 0)
	for range mostMends {
		at, off, err := n.tracer.End(p.Point, dir, n.Step)
		if off || err != nil {
			return false
		}
		gap := r3.Sub(q.At, at.At)
		aside := r3.Dot(gap, r3.Cross(n.s.normal[at.Face], at.Dir)) / n.Step
		if math.Abs(aside) < closed {
			if r3.Norm(gap) > joined*n.Step {
				return true
			}
			p.toward[k], q.toward[k+2] = level(dir, n.s.normal[p.Face]), r3.Scale(-1, n.over(at.Dir, at.Face, q.Face))
			return false
		}
		dir = n.turned(p, dir, max(-widestMend, min(widestMend, aside)))
	}
	return true
}
