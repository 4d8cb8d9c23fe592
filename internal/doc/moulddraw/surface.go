package moulddraw

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
)

// most is how many triangles are drawn: more can't be told apart on paper, and
// make files large.
const most = 16000

// sharp is the bend from which a value may jump across an edge, rad.
const sharp = 30 * math.Pi / 180

// valued returns a mesh to draw with a value at each vertex from one for each
// triangle: their mean by area, over the triangles round the vertex that hang
// together without a sharp edge, or, if they are kinds, that have the same. Between
// those that don't, vertices are doubled, so that a wall and the top beside it keep
// their own colours and a line is drawn between them.
func valued(m *mesh.Mesh, values []float64, kinds bool) (*mesh.Mesh, []float64) {
	m, values = thinned(m, values)
	t, err := mesh.NewTopology(m)
	if err != nil {
		return m, make([]float64, len(m.Vertices))
	}
	joined := func(h int) bool {
		g := t.Twin[h]
		return g >= 0 && math.Abs(t.Turning(int(t.EdgeOf[h]))) < sharp && (!kinds || values[h/3] == values[g/3])
	}
	out := &mesh.Mesh{Triangles: make([][3]int32, len(m.Triangles))}
	var sum []float64
	for h := range 3 * len(m.Triangles) {
		if out.Triangles[h/3][h%3] != 0 {
			continue
		}
		var value, area float64
		out.Vertices = append(out.Vertices, m.Vertices[t.From(h)])
		name := int32(len(out.Vertices)) // one more than its number, until all are named
		for _, g := range fan(t, h, joined) {
			out.Triangles[g/3][g%3] = name
			a := m.FaceArea(g / 3)
			value, area = value+a*values[g/3], area+a
		}
		sum = append(sum, value/max(area, 1e-30))
	}
	for f := range out.Triangles {
		for k := range 3 {
			out.Triangles[f][k]--
		}
	}
	return out, sum
}

// fan returns the half-edges from the vertex of h, its own among them, that are
// reached round it over edges that join.
func fan(t *mesh.Topology, h int, joined func(h int) bool) []int {
	out := []int{h}
	for g := mesh.Prev(h); joined(g); {
		g = int(t.Twin[g])
		if g == h {
			return out
		}
		out = append(out, g)
		g = mesh.Prev(g)
	}
	for g := h; joined(g); {
		g = mesh.Next(int(t.Twin[g]))
		if g == h {
			return out
		}
		out = append(out, g)
	}
	return out
}

// thinned merges triangles of a mesh that is too fine to be drawn; each new one
// takes the value of the old one nearest to its middle.
func thinned(m *mesh.Mesh, values []float64) (*mesh.Mesh, []float64) {
	if len(m.Triangles) <= most {
		return m, values
	}
	t, err := mesh.NewTopology(m)
	if err != nil || len(t.NonManifoldEdges()) > 0 || len(t.BowTies()) > 0 {
		return m, values
	}
	c := t.Coarsen(most / 2)
	find := mesh.NewLocator(m)
	out := make([]float64, len(c.Mesh.Triangles))
	for f := range out {
		if hit, ok := find.Closest(c.Mesh.Centroid(f)); ok {
			out[f] = values[hit.Face]
		}
	}
	return c.Mesh, out
}

// arrow is where a pull is drawn: off the surface, along the pull.
type arrow struct{ from, to r3.Vec }

// arrowOff stands an arrow on the place of a mesh that lies farthest along a
// direction, in the middle across it.
func arrowOff(m *mesh.Mesh, e r3.Vec) arrow {
	far, most := m.Diagonal(), math.Inf(-1)
	for _, p := range m.Vertices {
		most = max(most, r3.Dot(p, e))
	}
	c := middle(m)
	from := r3.Add(c, r3.Scale(most-r3.Dot(c, e)+0.04*far, e))
	return arrow{from, r3.Add(from, r3.Scale(0.2*far, e))}
}

// room adds the ends of arrows to what must find room on paper.
func room(m *mesh.Mesh, values []float64, arrows ...arrow) (*mesh.Mesh, []float64) {
	out := &mesh.Mesh{Vertices: slices.Clone(m.Vertices), Triangles: m.Triangles}
	for _, a := range arrows {
		out.Vertices = append(out.Vertices, a.from, a.to)
		values = append(values, 0, 0)
	}
	return out, values
}

func (a arrow) draw(on plydraw.View, width float64) []draw.Item {
	from, _ := on.At(a.from)
	to, _ := on.At(a.to)
	return plydraw.Arrow(width, from, to)
}

// eyesFor returns the two opposite views from the corners of a cube that see most
// of some triangles, the better one first.
func eyesFor(m *mesh.Mesh, of func(f int) bool) []r3.Vec {
	var best r3.Vec
	most := -1.0
	for _, z := range []float64{1, -1} {
		for _, xy := range [][2]float64{{1, -1}, {1, 1}, {-1, 1}, {-1, -1}} {
			e := r3.Unit(r3.Vec{X: xy[0], Y: xy[1], Z: z})
			seen := 0.0
			for f := range m.Triangles {
				if of(f) {
					seen += max(0, r3.Dot(m.AreaVector(f), e))
				}
			}
			if seen > most*(1+1e-6) {
				best, most = e, seen
			}
		}
	}
	return []r3.Vec{best, {X: -best.X, Y: -best.Y, Z: best.Z}}
}
