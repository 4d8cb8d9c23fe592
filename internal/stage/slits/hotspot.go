package slits

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// hotspot is a place that holds so much curvature that cloth locks behind it.
type hotspot struct {
	at        int32   // vertex of the part
	curvature float64 // ∫ K dA, rad
	radius    float64 // of the disc that holds it, m
}

// Discs in which curvature is gathered have these radii, as shares of the part's
// diagonal: from a sharp corner to one that is rounded generously.
var discs = [...]float64{0.015, 0.03, 0.06, 0.1}

// hotspots returns the discs that enclose at least the limit of curvature, rad,
// either way, the smallest discs first. Shear behind a place is the curvature
// that it encloses, so cloth can't stay below the limit behind such a disc unless
// a generator runs through it. The curvature of a mesh stands in its vertices:
// what their angles lack to a full turn.
func (p *Part) hotspots(limit float64) []hotspot {
	m := p.Top.Mesh
	defect := p.defects()
	var some []int32
	for v, k := range defect {
		if math.Abs(k) > 1e-4 {
			some = append(some, int32(v))
		}
	}
	var out []hotspot
	taken := make([]bool, len(defect))
	g := p.gatherer()
	for _, share := range discs {
		r := share * m.Diagonal()
		var found []hotspot
		for _, v := range some {
			if h := g.gather(v, r, defect, taken); math.Abs(h.curvature) >= limit {
				found = append(found, h)
			}
		}
		slices.SortStableFunc(found, func(a, b hotspot) int { return cmp.Compare(math.Abs(b.curvature), math.Abs(a.curvature)) })
		for _, h := range found {
			if h = g.gather(h.at, r, defect, taken); math.Abs(h.curvature) < limit {
				continue // its curvature went to a stronger neighbour
			}
			h.at = p.centre(h, defect, taken)
			for _, v := range p.near(h.at, 2*r) {
				taken[v] = true
			}
			out = append(out, h)
		}
	}
	return out
}

// defects returns the curvature at the part's inner vertices, 0 at its rims.
func (p *Part) defects() []float64 {
	defect := p.Top.AngleDefects()
	for v, is := range p.Top.RimVertices() {
		if is {
			defect[v] = 0
		}
	}
	return defect
}

func (g *gatherer) gather(v int32, r float64, defect []float64, taken []bool) hotspot {
	h := hotspot{at: v, radius: r}
	for _, u := range g.near(v, r) {
		if !taken[u] {
			h.curvature += defect[u]
		}
	}
	return h
}

// centre returns the vertex of a disc nearest to the middle of its curvature.
func (p *Part) centre(h hotspot, defect []float64, taken []bool) int32 {
	m := p.Top.Mesh
	var sum r3.Vec
	var weight float64
	disc := p.near(h.at, h.radius)
	for _, v := range disc {
		if w := defect[v] * sign(h.curvature); w > 0 && !taken[v] {
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

// near returns the vertices that hang together with v within a distance of it.
func (p *Part) near(v int32, r float64) []int32 {
	return p.gatherer().near(v, r)
}

// gatherer walks over vertices again and again without asking for new room.
type gatherer struct {
	p     *Part
	seen  []int32 // the walk on which a vertex was seen last
	walks int32
	out   []int32
}

func (p *Part) gatherer() *gatherer { return &gatherer{p: p, seen: make([]int32, len(p.Vertices))} }

// near is good until the next call.
func (g *gatherer) near(v int32, r float64) []int32 {
	m, top := g.p.Top.Mesh, g.p.Top
	g.walks++
	g.out = append(g.out[:0], v)
	g.seen[v] = g.walks
	for i := 0; i < len(g.out); i++ {
		a := g.out[i]
		for _, e := range top.VertexEdges(int(a)) {
			u := int32(top.Other(int(e), int(a)))
			if g.seen[u] != g.walks && r3.Norm2(r3.Sub(m.Vertices[u], m.Vertices[v])) <= r*r {
				g.seen[u] = g.walks
				g.out = append(g.out, u)
			}
		}
	}
	return g.out
}
