package release

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// widest returns the direction along which the least draft of all the normals is
// greatest, and that draft's sine; ok is false where no direction has every
// normal leaning forward.
//
//	max min nᵢ·e over |e| = 1  =  the distance from the origin to the hull of the nᵢ
//
// and e is the unit vector to the hull's nearest point: the two problems are dual,
// so that the answer is exact. The nearest point is found by Wolfe's method, which
// walks from one simplex of normals to the next and ends.
//
// Source: [wolfe1976].
func widest(normals []r3.Vec) (e r3.Vec, sine float64, ok bool) {
	if len(normals) == 0 {
		return e, 0, false
	}
	x := normals[farthest(normals, r3.Vec{Z: -1})]
	hold := corral{at: []r3.Vec{x}, weight: []float64{1}}
	for range mostSteps {
		far := farthest(normals, x)
		if r3.Dot(normals[far], x) >= r3.Norm2(x)-nearEnough || r3.Norm2(x) < noHull || hold.has(normals[far]) {
			break
		}
		hold.at, hold.weight = append(hold.at, normals[far]), append(hold.weight, 0)
		x = hold.nearest()
	}
	d := r3.Norm(x)
	if d*d < noHull {
		return e, 0, false
	}
	e = r3.Scale(1/d, x)
	return e, r3.Dot(normals[farthest(normals, e)], e), true
}

const (
	mostSteps  = 500   // of Wolfe's method; some tens are usual
	nearEnough = 1e-14 // of a squared distance between unit vectors
	noHull     = 1e-10 // squared distance at which the origin counts as inside
)

// farthest returns the normal that leans back most against x; triangles without
// area, which have none, are passed over.
func farthest(normals []r3.Vec, x r3.Vec) int {
	out, least := 0, math.Inf(1)
	for i, n := range normals {
		if d := r3.Dot(n, x); d < least && n != (r3.Vec{}) {
			out, least = i, d
		}
	}
	return out
}

// corral is a simplex of at most four points with the weights of a point in it.
type corral struct {
	at     []r3.Vec
	weight []float64
}

func (c *corral) has(p r3.Vec) bool {
	for _, q := range c.at {
		if q == p {
			return true
		}
	}
	return false
}

// nearest moves to the point of the simplex that is nearest to the origin and
// drops the corners that it does not need.
func (c *corral) nearest() r3.Vec {
	for len(c.at) > 1 {
		to := c.affine()
		share, gone := 1.0, -1 // of the way that stays inside; the corner that ends it
		for i, w := range to {
			if left := c.weight[i] / (c.weight[i] - w); w < insideBy && c.weight[i] > w && left < share {
				share, gone = left, i
			}
		}
		for i, w := range to {
			c.weight[i] += share * (w - c.weight[i])
		}
		if gone < 0 {
			break
		}
		c.at, c.weight = slices.Delete(c.at, gone, gone+1), slices.Delete(c.weight, gone, gone+1)
	}
	var x r3.Vec
	var sum float64
	for i, w := range c.weight {
		x, sum = r3.Add(x, r3.Scale(w, c.at[i])), sum+w
	}
	return r3.Scale(1/sum, x)
}

// insideBy is the weight below which a corner counts as not needed.
const insideBy = 1e-12

// affine returns the weights, adding up to 1, of the point of the corners' plane
// that is nearest to the origin: the normal equations pᵢ·Σwⱼpⱼ = λ with Σw = 1,
// written with edges from the first corner.
func (c *corral) affine() []float64 {
	n := len(c.at) - 1
	var m [4][5]float64
	for i := range n {
		a := r3.Sub(c.at[i+1], c.at[0])
		for j := range n {
			m[i][j] = r3.Dot(a, r3.Sub(c.at[j+1], c.at[0]))
		}
		m[i][n] = -r3.Dot(a, c.at[0])
	}
	out := make([]float64, n+1)
	out[0] = 1
	for i, w := range solved(m, n) {
		out[i+1] = w
		out[0] -= w
	}
	return out
}

// solved eliminates n equations with pivots; one without a pivot gives 0.
func solved(m [4][5]float64, n int) []float64 {
	for k := range n {
		p := k
		for i := k + 1; i < n; i++ {
			if math.Abs(m[i][k]) > math.Abs(m[p][k]) {
				p = i
			}
		}
		m[k], m[p] = m[p], m[k]
		if math.Abs(m[k][k]) < 1e-300 {
			continue
		}
		for i := range n {
			if i == k {
				continue
			}
			by := m[i][k] / m[k][k]
			for j := k; j <= n; j++ {
				m[i][j] -= by * m[k][j]
			}
		}
	}
	out := make([]float64, n)
	for k := range n {
		if math.Abs(m[k][k]) >= 1e-300 {
			out[k] = m[k][n] / m[k][k]
		}
	}
	return out
}
