package plies

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/base/mesh"
)

// Area is a place that a doubler lies in: all that is within a radius of a point, or
// inside a ring about it, seen along an axis. The ring's first coordinate runs as
// [geom.Along] has it.
type Area struct {
	Field  string // of the job file, for errors
	What   string // it lies, for people: "at fastener 1"
	At     r3.Vec
	Axis   r3.Vec  // zero: distance is straight from At; a ring is seen along the surface's normal
	Radius float64 // m; where there is no ring
	Ring   geom.Polygon
	Past   float64 // by which the doubler reaches past the ring, m
}

// Limits of what belongs to a place. A place may stand off the part by farOffPart or by
// its own size. What is seen along an axis ends at sideways times its size from its
// middle, so that it does not run down a wall that stands along the axis.
const (
	farOffPart = 5e-3 // m
	sideways   = 1.5
)

// size is the farthest that the place reaches from its middle, m.
func (a *Area) size() float64 {
	if a.Ring == nil {
		return a.Radius
	}
	most := 0.0
	for _, q := range a.Ring {
		most = max(most, r2.Norm(q))
	}
	return most + a.Past
}

// narrow is the least width of the place, m.
func (a *Area) narrow() float64 {
	if a.Ring == nil {
		return 2 * a.Radius
	}
	s := a.Ring.Bounds().Size()
	return min(s.X, s.Y) + 2*a.Past
}

// inside returns how far a point lies inside the place, m, negative outside. The middle is
// on the surface, as is its normal there.
func (a *Area) inside(middle, normal r3.Vec) func(r3.Vec) float64 {
	if a.Ring == nil && a.Axis == (r3.Vec{}) {
		return func(p r3.Vec) float64 { return a.Radius - r3.Norm(r3.Sub(p, middle)) }
	}
	axis := a.Axis
	if axis == (r3.Vec{}) {
		axis = normal
	}
	f, far := geom.Along(a.At, axis), sideways*a.size()
	return func(p r3.Vec) float64 {
		q := f.In(p)
		flat := r2.Vec{X: q.X, Y: q.Y}
		in := a.Radius - r2.Norm(flat)
		if a.Ring != nil {
			in = a.Ring.Distance(flat)
			if !a.Ring.Contains(flat) {
				in = -in
			}
			in += a.Past
		}
		return min(in, far-r3.Norm(r3.Sub(p, middle)))
	}
}

// middle returns the place's middle on the surface and the normal there. Where the middle
// lies in a cut-out, it stays, and the normal is the mean round it.
func (w *work) middle(a *Area) (at, normal r3.Vec, err error) {
	m, size := w.in.Surface, a.size()
	hit, _ := w.find.Closest(a.At)
	normal = m.FaceNormal(hit.Face)
	off := r3.Sub(a.At, hit.At)
	high := math.Abs(r3.Dot(off, normal))
	if !(high <= max(farOffPart, size/2)) || r3.Norm(off) > max(farOffPart, size) {
		return at, normal, &fault.Input{Field: a.Field, What: fmt.Sprintf("the place lies %.4g mm off the part", 1e3*hit.Distance), Do: "give a place on the part"}
	}
	if r3.Norm(level(off, normal)) <= 0.1*size {
		return hit.At, normal, nil
	}
	var sum r3.Vec
	for f := range m.Triangles {
		if r3.Norm(r3.Sub(m.Centroid(f), a.At)) <= size {
			sum = r3.Add(sum, m.AreaVector(f))
		}
	}
	if n := r3.Norm(sum); n > 0 {
		normal = r3.Scale(1/n, sum)
	}
	return a.At, normal, nil
}

// ground is what doublers lie on: a surface for each place, cut out of the whole.
type ground struct {
	mesh   *mesh.Mesh
	face   []int32 // of the whole surface, by triangle
	vertex []int32 // of the whole surface; -1: on none
	beside *mesh.Mesh
	edge   [][2]r3.Vec // the sides where the cloth ends inside the part
	middle []r3.Vec    // of the areas
	part   []int       // that each area lies on, counted as they come
}

// Sides of triangles along the edge of a place are at most its least width over fineEdge.
// A vertex that lies nearer to the edge than nearEdge times that is taken to lie on it.
const (
	fineEdge = 32
	nearEdge = 0.05
)

// cutOut cuts the surface along the edge of the areas. What they share is one place; what
// of an area does not hang together with its middle, as on a wall behind it, is left out.
func (w *work) cutOut(areas []Area) (g *ground, err error) {
	g = &ground{middle: make([]r3.Vec, len(areas))}
	in, fine := make([]func(r3.Vec) float64, len(areas)), math.Inf(1)
	for i := range areas {
		a := &areas[i]
		at, normal, err := w.middle(a)
		if err != nil {
			return nil, err
		}
		g.middle[i], in[i] = at, a.inside(at, normal)
		fine = min(fine, a.narrow()/fineEdge)
	}
	inside := func(p r3.Vec) float64 {
		most := math.Inf(-1)
		for _, f := range in {
			most = max(most, f(p))
		}
		return most
	}
	refined, err := w.in.Surface.Refine(mesh.RefineLimits{Edge: fine, Where: func(a, b r3.Vec) bool {
		return math.Abs(inside(r3.Scale(0.5, r3.Add(a, b)))) <= r3.Norm(r3.Sub(b, a))
	}})
	if err != nil {
		return nil, err
	}
	top, err := mesh.NewTopology(refined.Mesh)
	if err != nil {
		return nil, err
	}
	d := make([]float64, len(refined.Mesh.Vertices))
	for v, p := range refined.Mesh.Vertices {
		if d[v] = inside(p); math.Abs(d[v]) < nearEdge*fine {
			d[v] = 0
		}
	}
	kept, err := top.Clip(d, mesh.ClipOptions{Distance: inside})
	if err != nil {
		return nil, err
	}
	for v := range d {
		d[v] = -d[v]
	}
	rest, err := top.Clip(d, mesh.ClipOptions{Distance: func(p r3.Vec) float64 { return -inside(p) }})
	if err != nil {
		return nil, err
	}
	return g, g.take(areas, kept, refined, rest.Mesh, w.in.Surface)
}

// take keeps of what was cut out what hangs together with the areas' middles.
func (g *ground) take(areas []Area, kept mesh.Clipped, refined mesh.Refined, rest *mesh.Mesh, whole *mesh.Mesh) error {
	top, err := mesh.NewTopology(kept.Mesh)
	if err != nil {
		return err
	}
	of, count := top.Components()
	find := mesh.NewLocator(kept.Mesh)
	order := make([]int, count) // of the parts that are kept, from 1
	g.part = make([]int, len(areas))
	var parts int
	for i, a := range areas {
		hit, ok := find.Closest(g.middle[i])
		if !ok || hit.Distance > a.size() {
			return &fault.Input{Field: a.Field, What: "the place lies beside the part", Do: "give a place on the part"}
		}
		c := of[hit.Face]
		if order[c] == 0 {
			parts++
			order[c] = parts
		}
		g.part[i] = order[c] - 1
	}
	faces := make([][]int32, parts)
	var left []int32
	for f, c := range of {
		if k := order[c]; k > 0 {
			faces[k-1] = append(faces[k-1], int32(f))
		} else {
			left = append(left, int32(f))
		}
	}
	p := kept.Mesh.Extract(slices.Concat(faces...))
	g.mesh = p.Mesh
	for _, f := range p.Face {
		g.face = append(g.face, refined.Face[kept.Face[f]])
	}
	for _, v := range p.Vertex {
		if o := kept.Origin[v]; o.T == 0 && int(o.A) < len(whole.Vertices) {
			g.vertex = append(g.vertex, o.A)
		} else {
			g.vertex = append(g.vertex, -1)
		}
	}
	g.beside = joined(rest, kept.Mesh.Extract(left).Mesh)
	onEdge := make([]bool, len(p.Vertex))
	for i, v := range p.Vertex {
		onEdge[i] = kept.OnCut[v]
	}
	return g.ends(onEdge)
}

// ends lists the sides where the ground ends at the edge of a place, not at the part's.
func (g *ground) ends(onEdge []bool) error {
	top, err := mesh.NewTopology(g.mesh)
	if err != nil {
		return err
	}
	for _, e := range top.RimEdges() {
		if s := top.Edges[e]; onEdge[s[0]] && onEdge[s[1]] {
			g.edge = append(g.edge, [2]r3.Vec{g.mesh.Vertices[s[0]], g.mesh.Vertices[s[1]]})
		}
	}
	return nil
}

// joined is two surfaces as one, without a vertex in common.
func joined(a, b *mesh.Mesh) *mesh.Mesh {
	out := a.Clone()
	n := int32(len(a.Vertices))
	out.Vertices = append(out.Vertices, b.Vertices...)
	for _, t := range b.Triangles {
		out.Triangles = append(out.Triangles, [3]int32{t[0] + n, t[1] + n, t[2] + n})
	}
	return out
}
