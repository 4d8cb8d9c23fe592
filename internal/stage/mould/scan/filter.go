package scan

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// filter holds the equations of smoothing, (A + ℓ⁴·Dᵀ·A·D)·x = A·x₀ + ℓ⁴·Dᵀ·A·c.
type filter struct {
	rows  [][]weight // of D; none at corners
	flow  [][]weight // of each vertex, what of its neighbours' bend comes to it in a round
	areas []float64
	power float64   // ℓ⁴
	scale []float64 // of the diagonal, 1/its entries
}

func newFilter(t *mesh.Topology, edge []bool, power float64) *filter {
	rows, areas := laplace(t.Mesh.Vertices, t.Mesh.Triangles)
	f := &filter{rows: rows, areas: areas, power: power, scale: make([]float64, len(rows)), flow: make([][]weight, len(rows))}
	lined := make([]bool, len(rows))
	for v := range rows {
		ends := make([]int32, 0, 4)
		for _, e := range t.VertexEdges(v) {
			if edge[e] {
				ends = append(ends, int32(t.Other(int(e), v)))
			}
		}
		switch lined[v] = len(ends) > 0; {
		case len(ends) == 2:
			rows[v] = bendAlong(t.Mesh.Vertices, int32(v), ends[0], ends[1])
		case lined[v] || !(areas[v] > 0):
			rows[v] = nil
		default:
			for i := range rows[v] {
				rows[v][i].w /= areas[v]
			}
		}
	}
	f.link(lined)
	for v, a := range areas {
		f.scale[v] += a
		for _, w := range rows[v] {
			f.scale[w.at] += power * a * w.w * w.w
		}
	}
	for v, d := range f.scale {
		if f.scale[v] = 1; d > 0 {
			f.scale[v] = 1 / d
		}
	}
	return f
}

// bendShare is what a vertex gets from its neighbours in one round of averaging
// on a net of equal triangles.
const bendShare = 0.9

// link sets with which neighbours a vertex shares its bend: inner ones with inner
// ones, those of a line with those. What one gets the other gives, so that noise
// whose sum is nothing stays so.
func (f *filter) link(lined []bool) {
	for v, row := range f.rows {
		for _, w := range row {
			if int(w.at) != v && lined[w.at] == lined[v] && len(f.rows[w.at]) > 0 {
				f.flow[v] = append(f.flow[v], w)
			}
		}
	}
	give := make([]float64, len(f.flow))
	for v, near := range f.flow {
		give[v] = bendShare * f.areas[v] / float64(max(1, len(near)))
	}
	for v, near := range f.flow {
		for i, w := range near {
			near[i].w = min(give[v], give[w.at]) / f.areas[v]
		}
	}
}

// bendAlong is the second difference along a line a v b, and nothing where the
// line turns as at a corner.
func bendAlong(at []r3.Vec, v, a, b int32) []weight {
	p, q := r3.Sub(at[v], at[a]), r3.Sub(at[b], at[v])
	l, m := r3.Norm(p), r3.Norm(q)
	if !(r3.Dot(p, q) > cornerTurn*l*m) {
		return nil
	}
	c := 2 / (l + m)
	return []weight{{v, -c * (1/l + 1/m)}, {a, c / l}, {b, c / m}}
}

// cornerTurn is the cosine of the turn that makes a corner of a rim or an edge.
const cornerTurn = 0.5

// bendRounds is how often the given bend is averaged before it is asked for: its
// waves fall to a half where the filter's own do. A round widens the mean by 0.45
// squared sides on a net of equal triangles.
const bendRounds = 13

// bend returns c, what D says of x with its noise averaged out.
func (f *filter) bend(x []float64) []float64 {
	c, next := make([]float64, len(x)), make([]float64, len(x))
	for v, row := range f.rows {
		for _, w := range row {
			c[v] += w.w * x[w.at]
		}
	}
	for range bendRounds {
		for v, near := range f.flow {
			next[v] = c[v]
			for _, w := range near {
				next[v] += w.w * (c[w.at] - c[v])
			}
		}
		c, next = next, c
	}
	return c
}

// smooth filters places.
func (f *filter) smooth(places []r3.Vec) {
	var group sync.WaitGroup
	var out [3][]float64
	for axis := range 3 {
		group.Go(func() {
			given := make([]float64, len(places))
			for v, p := range places {
				given[v] = [3]float64{p.X, p.Y, p.Z}[axis]
			}
			out[axis] = f.solve(given, f.bend(given))
		})
	}
	group.Wait()
	for v := range places {
		places[v] = r3.Vec{X: out[0][v], Y: out[1][v], Z: out[2][v]}
	}
}

// The solver stops once the residual is this share of the first, which leaves
// less than the bound is stated to, or after so many steps.
const (
	solvedTo   = 1e-6
	mostSolved = 400
)

// solve finds x by conjugate gradients scaled by the diagonal, from x₀ itself. Not
// to reach the share is no error: the result is then less smooth, never wrong, as
// every step lies between what was given and what is sought, and the bound holds.
//
// Source: [hestenes1952].
func (f *filter) solve(given, bend []float64) []float64 {
	n := len(given)
	x, r, z, p, q := append([]float64(nil), given...), make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	for v, row := range f.rows { // what is left of the equations at x₀: ℓ⁴·Dᵀ·A·(c − D x₀)
		d := bend[v]
		for _, w := range row {
			d -= w.w * given[w.at]
		}
		for _, w := range row {
			r[w.at] += f.power * f.areas[v] * d * w.w
		}
	}
	var old, first float64
	for step := range mostSolved {
		var now float64
		for v := range z {
			z[v] = f.scale[v] * r[v]
			now += z[v] * r[v]
		}
		if step == 0 {
			first = now
		}
		if !(now > solvedTo*solvedTo*first) {
			break
		}
		β := 0.0
		if step > 0 {
			β = now / old
		}
		for v := range p {
			p[v] = z[v] + β*p[v]
		}
		f.times(p, q)
		var pq float64
		for v := range p {
			pq += p[v] * q[v]
		}
		if !(pq > 0) {
			break
		}
		α := now / pq
		for v := range x {
			x[v] += α * p[v]
			r[v] -= α * q[v]
		}
		old = now
	}
	return x
}

// times puts (A + ℓ⁴·Dᵀ·A·D)·x into y.
func (f *filter) times(x, y []float64) {
	for v, a := range f.areas {
		y[v] = a * x[v]
	}
	for v, row := range f.rows {
		var d float64
		for _, w := range row {
			d += w.w * x[w.at]
		}
		if d *= f.power * f.areas[v]; d != 0 {
			for _, w := range row {
				y[w.at] += d * w.w
			}
		}
	}
}

// weight is one entry of a row of L or D.
type weight struct {
	at int32
	w  float64
}

// laplace returns the rows of the Laplacian of a surface, the vertex itself first,
// and each vertex's share of the area.
//
//	(L u)ᵢ = ½ Σ (cot α + cot β)·(uⱼ − uᵢ)    A = ⅛ Σ (cot α + cot β)·|xⱼ − xᵢ|²
//
// The share is that of the places nearest to the vertex; of a triangle with a
// blunt corner, half goes to that corner and a quarter to each other.
//
// Source: [pinkall1993], [meyer2003].
func laplace(at []r3.Vec, tri [][3]int32) (rows [][]weight, areas []float64) {
	rows, areas = make([][]weight, len(at)), make([]float64, len(at))
	for v := range rows {
		rows[v] = append(make([]weight, 0, 8), weight{int32(v), 0})
	}
	add := func(v, to int32, w float64) {
		rows[v][0].w -= w
		for i := range rows[v] {
			if rows[v][i].at == to {
				rows[v][i].w += w
				return
			}
		}
		rows[v] = append(rows[v], weight{to, w})
	}
	for _, t := range tri {
		var cot [3]float64
		twice, blunt := 0.0, -1
		for k, v := range t {
			x, y := r3.Sub(at[t[(k+1)%3]], at[v]), r3.Sub(at[t[(k+2)%3]], at[v])
			twice = r3.Norm(r3.Cross(x, y))
			cot[k] = r3.Dot(x, y) / math.Max(twice, flattest*(r3.Norm2(x)+r3.Norm2(y)))
			if cot[k] < 0 {
				blunt = k
			}
		}
		for k, v := range t {
			a, b := t[(k+1)%3], t[(k+2)%3]
			add(a, b, cot[k]/2)
			add(b, a, cot[k]/2)
			switch side := cot[k] / 8 * r3.Norm2(r3.Sub(at[a], at[b])); {
			case blunt < 0:
				areas[a], areas[b] = areas[a]+side, areas[b]+side
			case blunt == k:
				areas[v] += twice / 4
			default:
				areas[v] += twice / 8
			}
		}
	}
	return rows, areas
}

// flattest bounds the cotangent of the sharpest corner of a sliver.
const flattest = 1e-3
