package slits

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// hotspot is a place that holds so much curvature that cloth locks behind it.
type hotspot struct {
	at        int32   // vertex
	curvature float64 // ∫ K dA, rad
	radius    float64 // of the disc that holds it, m
}

// Discs in which curvature is gathered have these radii, as shares of the
// surface's diagonal: from a sharp corner to one that is rounded generously.
var discs = [...]float64{0.015, 0.03, 0.06, 0.1}

// A disc that closes in gathers curvature only if one [wider] times as wide holds
// less than [spread] times as much: on an even dome it holds wider² times as much.
const (
	wider  = 1.5
	spread = 1.7
)

// spotsOf returns the discs that enclose at least the limit of curvature, rad,
// either way, the smallest discs first. Shear behind a place is the curvature
// that it encloses, so cloth can't stay below the limit behind such a disc unless
// a generator runs through it. The curvature of a mesh stands in its vertices:
// what their angles lack to a full turn.
func spotsOf(top *mesh.Topology, limit float64) []hotspot {
	m := top.Mesh
	g := newGatherer(top)
	var some []int32
	for v, k := range g.defect {
		if math.Abs(k) > 1e-4 {
			some = append(some, int32(v))
		}
	}
	var out []hotspot
	for _, share := range discs {
		r := share * m.Diagonal()
		var found []hotspot
		for _, v := range some {
			if h := g.gather(v, r); math.Abs(h.curvature) >= limit {
				found = append(found, h)
			}
		}
		slices.SortStableFunc(found, func(a, b hotspot) int { return cmp.Compare(math.Abs(b.curvature), math.Abs(a.curvature)) })
		for _, h := range found {
			if h = g.gather(h.at, r); math.Abs(h.curvature) < limit {
				continue // its curvature went to a stronger neighbour
			}
			if h.curvature > 0 && g.gather(h.at, wider*r).curvature > spread*h.curvature {
				continue // it is part of a dome, and no place in it is better than another
			}
			h.at = g.centre(h)
			for _, v := range g.near(h.at, 2*r) {
				g.taken[v] = true
			}
			out = append(out, h)
		}
	}
	return out
}

// gatherer walks over vertices again and again without asking for new room.
type gatherer struct {
	top    *mesh.Topology
	defect []float64 // curvature at inner vertices
	taken  []bool    // counted already
	seen   []int32   // the walk on which a vertex was seen last
	walks  int32
	out    []int32
}

func newGatherer(top *mesh.Topology) *gatherer {
	n := len(top.Mesh.Vertices)
	g := &gatherer{top: top, defect: top.AngleDefects(), taken: make([]bool, n), seen: make([]int32, n)}
	for v, is := range top.RimVertices() {
		if is {
			g.defect[v] = 0
		}
	}
	return g
}

func (g *gatherer) gather(v int32, r float64) hotspot {
	h := hotspot{at: v, radius: r}
	for _, u := range g.near(v, r) {
		if !g.taken[u] {
			h.curvature += g.defect[u]
		}
	}
	return h
}

// centre returns the vertex of a disc nearest to the middle of its curvature.
func (g *gatherer) centre(h hotspot) int32 {
	m := g.top.Mesh
	var sum r3.Vec
	var weight float64
	disc := g.near(h.at, h.radius)
	for _, v := range disc {
		if w := g.defect[v] * sign(h.curvature); w > 0 && !g.taken[v] {
			sum, weight = r3.Add(sum, r3.Scale(w, m.Vertices[v])), weight+w
		}
	}
	middle := r3.Scale(1/weight, sum)
	best := h.at
	for _, v := range disc {
		if r3.Norm(r3.Sub(m.Vertices[v], middle)) < r3.Norm(r3.Sub(m.Vertices[best], middle))-1e-9 {
			best = v
		}
	}
	return best
}

func sign(x float64) float64 { return math.Copysign(1, x) }

// near returns the vertices that hang together with v within a distance of it;
// they are good until the next call.
func (g *gatherer) near(v int32, r float64) []int32 {
	m := g.top.Mesh
	g.walks++
	g.out = append(g.out[:0], v)
	g.seen[v] = g.walks
	for i := 0; i < len(g.out); i++ {
		a := g.out[i]
		for _, e := range g.top.VertexEdges(int(a)) {
			u := int32(g.top.Other(int(e), int(a)))
			if g.seen[u] != g.walks && r3.Norm2(r3.Sub(m.Vertices[u], m.Vertices[v])) <= r*r {
				g.seen[u] = g.walks
				g.out = append(g.out, u)
			}
		}
	}
	return g.out
}
