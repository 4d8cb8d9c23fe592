package plydraw

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// ground is a surface with a piece of cloth on it, by vertex.
type ground struct {
	piece string // its name
	patch bool   // lies over a seam of another
	mesh  *mesh.Mesh
	flat  []r2.Vec
	shear []float64 // ° either way
	find  *mesh.Locator
}

// place returns where a point of the surface lies in the flat piece, if it lies
// on it.
func (g *ground) place(p r3.Vec) (r2.Vec, bool) {
	if g.find == nil {
		g.find = mesh.NewLocator(g.mesh)
	}
	hit, ok := g.find.Closest(p)
	if !ok || hit.Distance > near*g.mesh.Diagonal() {
		return r2.Vec{}, false
	}
	t := g.mesh.Triangles[hit.Face]
	var out r2.Vec
	for i, w := range hit.Bary {
		out = r2.Add(out, r2.Scale(w, g.flat[t[i]]))
	}
	return out, true
}

// turned returns the ground with its flat places seen from a point on, with u in
// a direction given as a unit vector.
func (g *ground) turned(from, along r2.Vec) *ground {
	out := &ground{mesh: g.mesh, flat: make([]r2.Vec, len(g.flat))}
	for i, q := range g.flat {
		d := r2.Sub(q, from)
		out.flat[i] = r2.Vec{X: r2.Dot(along, d), Y: r2.Cross(along, d)}
	}
	return out
}

// near is how far a point may lie off a piece's ground and still count as on it,
// against the ground's diagonal.
const near = 1e-3

// span is the longer side of the box round the flat sheet, m.
func (g *ground) span() float64 {
	low, high := r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, q := range g.flat {
		low.X, low.Y = min(low.X, q.X), min(low.Y, q.Y)
		high.X, high.Y = max(high.X, q.X), max(high.Y, q.Y)
	}
	return max(high.X-low.X, high.Y-low.Y)
}

// joined puts the grounds of a ply's pieces into one surface with one value a
// vertex. Patches lie over the others and are left out.
func joined(grounds []*ground) (m *mesh.Mesh, shear []float64) {
	m = &mesh.Mesh{}
	for _, g := range grounds {
		if g.patch {
			continue
		}
		base := int32(len(m.Vertices))
		m.Vertices = append(m.Vertices, g.mesh.Vertices...)
		shear = append(shear, g.shear...)
		for _, t := range g.mesh.Triangles {
			m.Triangles = append(m.Triangles, [3]int32{t[0] + base, t[1] + base, t[2] + base})
		}
	}
	return m, shear
}

// beside adds a surface without values.
func beside(m *mesh.Mesh, values []float64, b *mesh.Mesh) (*mesh.Mesh, []float64) {
	n := int32(len(m.Vertices))
	m.Vertices = append(m.Vertices, b.Vertices...)
	for range b.Vertices {
		values = append(values, math.NaN())
	}
	for _, t := range b.Triangles {
		m.Triangles = append(m.Triangles, [3]int32{t[0] + n, t[1] + n, t[2] + n})
	}
	return m, values
}

// seedOf returns the place of the surface that lies at the flat sheet's origin:
// where this piece is laid down first.
func (g *ground) seedOf() (r3.Vec, bool) {
	for _, t := range g.mesh.Triangles {
		a, b, c := g.flat[t[0]], g.flat[t[1]], g.flat[t[2]]
		whole := r2.Cross(r2.Sub(b, a), r2.Sub(c, a))
		if whole == 0 {
			continue
		}
		w := [3]float64{r2.Cross(b, c) / whole, r2.Cross(c, a) / whole, r2.Cross(a, b) / whole}
		if min(w[0], w[1], w[2]) < -1e-9 {
			continue
		}
		var p r3.Vec
		for i, v := range t {
			p = r3.Add(p, r3.Scale(w[i], g.mesh.Vertices[v]))
		}
		return p, true
	}
	return r3.Vec{}, false
}

// inDegrees drops the sign.
func inDegrees(rad []float64) []float64 {
	out := make([]float64, len(rad))
	for i, x := range rad {
		out[i] = math.Abs(x) * 180 / math.Pi
	}
	return out
}
