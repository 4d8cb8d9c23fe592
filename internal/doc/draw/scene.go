package draw

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Scene is a picture of a triangle surface in parallel projection, coloured by
// a value at every vertex. A flat map is a scene seen along z with Flat set.
type Scene struct {
	Vertices  []r3.Vec // any one unit of length
	Triangles [][3]int32
	Values    []float64 // one a vertex; nil: the bare surface; NaN: no value there
	Range     Range
	Eye       r3.Vec // direction from the surface to the eye; zero: [Isometric]
	Up        r3.Vec // what stands upright on paper; zero: z, or y seen along z
	Flat      bool   // no shading by the light
	Edges     bool   // draw borders and creases
	Traces    []Trace
}

// Trace is a line lying on the surface: a seam, a yarn, a trim line. Parts
// behind the surface are left out.
type Trace struct {
	Points []r3.Vec
	Pen    Pen
}

// Isometric is the direction to the eye that shows three faces of a block alike.
func Isometric() r3.Vec { return r3.Unit(r3.Vec{X: 1, Y: -1, Z: 1}) }

// View carries points of a scene to paper.
type View struct {
	right, up, eye r3.Vec
	fit            Affine
}

// At returns where a point falls on paper and how near the eye it is, in mm.
func (v View) At(p r3.Vec) (r2.Vec, float64) {
	flat := r2.Vec{X: r3.Dot(p, v.right), Y: r3.Dot(p, v.up)}
	return v.fit.Do(flat), r3.Dot(p, v.eye) * v.fit.Scale()
}

// View returns how the scene is laid into the box.
func (s Scene) View(box r2.Box) View {
	eye := s.Eye
	if eye == (r3.Vec{}) {
		eye = Isometric()
	}
	eye = r3.Unit(eye)
	up := s.Up
	if up == (r3.Vec{}) {
		up = r3.Vec{Z: 1}
	}
	right := r3.Cross(up, eye)
	if r3.Norm(right) < 1e-6*r3.Norm(up) { // looking along it
		right = r3.Cross(r3.Vec{Y: 1}, eye)
		if r3.Norm(right) < 1e-6 {
			right = r3.Cross(r3.Vec{X: 1}, eye)
		}
	}
	v := View{right: r3.Unit(right), eye: eye, fit: Scale(1)}
	v.up = r3.Cross(eye, v.right)
	flat := make([]r2.Vec, len(s.Vertices))
	for i, p := range s.Vertices {
		flat[i], _ = v.At(p)
	}
	v.fit = Fit(boxOf(flat), box)
	return v
}

// smoothCount is how many triangles a map is divided into where the mesh is
// coarser, so that the steps of colour have smooth borders.
const smoothCount = 16000

// facet is one triangle on paper.
type facet struct {
	at     [3]r2.Vec
	z      [3]float64
	colour Colour
}

func (f facet) depth() float64 { return f.z[0] + f.z[1] + f.z[2] }

// Draw draws the scene as large as fits the box: triangles from back to front,
// those that nothing of shows left out, then the lines that show.
func (s Scene) Draw(box r2.Box) []Item {
	if len(s.Vertices) == 0 || len(s.Triangles) == 0 || box.Empty() {
		return nil
	}
	v := s.View(box)
	at, z := make([]r2.Vec, len(s.Vertices)), make([]float64, len(s.Vertices))
	for i, p := range s.Vertices {
		at[i], z[i] = v.At(p)
	}
	depth := newDepthMap(box)
	for _, t := range s.Triangles {
		depth.cover([3]r2.Vec{at[t[0]], at[t[1]], at[t[2]]}, [3]float64{z[t[0]], z[t[1]], z[t[2]]})
	}
	facets := s.facets(at, z, v)
	facets = slices.DeleteFunc(facets, func(f facet) bool { return !depth.showsFacet(f) })
	slices.SortStableFunc(facets, func(a, b facet) int { return cmp.Compare(a.depth(), b.depth()) })
	var batch Facets
	for _, f := range facets {
		batch.Tris, batch.Colours = append(batch.Tris, f.at), append(batch.Colours, f.colour)
	}
	items := []Item{batch}
	if s.Edges {
		for _, e := range s.creases(v.eye) {
			items = append(items, depth.shown(at[e[0]], at[e[1]], z[e[0]], z[e[1]], Pen{Width: Fine, Colour: Soft})...)
		}
	}
	items = append(items, s.limitLine(at, z, depth)...)
	for _, tr := range s.Traces {
		items = append(items, depth.trace(v, tr)...)
	}
	return items
}

// longestSide is how long a side of a triangle may be on paper, in mm, before
// it is divided: sorting by depth goes wrong for large triangles.
const longestSide = 6

// facets colours the triangles, divided where the map or the sorting wants it.
func (s Scene) facets(at []r2.Vec, z []float64, v View) []facet {
	levels := 0
	for n := len(s.Triangles); n*4 <= smoothCount && levels < 6; n *= 4 {
		levels++
	}
	var out []facet
	for _, t := range s.Triangles {
		a, b, c := t[0], t[1], t[2]
		light := s.light(r3.Cross(r3.Sub(s.Vertices[b], s.Vertices[a]), r3.Sub(s.Vertices[c], s.Vertices[a])), v)
		f := facet{at: [3]r2.Vec{at[a], at[b], at[c]}, z: [3]float64{z[a], z[b], z[c]}}
		value := [3]float64{}
		if s.Values != nil {
			value = [3]float64{s.Values[a], s.Values[b], s.Values[c]}
		}
		out = s.divide(out, f, value, light, levels)
	}
	return out
}

// divide cuts a triangle in four at the middles of its sides, levels times.
func (s Scene) divide(out []facet, f facet, value [3]float64, light float64, levels int) []facet {
	if levels == 0 || s.fine(f, value) {
		f.colour = s.colour(value, light)
		return append(out, f)
	}
	var m facet
	var mv [3]float64
	for i := range 3 {
		j := (i + 1) % 3
		m.at[i] = r2.Scale(0.5, r2.Add(f.at[i], f.at[j]))
		m.z[i] = (f.z[i] + f.z[j]) / 2
		mv[i] = (value[i] + value[j]) / 2
	}
	for i := range 3 {
		k := (i + 2) % 3
		part := facet{at: [3]r2.Vec{f.at[i], m.at[i], m.at[k]}, z: [3]float64{f.z[i], m.z[i], m.z[k]}}
		out = s.divide(out, part, [3]float64{value[i], mv[i], mv[k]}, light, levels-1)
	}
	return s.divide(out, m, mv, light, levels-1)
}

// fine reports that a triangle needs no dividing: one colour, and small enough
// to be sorted.
func (s Scene) fine(f facet, v [3]float64) bool {
	if s.Values != nil {
		if a, b, c := Stepped(s.Range.share(v[0])), Stepped(s.Range.share(v[1])), Stepped(s.Range.share(v[2])); a != b || b != c {
			return false
		}
	}
	if s.Flat {
		return true
	}
	for i := range 3 {
		if r2.Norm(r2.Sub(f.at[i], f.at[(i+1)%3])) > longestSide {
			return false
		}
	}
	return true
}

// Light falls from over the left shoulder of the eye. Grazing faces are darker
// by at most this much OKLab lightness; less on a map, whose own lightness is
// what is read.
const (
	bareShade  = 0.16
	mapShade   = 0.07
	shadeSteps = 6
)

// light returns the darkening of a face with the normal n, in steps.
func (s Scene) light(n r3.Vec, v View) float64 {
	size := r3.Norm(n)
	if s.Flat || size == 0 {
		return 0
	}
	if r3.Dot(n, v.eye) < 0 {
		n = r3.Scale(-1, n) // both sides of a surface are lit
	}
	sun := r3.Unit(r3.Add(v.eye, r3.Add(r3.Scale(-0.5, v.right), r3.Scale(0.7, v.up))))
	dark := 1 - max(0, r3.Dot(n, sun)/size)
	deepest := bareShade
	if s.Values != nil {
		deepest = mapShade
	}
	return deepest * math.Round(dark*shadeSteps) / shadeSteps
}

func (s Scene) colour(value [3]float64, dark float64) Colour {
	c := toLab(Wash)
	if s.Values != nil {
		c = s.Range.Ramp.lab(Stepped(s.Range.share((value[0] + value[1] + value[2]) / 3)))
	}
	c.l -= dark
	return c.colour()
}

// creaseAngle is the bend from which an edge is drawn.
const creaseAngle = 35 * math.Pi / 180

// creases returns the border edges, the sharp bends and the silhouettes.
func (s Scene) creases(eye r3.Vec) [][2]int32 {
	type side struct {
		n     r3.Vec
		count int
		keep  bool
	}
	sides := map[[2]int32]*side{}
	var order [][2]int32 // the map is for looking up only
	for _, t := range s.Triangles {
		n := r3.Unit(r3.Cross(r3.Sub(s.Vertices[t[1]], s.Vertices[t[0]]), r3.Sub(s.Vertices[t[2]], s.Vertices[t[0]])))
		for i := range 3 {
			a, b := t[i], t[(i+1)%3]
			key := [2]int32{min(a, b), max(a, b)}
			e, seen := sides[key]
			if !seen {
				sides[key] = &side{n: n, count: 1}
				order = append(order, key)
				continue
			}
			e.count++
			turned := r3.Dot(e.n, eye)*r3.Dot(n, eye) < 0
			e.keep = e.keep || turned || r3.Dot(e.n, n) < math.Cos(creaseAngle)
		}
	}
	return slices.DeleteFunc(order, func(k [2]int32) bool { return sides[k].count != 1 && !sides[k].keep })
}

// limitLine draws where the value equals the limit, straight across each
// triangle.
func (s Scene) limitLine(at []r2.Vec, z []float64, depth *depthMap) []Item {
	if s.Range.Limit == nil || s.Values == nil {
		return nil
	}
	pen := Pen{Width: 0.35, Colour: Accent}
	var items []Item
	for _, t := range s.Triangles {
		var p []r2.Vec
		var d []float64
		for i := range 3 {
			a, b := t[i], t[(i+1)%3]
			va, vb := s.Values[a]-*s.Range.Limit, s.Values[b]-*s.Range.Limit
			if math.IsNaN(va+vb) || (va < 0) == (vb < 0) {
				continue
			}
			w := va / (va - vb)
			p = append(p, r2.Add(at[a], r2.Scale(w, r2.Sub(at[b], at[a]))))
			d = append(d, z[a]+w*(z[b]-z[a]))
		}
		if len(p) == 2 {
			items = append(items, depth.shown(p[0], p[1], d[0], d[1], pen)...)
		}
	}
	return items
}
