package drape

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Where the surface is smooth, shear at a vertex comes from a quadratic surface
// X(u, v) fitted to the places of the vertices round it, which also sees that
// the triangles are chords. smoothFit and roughFit are the distances of the
// vertices from that fit, against the mean side there, up to which it is
// trusted wholly and from which on not at all: at a sharp edge it means nothing.
const (
	smoothFit = 0.005
	roughFit  = 0.02
)

// quadratic is the number of terms of the fit: 1, x, y, x²/2, xy, y²/2.
const quadratic = 6

// sharpen replaces shear at vertices by that of the fitted surface, as far as
// the fit is good.
func (s *surface) sharpen(shear []float64, flat []r2.Vec) {
	split(len(shear), func(_, from, to int) {
		var near []int32
		for v := from; v < to; v++ {
			near = s.twoRings(int32(v), near[:0])
			warp, weft, rough, ok := s.fitSurface(int32(v), near, flat)
			if !ok || rough >= roughFit {
				continue
			}
			trust := min(1, (roughFit-rough)/(roughFit-smoothFit))
			cos := r3.Dot(warp, weft) / (r3.Norm(warp) * r3.Norm(weft))
			γ := math.Asin(max(-1, min(1, cos)))
			shear[v] += trust * (γ - shear[v])
		}
	})
}

// twoRings appends v, its neighbours and theirs.
func (s *surface) twoRings(v int32, to []int32) []int32 {
	to = append(to, v)
	from := 0
	for range 2 {
		end := len(to)
		for ; from < end; from++ {
			a := int(to[from])
			for _, e := range s.topology.VertexEdges(a) {
				if b := int32(s.topology.Other(int(e), a)); !slices.Contains(to, b) {
					to = append(to, b)
				}
			}
		}
	}
	return to
}

// fitSurface fits X(u, v) to the vertices near v by weighted least squares and
// returns its derivatives at v and the root mean square distance of the
// vertices from it, against their mean distance from v.
func (s *surface) fitSurface(v int32, near []int32, flat []r2.Vec) (warp, weft r3.Vec, rough float64, ok bool) {
	if len(near) < quadratic+2 {
		return warp, weft, 0, false
	}
	size := 0.0
	for _, a := range near[1:] {
		size += r2.Norm(r2.Sub(flat[a], flat[v])) / float64(len(near)-1)
	}
	if !(size > 0) {
		return warp, weft, 0, false
	}
	var m [quadratic][quadratic]float64
	var right [quadratic]r3.Vec
	row := func(a int32) (b [quadratic]float64, w float64) {
		p := r2.Scale(1/size, r2.Sub(flat[a], flat[v]))
		return [quadratic]float64{1, p.X, p.Y, p.X * p.X / 2, p.X * p.Y, p.Y * p.Y / 2}, 1 / (0.3 + r2.Norm2(p))
	}
	for _, a := range near {
		b, w := row(a)
		x := r3.Sub(s.Vertices[a], s.Vertices[v])
		for i := range b {
			right[i] = r3.Add(right[i], r3.Scale(w*b[i], x))
			for j := range b {
				m[i][j] += w * b[i] * b[j]
			}
		}
	}
	c, ok := solveSmall(m, right)
	if !ok {
		return warp, weft, 0, false
	}
	var off, weight float64
	for _, a := range near {
		b, w := row(a)
		x := r3.Sub(s.Vertices[a], s.Vertices[v])
		for i := range b {
			x = r3.Sub(x, r3.Scale(b[i], c[i]))
		}
		off, weight = off+w*r3.Norm2(x), weight+w
	}
	return r3.Scale(1/size, c[1]), r3.Scale(1/size, c[2]), math.Sqrt(off/weight) / size, true
}

// leastPivot is the pivot of the scaled fit below which the vertices do not
// determine it: they lie in a strip that is less than about a tenth as wide as long,
// such as the thin triangles round a tip.
const leastPivot = 1e-4

// solveSmall solves the normal equations by Cholesky's method.
func solveSmall(m [quadratic][quadratic]float64, b [quadratic]r3.Vec) ([quadratic]r3.Vec, bool) {
	for k := range m {
		for j := range k {
			for i := k; i < quadratic; i++ {
				m[i][k] -= m[i][j] * m[k][j]
			}
		}
		if m[k][k] < leastPivot {
			return b, false
		}
		root := math.Sqrt(m[k][k])
		for i := k; i < quadratic; i++ {
			m[i][k] /= root
		}
	}
	for i := range b {
		for j := range i {
			b[i] = r3.Sub(b[i], r3.Scale(m[i][j], b[j]))
		}
		b[i] = r3.Scale(1/m[i][i], b[i])
	}
	for i := quadratic - 1; i >= 0; i-- {
		for j := i + 1; j < quadratic; j++ {
			b[i] = r3.Sub(b[i], r3.Scale(m[j][i], b[j]))
		}
		b[i] = r3.Scale(1/m[i][i], b[i])
	}
	return b, true
}
