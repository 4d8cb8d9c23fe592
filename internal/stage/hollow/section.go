package hollow

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// section is a hollow cut across by a straightest line.
type section struct {
	at     r3.Vec
	across r3.Vec  // unit vector
	radius float64 // m; 0: a sharp edge
	turn   float64 // rad
	arms   [2]arm  // along across, and against it
}

// joint is where the line goes over a side and the surface bends: positive in a
// hollow.
type joint struct{ s, turn float64 }

// Turns below flatTurn, rad, count as none. A hollow goes on from joint to joint
// while it does not open to more than wider times its tightest radius.
const (
	flatTurn = 0.2 * math.Pi / 180
	wider    = 3
)

// cutAcross follows the straightest line through a vertex both ways; false where
// it can't, or the surface is not hollow there.
func cutAcross(top *mesh.Topology, normals []r3.Vec, v int, across r3.Vec, longest float64) (section, bool) {
	out := section{at: top.Mesh.Vertices[v], across: across}
	faces := top.VertexFaces(v)
	if len(faces) == 0 {
		return out, false
	}
	start := mesh.Point{Face: int(faces[0])}
	for k, u := range top.Mesh.Triangles[start.Face] {
		if int(u) == v {
			start.Bary[k] = 1
		}
	}
	ahead, err1 := top.Trace(start, across, longest)
	behind, err2 := top.Trace(start, r3.Scale(-1, across), longest)
	if err1 != nil || err2 != nil || len(ahead.Pieces) == 0 || len(behind.Pieces) == 0 {
		return out, false
	}
	first, last := behind.Pieces[0], ahead.Pieces[0]
	joints := bends(behind, normals, -1)
	joints = append(joints, joint{0, rise(r3.Scale(-1, first.Dir), last.Dir, normals[first.Face])})
	joints = append(joints, bends(ahead, normals, 1)...)
	return out.over(joints, -behind.Length, ahead.Length)
}

// rise returns the angle by which direction b rises from a over the surface: the
// turn of a line that goes straight on in the surface.
func rise(a, b, normal r3.Vec) float64 { return math.Atan2(r3.Dot(b, normal), r3.Dot(b, a)) }

// bends lists the joints of a line but its start, by rising s; way is -1 for the
// line that runs towards falling s.
func bends(l mesh.Line, normals []r3.Vec, way float64) []joint {
	n := len(l.Pieces)
	out := make([]joint, 0, n)
	for i := 1; i < n; i++ {
		p := l.Pieces[i]
		out = append(out, joint{way * p.Start, rise(l.Pieces[i-1].Dir, p.Dir, normals[l.Pieces[i-1].Face])})
	}
	if way < 0 {
		for i, j := 0, len(out)-1; i < j; i, j = i+1, j-1 {
			out[i], out[j] = out[j], out[i]
		}
	}
	return out
}

// over finds the hollow about s = 0 among the joints of a line from s = from to
// s = to, and the arms beside it.
func (c section) over(all []joint, from, to float64) (section, bool) {
	l := profile{from: from, to: to}
	for _, j := range all {
		if math.Abs(j.turn) > flatTurn {
			l.joints = append(l.joints, j)
		}
	}
	mid := nearestHollow(l.joints)
	if mid < 0 {
		return c, false
	}
	lo, hi := l.run(mid)
	c.radius = radiusOf(l.joints[lo:hi+1], l.room(mid))
	for _, j := range l.joints[lo : hi+1] {
		c.turn += j.turn
	}
	c.arms[0] = armOf(l.joints[hi+1:], l.joints[hi].s, to, 1)
	c.arms[1] = armOf(l.joints[:lo], l.joints[lo].s, from, -1)
	return c, true
}

// profile is a line across a hollow: its joints by rising s, and its ends.
type profile struct {
	joints   []joint
	from, to float64
}

// room returns how far joint i is from the nearer of its neighbours, or the end.
func (l *profile) room(i int) float64 {
	before, after := l.joints[i].s-l.from, l.to-l.joints[i].s
	if i > 0 {
		before = l.joints[i].s - l.joints[i-1].s
	}
	if i+1 < len(l.joints) {
		after = l.joints[i+1].s - l.joints[i].s
	}
	return min(before, after)
}

// run returns the first and the last of the joints round mid that make one hollow.
func (l *profile) run(mid int) (lo, hi int) {
	tight := l.room(mid) / l.joints[mid].turn
	goes := func(i int) bool {
		if i < 0 || i >= len(l.joints) || l.joints[i].turn <= 0 {
			return false
		}
		ρ := l.room(i) / l.joints[i].turn
		tight = min(tight, ρ)
		return ρ < wider*tight
	}
	lo, hi = mid, mid
	for goes(lo - 1) {
		lo--
	}
	for goes(hi + 1) {
		hi++
	}
	return lo, hi
}

// nearestHollow returns the hollow joint nearest to s = 0.
func nearestHollow(joints []joint) int {
	best := -1
	for i, j := range joints {
		if j.turn > 0 && (best < 0 || math.Abs(j.s) < math.Abs(joints[best].s)) {
			best = i
		}
	}
	return best
}

// radiusOf returns the radius of a run of joints: over the inner ones, each turns
// what lies between the middles of the ways beside it. A single joint is a sharp
// edge, unless it turns by so little that it may be a coarse curve: then room is
// what it may spread over.
func radiusOf(run []joint, room float64) float64 {
	n := len(run)
	switch n {
	case 1:
		if run[0].turn >= sharpBend {
			return 0
		}
		return room / run[0].turn
	case 2:
		return (run[1].s - run[0].s) / (run[0].turn + run[1].turn)
	}
	var turn float64
	for _, j := range run[1 : n-1] {
		turn += j.turn
	}
	return (run[n-1].s + run[n-2].s - run[1].s - run[0].s) / (2 * turn)
}

// armOf reads the joints beside a hollow from its end at s0 to the line's end;
// way is the sign in which s runs outwards.
func armOf(joints []joint, s0, end, way float64) arm {
	var a arm
	n := len(joints)
	at := s0
	for i := range n {
		j := joints[i]
		if way < 0 {
			j = joints[n-1-i]
		}
		a.ways, a.turns = append(a.ways, way*(j.s-at)), append(a.turns, -j.turn)
		at = j.s
	}
	a.ways, a.turns = append(a.ways, way*(end-at)), append(a.turns, 0)
	turned := 0.0
	for i, l := range a.ways {
		a.flat += l
		if turned += a.turns[i]; math.Abs(turned) > leastTurn {
			break
		}
	}
	return a
}
