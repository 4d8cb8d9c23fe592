package mesh

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// removal is a vertex that was merged away and those that stood round it then, in
// their order to the left; open where it stood on a rim, and first and last are its
// neighbours along that.
type removal struct {
	vertex int32
	open   bool
	ring   []int32
}

// removed notes a vertex that is to go.
func (c *coarsener) removed(v int32) removal {
	n := len(c.of[v])
	from, to := make([]int32, n), make([]int32, n) // of the sides across from v
	for i, f := range c.of[v] {
		t := c.faces[f]
		k := slices.Index(t[:], v)
		from[i], to[i] = t[(k+1)%3], t[(k+2)%3]
	}
	first := max(0, slices.IndexFunc(from, func(u int32) bool { return !slices.Contains(to, u) })) // on a rim none comes before it
	out := removal{vertex: v, open: !slices.Contains(to, from[first]), ring: make([]int32, 1, n+1)}
	out.ring[0] = from[first]
	for at := first; at >= 0 && to[at] != from[first] && len(out.ring) <= n; at = slices.Index(from, to[at]) {
		out.ring = append(out.ring, to[at])
	}
	return out
}

// Refill calls do for each vertex that was merged away, the last first, with those
// that stood round it then and weights that sum to 1: what varies linearly in the
// plane into which its triangles unroll about it, whole angles drawn to a full turn,
// has at the vertex the weighted sum of its values round it.
func (c Coarse) Refill(do func(v int32, ring []int32, weight []float64)) {
	var places [][2]float64
	var weight []float64
	for i := len(c.gone) - 1; i >= 0; i-- {
		g := c.gone[i]
		places = c.unrolled(g, places[:0])
		weight = linear(places, weight[:0])
		do(g.vertex, g.ring, weight)
	}
}

// unrolled returns the places in the plane of those round a vertex, which is at the
// origin there.
func (c Coarse) unrolled(g removal, to [][2]float64) [][2]float64 {
	n := len(g.ring)
	turn, whole := make([]float64, n), 0.0
	for i, u := range g.ring {
		turn[i] = whole
		a, b := r3.Sub(c.at[u], c.at[g.vertex]), r3.Sub(c.at[g.ring[(i+1)%n]], c.at[g.vertex])
		if i+1 < n || !g.open {
			whole += math.Atan2(r3.Norm(r3.Cross(a, b)), r3.Dot(a, b))
		}
	}
	scale := 1.0
	if !g.open && whole > 0 {
		scale = 2 * math.Pi / whole
	}
	for i, u := range g.ring {
		far := r3.Norm(r3.Sub(c.at[u], c.at[g.vertex]))
		sin, cos := math.Sincos(turn[i] * scale)
		to = append(to, [2]float64{far * cos, far * sin})
	}
	return to
}

// linear returns the weights with which the plane that fits values at some places
// best, near ones more, has its value at the origin.
func linear(places [][2]float64, to []float64) []float64 {
	var w, x, y, xx, xy, yy float64
	near := func(p [2]float64) float64 { return 1 / max(p[0]*p[0]+p[1]*p[1], 1e-300) }
	for _, p := range places {
		a := near(p)
		w, x, y = w+a, x+a*p[0], y+a*p[1]
		xx, xy, yy = xx+a*p[0]*p[0], xy+a*p[0]*p[1], yy+a*p[1]*p[1]
	}
	// the first row of the inverse of the moments
	a, b, c := xx*yy-xy*xy, xy*y-x*yy, x*xy-xx*y
	det := w*a + x*b + y*c
	for _, p := range places {
		if det > 1e-9*w*xx*yy && det > 0 {
			to = append(to, near(p)*(a+b*p[0]+c*p[1])/det)
		} else {
			to = append(to, near(p)/w)
		}
	}
	return to
}
