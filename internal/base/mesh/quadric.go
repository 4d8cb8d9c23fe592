package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// neighbourhood gathers vertices by walking along edges.
type neighbourhood struct {
	t    *Topology
	mark []int32 // vertex + 1 of the last search that came by
	list []int32
}

func newNeighbourhood(t *Topology) *neighbourhood {
	return &neighbourhood{t: t, mark: make([]int32, len(t.Mesh.Vertices))}
}

// around lists the vertices within the radius of v and at least two rings, v
// first, and the reach beyond which a weight is zero.
func (n *neighbourhood) around(v int, radius float64) (points []int32, reach float64) {
	n.list = append(n.list[:0], int32(v))
	n.mark[v] = int32(v) + 1
	o := n.t.Mesh.Vertices[v]
	far, most := 0.0, radius*radius
	for ring, from := 0, 0; from < len(n.list); ring++ {
		to := len(n.list)
		for _, u := range n.list[from:to] {
			for _, e := range n.t.VertexEdges(int(u)) {
				w := n.t.Other(int(e), int(u))
				if n.mark[w] == int32(v)+1 {
					continue
				}
				d := r3.Norm2(r3.Sub(n.t.Mesh.Vertices[w], o))
				if ring >= 2 && d > most {
					continue
				}
				n.mark[w] = int32(v) + 1
				n.list = append(n.list, int32(w))
				far = max(far, d)
			}
		}
		from = to
	}
	return n.list, max(radius, 1.2*math.Sqrt(far)) // 1.2: the furthest keep some weight
}

// maxRise holds the factor d²/(x² + y²) of the fit to points less than 45 deg off
// the tangent plane; beyond, as at a fold, it would tell nothing.
const maxRise = 2

// fitQuadric fits the quadric to the points, the first of which is v.
func fitQuadric(m *Mesh, v int, normal r3.Vec, points []int32, reach float64) Bend {
	if len(points) < 6 || normal == (r3.Vec{}) || reach == 0 {
		return Bend{}
	}
	x, y := frame(normal)
	var a [6][7]float64 // normal equations with lengths in reaches
	row := func(u int32) (r [7]float64, w float64) {
		d := r3.Scale(1/reach, r3.Sub(m.Vertices[u], m.Vertices[v]))
		i, j := r3.Dot(d, x), r3.Dot(d, y)
		w = math.Max(0, 1-r3.Norm2(d))
		k := 1.0
		if flat := i*i + j*j; flat > 0 {
			k = math.Min(r3.Norm2(d)/flat, maxRise)
		}
		return [7]float64{1, i, j, k * i * i / 2, k * i * j, k * j * j / 2, r3.Dot(d, normal)}, w * w
	}
	for _, u := range points {
		r, w := row(u)
		for i := range 6 {
			for j := range 7 {
				a[i][j] += w * r[i] * r[j]
			}
		}
	}
	q, ok := solve6(a)
	if !ok {
		return Bend{}
	}
	var misses, weights float64
	for _, u := range points {
		r, w := row(u)
		miss := r[6]
		for i := range 6 {
			miss -= q[i] * r[i]
		}
		misses += w * miss * miss
		weights += w
	}
	b := principal(q, x, y, normal)
	b.Max, b.Min = b.Max/reach, b.Min/reach
	b.Residual = reach * math.Sqrt(misses/weights)
	return b
}

// frame returns two unit vectors that make a right-handed frame with n.
func frame(n r3.Vec) (x, y r3.Vec) {
	least := r3.Vec{X: 1}
	if math.Abs(n.Y) < math.Abs(n.X) && math.Abs(n.Y) <= math.Abs(n.Z) {
		least = r3.Vec{Y: 1}
	} else if math.Abs(n.Z) < math.Abs(n.X) {
		least = r3.Vec{Z: 1}
	}
	x = unit(r3.Sub(least, r3.Scale(r3.Dot(least, n), n)))
	return x, r3.Cross(n, x)
}

// solve6 solves six equations by Gauss elimination with pivots; ok is false
// where the points do not fix the quadric.
func solve6(a [6][7]float64) (x [6]float64, ok bool) {
	scale := a[0][0]
	for c := range 6 {
		p := c
		for r := c + 1; r < 6; r++ {
			if math.Abs(a[r][c]) > math.Abs(a[p][c]) {
				p = r
			}
		}
		if !(math.Abs(a[p][c]) > 1e-12*scale) {
			return x, false
		}
		a[c], a[p] = a[p], a[c]
		for r := c + 1; r < 6; r++ {
			f := a[r][c] / a[c][c]
			for k := c; k < 7; k++ {
				a[r][k] -= f * a[c][k]
			}
		}
	}
	for r := 5; r >= 0; r-- {
		x[r] = a[r][6]
		for k := r + 1; k < 6; k++ {
			x[r] -= a[r][k] * x[k]
		}
		x[r] /= a[r][r]
	}
	return x, true
}

// principal returns the principal curvatures of the graph z of the quadric at
// its origin. With first form E F G and second form L M N (positive where z
// bends up), they are the roots of det(II − κ·I) = 0; bulging outwards is z
// bending down, hence the turned sign.
func principal(q [6]float64, x, y, z r3.Vec) Bend {
	p, s := q[1], q[2]
	e, f, g := 1+p*p, p*s, 1+s*s
	w := math.Sqrt(1 + p*p + s*s)
	l, m, n := -q[3]/w, -q[4]/w, -q[5]/w
	det := e*g - f*f
	mean := (e*n - 2*f*m + g*l) / (2 * det)
	gauss := (l*n - m*m) / det
	root := math.Sqrt(math.Max(0, mean*mean-gauss))
	b := Bend{Max: mean + root, Min: mean - root, OK: true}
	// (II − κ·I)·(u, v) = 0, taken from its longer row.
	u, v := f*b.Max-m, l-e*b.Max
	if u2, v2 := n-g*b.Max, f*b.Max-m; u2*u2+v2*v2 > u*u+v*v {
		u, v = u2, v2
	}
	tx, ty := r3.Add(x, r3.Scale(p, z)), r3.Add(y, r3.Scale(s, z))
	b.MaxDir = unit(r3.Add(r3.Scale(u, tx), r3.Scale(v, ty)))
	if b.MaxDir == (r3.Vec{}) { // bends alike in all directions
		b.MaxDir = unit(tx)
	}
	b.MinDir = unit(r3.Cross(r3.Cross(tx, ty), b.MaxDir))
	return b
}
