package flat

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/geom"
)

// side names a side of a slit by the slit's place in the ground; trim is none. Cloth
// may also end inside the part, on no slit's side.
type side struct {
	slit int
	left bool
	ends bool
}

var trim = side{slit: -1}

// chain is a stretch of a flat rim that is all trim line or all end of the cloth, from
// corner to corner, or all one side of a slit, with the cloth on its left. Its neighbours share its ends.
type chain struct {
	side
	points []r2.Vec
	across []float64 // flat length per mould length across the rim, at the points
}

// rim is a closed row of chains.
type rim []chain

func (r rim) ring() geom.Polygon {
	var out geom.Polygon
	for _, c := range r {
		out = append(out, c.points[:len(c.points)-1]...)
	}
	return out
}

// slit tells whether any slit ends in the rim.
func (r rim) slit() bool {
	return slices.ContainsFunc(r, func(c chain) bool { return c.slit >= 0 })
}

// trimLines returns the rim's stretches of trim line, each from slit to slit.
func (r rim) trimLines() (out [][]r2.Vec) {
	other := func(c chain) bool { return c.slit >= 0 || c.ends }
	first := slices.IndexFunc(r, other) + 1
	on := false
	for i := range r {
		c := r[(first+i)%len(r)]
		switch last := len(out) - 1; {
		case other(c):
			on = false
		case on:
			out[last] = append(out[last], c.points[1:]...)
		default:
			out, on = append(out, slices.Clone(c.points)), true
		}
	}
	return out
}

// sides returns for each half-edge along a slit or an end, by its ends, whose side it is.
func (b Sheet) sides() map[[2]int32]side {
	out := map[[2]int32]side{}
	for h := range b.Ends {
		out[h] = side{slit: -1, ends: true}
	}
	for i, s := range b.Slits {
		for k := 1; k < len(s.Left); k++ {
			out[[2]int32{s.Left[k-1], s.Left[k]}] = side{slit: i, left: true}
		}
		for k := 1; k < len(s.Right); k++ {
			out[[2]int32{s.Right[k], s.Right[k-1]}] = side{slit: i}
		}
	}
	return out
}

// across returns for each half-edge of the rim, by its ends, the flat length per
// mould length across it:
//
//	f = (A' / A) · (l / l')
//
// with A the area of the triangle at that edge, l the edge's length, and dashes in
// the flat: the ratio of the triangle's heights over the edge. A strip beside the
// edge is f times as wide in the flat as it lies on the mould, whichever way the
// cloth is sheared there, since the flat map is linear on a triangle.
func (b Sheet) across() map[[2]int32]float64 {
	const least, most = 0.25, 4.0 // beyond these the cloth has collapsed
	m := b.Top.Mesh
	out := map[[2]int32]float64{}
	for h, twin := range b.Top.Twin {
		if twin >= 0 {
			continue
		}
		from, to := b.Top.From(h), b.Top.To(h)
		t := m.Triangles[h/3]
		flat := geom.Polygon{b.Flat[t[0]], b.Flat[t[1]], b.Flat[t[2]]}.Area()
		f := flat / m.FaceArea(h/3) * r3.Norm(r3.Sub(m.Vertices[to], m.Vertices[from])) / r2.Norm(r2.Sub(b.Flat[to], b.Flat[from]))
		if !(f > least) {
			f = least
		}
		out[[2]int32{from, to}] = min(f, most)
	}
	return out
}

// rims returns the flat rims of a sheet, the sides of slits faired and the trim
// line smoothed.
func (d *drawing) rims() (out []rim) {
	sides := d.sides()
	for _, loop := range d.Top.RimLoops() {
		line := d.Top.LoopVertices(loop)
		n := len(line)
		of, first := make([]side, n), -1
		for i, v := range line {
			s, is := sides[[2]int32{v, line[(i+1)%n]}]
			if !is {
				s = trim
			}
			of[i] = s
		}
		for i := range of {
			if of[i] != of[(i+n-1)%n] {
				first = i
			}
		}
		var r rim
		for i, start := 0, max(first, 0); i < n; {
			s, from := of[(start+i)%n], i
			for i < n && of[(start+i)%n] == s {
				i++
			}
			var vertices []int32
			for k := from; k <= i; k++ {
				vertices = append(vertices, line[(start+k)%n])
			}
			r = append(r, d.chainsOf(s, vertices, first < 0)...)
		}
		if r = joined(r); len(r.ring()) > 2 {
			out = append(out, r)
		}
	}
	return out
}

// chainsOf draws the chains through vertices of the rim. At a corner the factor
// across the rim jumps, as the direction does.
func (d *drawing) chainsOf(s side, vertices []int32, closed bool) (out []chain) {
	if s.slit >= 0 {
		return []chain{d.edges[s.slit].chain(s)}
	}
	corners := cornersOf(d.places(vertices), closed)
	if closed && len(corners) > 0 { // begin at a corner
		first := corners[0]
		vertices = append(append(vertices[first:len(vertices)-1:len(vertices)-1], vertices[:first]...), vertices[first])
		for i := range corners {
			corners[i] -= first
		}
		corners, closed = append(corners, len(vertices)-1), false
	}
	if closed {
		corners = []int{0, len(vertices) - 1}
	}
	for i := 1; i < len(corners); i++ {
		run := vertices[corners[i-1] : corners[i]+1]
		f := d.acrossAt(run, false)
		if closed {
			f[0] = (f[0] + f[len(f)-1]) / 2
			f[len(f)-1] = f[0]
		}
		points, f := smoothed(d.places(run), f, closed)
		out = append(out, chain{s, points, f})
	}
	return out
}

// joined makes neighbouring chains share their ends: the trim line follows the
// side of a slit, which is drawn back by the kerf.
func joined(r rim) rim {
	for i := range r {
		next := &r[(i+1)%len(r)]
		if len(r) == 1 {
			break
		}
		last := len(r[i].points) - 1
		if r[i].slit < 0 { // of two trim lines the ends are the same
			r[i].points[last] = next.points[0]
		} else {
			next.points[0] = r[i].points[last]
		}
	}
	return r
}

func (b Sheet) places(vertices []int32) []r2.Vec {
	out := make([]r2.Vec, len(vertices))
	for i, v := range vertices {
		out[i] = b.Flat[v]
	}
	return out
}

// acrossReach is how far along the rim the factor is averaged, m: one triangle's is
// as rough as the mesh, and a lap reaches as far.
const acrossReach = 0.015

// acrossAt returns the factor across the rim at vertices in a row: the mean over
// the edges within reach of each, or the two either way. Against the rim's sense the
// row is backwards.
func (d *drawing) acrossAt(vertices []int32, backwards bool) []float64 {
	n := len(vertices) - 1
	factor, middle, at := make([]float64, n), make([]float64, n), make([]float64, n+1)
	for k := range n {
		a, b := vertices[k], vertices[k+1]
		long := r3.Norm(r3.Sub(d.Top.Mesh.Vertices[b], d.Top.Mesh.Vertices[a]))
		at[k+1], middle[k] = at[k]+long, at[k]+long/2
		if backwards {
			a, b = b, a
		}
		factor[k] = d.factor[[2]int32{a, b}]
	}
	out := make([]float64, n+1)
	for i := range out {
		sum, long := 0.0, 0.0
		add := func(k int) { sum, long = sum+factor[k]*(at[k+1]-at[k]), long+at[k+1]-at[k] }
		for k := i - 1; k >= 0 && (k >= i-2 || at[i]-middle[k] < acrossReach); k-- {
			add(k)
		}
		for k := i; k < n && (k <= i+1 || middle[k]-at[i] < acrossReach); k++ {
			add(k)
		}
		out[i] = sum / long
	}
	return out
}
