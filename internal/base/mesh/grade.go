package mesh

import "gonum.org/v1/gonum/spatial/r3"

// Graded is a mesh made finer in places. Its first vertices are those of the old
// mesh; Ends are the old vertices that each further one lies between.
type Graded struct {
	Refined
	Ends [][2]int32
}

// Grade cuts each marked triangle into four, and others so far that neighbours still
// share their vertices: where a side is cut, so is the triangle's longest, which
// keeps angles from growing small when it is done again and again. place gives the
// new vertex on a side.
//
// Source: [rivara1984].
func (t *Topology) Grade(marked []bool, place func(e int) r3.Vec) Graded {
	cut := make([]bool, len(t.Edges))
	var queue []int32
	mark := func(e int32) {
		if !cut[e] {
			cut[e] = true
			queue = append(queue, e)
		}
	}
	for f, yes := range marked {
		for k := 0; yes && k < 3; k++ {
			mark(t.EdgeOf[3*f+k])
		}
	}
	for len(queue) > 0 {
		e := int(queue[len(queue)-1])
		queue = queue[:len(queue)-1]
		for _, f := range t.EdgeFaces(e) {
			mark(t.longest(int(f)))
		}
	}
	out := Graded{Refined: Refined{Mesh: t.Mesh.Clone(), Face: make([]int32, len(t.Mesh.Triangles))}}
	for f := range out.Face {
		out.Face[f] = int32(f)
	}
	out.halve(t, cut, place)
	for e, yes := range cut {
		if yes {
			out.Ends = append(out.Ends, t.Edges[e])
		}
	}
	return out
}

// longest is the longest side of triangle f, the first of those alike.
func (t *Topology) longest(f int) int32 {
	best := t.EdgeOf[3*f]
	for _, e := range t.EdgeOf[3*f+1 : 3*f+3] {
		if a, b := t.EdgeLength(int(e)), t.EdgeLength(int(best)); a > b || a == b && e < best {
			best = e
		}
	}
	return best
}
