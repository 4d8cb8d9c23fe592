package drape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/num"
)

// tie holds one flat coordinate of a place on an edge (or of a vertex, where
// both ends are the same) to a value.
//
//	E = ½·weight·((1 − at)·q[from] + at·q[to] − value)²
type tie struct {
	from, to int32
	at       float64
	axis     int // 0: u, 1: v
	value    float64
	weight   float64 // against the energy of one square metre; 1/m² in a flat coordinate of m
}

// problem is the energy of a sheet and its ties in the flat places of the
// vertices, and the matrix of its second derivatives. Unknown 2·v is u, 2·v + 1
// is v of vertex v.
type problem struct {
	s       *surface
	ties    []tie
	unseen  [][3]float64 // terms of stretch and soft shear by triangle that do not count
	matrix  *num.Sparse
	slots   [][]int32 // of the entries of each triangle
	factors *num.Cholesky
}

// newProblem prepares the matrix for the surface.
func newProblem(s *surface, ties []tie) *problem {
	unknowns := make([]int, len(s.Vertices))
	for v := range unknowns {
		unknowns[v] = 2
	}
	p := &problem{s: s, ties: ties, unseen: make([][3]float64, len(s.Triangles)),
		matrix: num.NewSparse(unknowns, s.Triangles), slots: make([][]int32, len(s.Triangles))}
	for f, t := range s.Triangles {
		p.slots[f] = p.matrix.Slots([]int32{2 * t[0], 2*t[0] + 1, 2 * t[1], 2*t[1] + 1, 2 * t[2], 2*t[2] + 1})
	}
	p.factors = num.NewCholesky(p.matrix, s.Vertices)
	return p
}

// energy returns the energy of sheet and ties, m².
func (p *problem) energy(flat []r2.Vec, sh sheet) float64 {
	var sum float64
	var room [mostTerms]term
	for f := range p.s.Triangles {
		if p.s.flat(f) {
			continue
		}
		g := p.s.gradientOf(f, flat)
		if sh.foldsFree() && !(g.det() > 0) {
			return math.Inf(1)
		}
		for _, t := range p.terms(f, g, sh, room[:0]) {
			sum += p.s.area[f] * t.value * t.value / 2
		}
	}
	for _, t := range p.ties {
		x := t.off(flat)
		sum += t.weight * x * x / 2
	}
	return sum
}

// terms returns the terms of triangle f, less what of them does not count.
func (p *problem) terms(f int, g gradient, sh sheet, room []term) []term {
	out := sh.terms(g, room)
	if _, woven := sh.(cloth); woven {
		for i, x := range p.unseen[f] {
			out[i].value -= x
		}
	}
	return out
}

func (t tie) off(flat []r2.Vec) float64 {
	a, b := flat[t.from].X, flat[t.to].X
	if t.axis == 1 {
		a, b = flat[t.from].Y, flat[t.to].Y
	}
	return (1-t.at)*a + t.at*b - t.value
}

// assemble fills the matrix with the sum of the outer products of the terms'
// derivatives and returns the downhill gradient.
func (p *problem) assemble(flat []r2.Vec, sh sheet, damping float64) []float64 {
	p.matrix.Clear()
	right := make([]float64, 2*len(flat))
	var room [mostTerms]term
	for f := range p.s.Triangles {
		if !p.s.flat(f) {
			p.addTriangle(f, p.terms(f, p.s.gradientOf(f, flat), sh, room[:0]), right)
		}
	}
	for _, t := range p.ties {
		p.addTie(t, flat, right)
	}
	for v := range flat {
		a, b := int32(2*v), int32(2*v+1)
		add := damping * (p.matrix.AddDiagonal(a, 0) + p.matrix.AddDiagonal(b, 0)) / 2
		if add == 0 {
			add = 1 // a vertex that nothing holds stays where it is
		}
		p.matrix.AddDiagonal(a, add)
		p.matrix.AddDiagonal(b, add)
	}
	return right
}

// addTriangle adds a triangle's terms.
func (p *problem) addTriangle(f int, terms []term, right []float64) {
	var k [36]float64
	var slope [6]float64 // downhill
	w := p.s.area[f]
	for _, t := range terms {
		var j [6]float64
		for c, n := range p.s.slope[f] {
			j[2*c], j[2*c+1] = t.a*n.X+t.b*n.Y, t.c*n.X+t.d*n.Y
		}
		for a, x := range j {
			x *= w
			slope[a] -= x * t.value
			for b, y := range j {
				k[6*a+b] += x * y
			}
		}
	}
	p.matrix.AddAt(p.slots[f], k[:])
	for c, v := range p.s.Triangles[f] {
		right[2*v] += slope[2*c]
		right[2*v+1] += slope[2*c+1]
	}
}

func (p *problem) addTie(t tie, flat []r2.Vec, right []float64) {
	from, to := 2*t.from+int32(t.axis), 2*t.to+int32(t.axis)
	x, a, b := t.weight*t.off(flat), 1-t.at, t.at
	if from == to {
		p.matrix.AddDiagonal(from, t.weight)
		right[from] -= x
		return
	}
	p.matrix.Add([]int32{from, to}, []float64{t.weight * a * a, t.weight * a * b, t.weight * a * b, t.weight * b * b})
	right[from] -= x * a
	right[to] -= x * b
}
