package mesh

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/spatial/r3"
)

// maxCavityParts is the number of parts up to which parts are tried for lying in
// another; the test takes time with its square.
const maxCavityParts = 200

// orient turns the triangles of each part to agree, most of the area staying as
// it was, and closed parts outwards.
func (c *cleaner) orient(t *Topology) {
	turn, part, count := agree(t)
	area := make([]float64, count) // signed: positive where most stays
	for f := range turn {
		a := c.out.FaceArea(f)
		if turn[f] {
			a = -a
		}
		area[part[f]] += a
	}
	for f := range turn {
		if turn[f] != (area[part[f]] < 0) {
			t.turn(f)
			c.r.Flipped++
		}
	}
	t.findTwins()
	c.part, c.parts = t.Components()
	c.turnOutwards(t)
}

// agree tells for each triangle whether it must be turned to agree with the
// lowest one of its part. Parts here hang together by edges of just two
// triangles. Across an edge where no turn agrees, the first one found stays.
func agree(t *Topology) (turn []bool, part []int32, count int) {
	n := len(t.Mesh.Triangles)
	turn, part = make([]bool, n), make([]int32, n)
	queue := make([]int32, 0, n)
	for f := range part {
		part[f] = -1
	}
	for first := range part {
		if part[first] >= 0 {
			continue
		}
		part[first] = int32(count)
		queue = append(queue[:0], int32(first)) // breadth first: wrong turns stay local
		for i := 0; i < len(queue); i++ {
			f := int(queue[i])
			for h := 3 * f; h < 3*f+3; h++ {
				faces := t.EdgeFaces(int(t.EdgeOf[h]))
				if len(faces) != 2 {
					continue
				}
				g := int(faces[0] + faces[1] - int32(f))
				if part[g] >= 0 {
					continue
				}
				part[g] = int32(count)
				turn[g] = turn[f] != (t.Twin[h] < 0)
				queue = append(queue, int32(g))
			}
		}
		count++
	}
	return turn, part, count
}

// turnOutwards turns closed parts of negative volume, unless they lie in
// another closed part, where they bound a cavity.
func (c *cleaner) turnOutwards(t *Topology) {
	faces := group(len(c.part), c.parts, func(f int) int32 { return c.part[f] })
	var closed []*Mesh
	var index []int
	for p := range c.parts {
		if closedPart(t, faces.at(p)) {
			closed = append(closed, &Mesh{Vertices: c.out.Vertices, Triangles: pick(c.out.Triangles, faces.at(p))})
			index = append(index, p)
		}
	}
	for i, m := range closed {
		if m.Volume() >= 0 {
			continue
		}
		if len(closed) <= maxCavityParts && insideOther(closed, i) {
			c.r.Cavities++
			continue
		}
		c.r.Inverted++
		for _, f := range faces.at(index[i]) {
			t.turn(int(f))
		}
	}
	if c.r.Inverted > 0 {
		t.findTwins()
	}
}

func pick(triangles [][3]int32, faces []int32) [][3]int32 {
	out := make([][3]int32, len(faces))
	for i, f := range faces {
		out[i] = triangles[f]
	}
	return out
}

func closedPart(t *Topology, faces []int32) bool {
	for _, f := range faces {
		for h := 3 * int(f); h < 3*int(f)+3; h++ {
			if t.Twin[h] < 0 {
				return false
			}
		}
	}
	return true
}

// insideOther tells whether a corner of part i lies in an odd number of others.
func insideOther(parts []*Mesh, i int) bool {
	p := parts[i].Vertices[parts[i].Triangles[0][0]]
	in := false
	for j, m := range parts {
		if j != i && math.Abs(m.Winding(p)) > 0.5 {
			in = !in
		}
	}
	return in
}

// Winding returns how often the surface winds round p: 1 inside a closed
// surface that is turned outwards, 0 outside it, and a share between on an open
// one. It takes every triangle into account; it is for single questions.
//
//	w = 1/4π · Σ Ω,  tan(Ω/2) = a·(b×c) / (abc + (a·b)c + (b·c)a + (c·a)b)
//
// with a, b, c the corners seen from p. Source: [vanoosterom1983].
func (m *Mesh) Winding(p r3.Vec) float64 {
	var sum float64
	for f := range m.Triangles {
		a, b, c := m.Corners(f)
		a, b, c = r3.Sub(a, p), r3.Sub(b, p), r3.Sub(c, p)
		la, lb, lc := r3.Norm(a), r3.Norm(b), r3.Norm(c)
		sum += 2 * math.Atan2(r3.Dot(a, r3.Cross(b, c)),
			la*lb*lc+r3.Dot(a, b)*lc+r3.Dot(b, c)*la+r3.Dot(c, a)*lb)
	}
	return sum / (4 * math.Pi)
}

// remains writes into the report what is left to mend.
func (c *cleaner) remains(t *Topology) {
	c.r.Components = c.parts
	c.r.Closed = t.Closed()
	c.r.Rims = t.rims(c.part)
	for _, e := range t.NonManifoldEdges() {
		c.r.NonManifold = append(c.r.NonManifold, Place{int(e), t.midpoint(int(e))})
	}
	for _, e := range t.FlippedEdges() {
		c.r.Twisted = append(c.r.Twisted, Place{int(e), t.midpoint(int(e))})
	}
	for _, v := range t.BowTies() {
		c.r.BowTies = append(c.r.BowTies, Place{int(v), c.out.Vertices[v]})
	}
}

func (t *Topology) midpoint(e int) r3.Vec {
	return r3.Scale(0.5, r3.Add(t.Mesh.Vertices[t.Edges[e][0]], t.Mesh.Vertices[t.Edges[e][1]]))
}

// Rims returns the closed borders of the surface, longest first; see RimLoops.
func (t *Topology) Rims() []Rim {
	part, _ := t.Components()
	return t.rims(part)
}

func (t *Topology) rims(part []int32) []Rim {
	var rims []Rim
	for _, loop := range t.RimLoops() {
		r := Rim{Edges: len(loop), Part: int(part[loop[0]/3]), Loop: t.LoopVertices(loop)}
		for _, h := range loop {
			e := int(t.EdgeOf[h])
			l := t.EdgeLength(e)
			r.Length += l
			r.Middle = r3.Add(r.Middle, r3.Scale(l, t.midpoint(e)))
		}
		if r.Length > 0 {
			r.Middle = r3.Scale(1/r.Length, r.Middle)
		}
		rims = append(rims, r)
	}
	sort.SliceStable(rims, func(i, j int) bool { return rims[i].Length > rims[j].Length })
	return rims
}

// EdgeLength returns the length of edge e, m.
func (t *Topology) EdgeLength(e int) float64 {
	return r3.Norm(r3.Sub(t.Mesh.Vertices[t.Edges[e][1]], t.Mesh.Vertices[t.Edges[e][0]]))
}
