package drape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/sparse"
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
// vertices. Unknown 2·v is u, 2·v + 1 is v of vertex v.
type problem struct {
	*system
	s      *surface
	ties   []tie
	unseen [][3]float64 // terms of stretch and soft shear by triangle that do not count
}

// system is the matrix of the energy's second derivatives, for one surface after
// the other of the same triangles.
type system struct {
	matrix   *sparse.Matrix
	slots    []int32  // of the entries of each triangle, 36 each
	diagonal []int32  // slots of the unknowns' own entries
	corner   []int32  // 3·triangle + corner, in the order of their vertices
	first    []int32  // by vertex: where its corners begin
	part     [][]part // of triangles, by portion
	factors  *sparse.Cholesky
	factorOf sheet   // that the factor was made for last, nil: for none
	damping  float64 // and with
}

// part is what a triangle adds: second derivatives, of each row those from the
// diagonal on, and the slope downhill.
type part struct {
	k     [21]float64
	slope [6]float64
}

// newProblem is the energy on a surface, which keeps the system that it needs as
// long as no other works in its room.
func newProblem(s *surface, ties []tie) *problem {
	if s.room == nil {
		s.room = new(Room)
	}
	if s.system == nil || s.room.system != s.system {
		s.system = newSystem(s)
		s.room.system = s.system
	}
	s.system.factorOf = nil
	return &problem{s.system, s, ties, make([][3]float64, len(s.Triangles))}
}

// newSystem prepares the matrix for the surface.
func newSystem(s *surface) *system {
	n := len(s.Vertices)
	unknowns := make([]int, n)
	for v := range unknowns {
		unknowns[v] = 2
	}
	y := &system{matrix: sparse.New(unknowns, s.Triangles), slots: s.room.slotsFor(len(s.Triangles)), part: s.room.parts(len(s.Triangles)),
		diagonal: make([]int32, 2*n), corner: make([]int32, 3*len(s.Triangles)), first: make([]int32, n+1)}
	split(len(s.Triangles), func(_, from, to int) {
		for f := from; f < to; f++ {
			t := s.Triangles[f]
			y.matrix.SlotsInto([]int32{2 * t[0], 2*t[0] + 1, 2 * t[1], 2*t[1] + 1, 2 * t[2], 2*t[2] + 1}, y.slots[36*f:36*f+36])
		}
	})
	for u := range y.diagonal {
		y.matrix.SlotsInto([]int32{int32(u)}, y.diagonal[u:u+1])
	}
	for _, t := range s.Triangles {
		for _, v := range t {
			y.first[v+1]++
		}
	}
	for v := range n {
		y.first[v+1] += y.first[v]
	}
	fill := append([]int32(nil), y.first...)
	for f, t := range s.Triangles {
		for k, v := range t {
			y.corner[fill[v]] = int32(3*f + k)
			fill[v]++
		}
	}
	y.factors = s.room.factors.NewCholesky(y.matrix, s.Vertices)
	return y
}

// energy returns the energy of sheet and ties, m².
func (p *problem) energy(flat []r2.Vec, sh sheet) float64 {
	sum := sumOf(len(p.s.Triangles), func(from, to int) float64 {
		var sum float64
		var room [mostTerms]term
		for f := from; f < to; f++ {
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
		return sum
	})
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
	p.measure(flat, sh, true)
	p.matrix.Clear()
	val := p.matrix.Values()
	right := make([]float64, 2*len(flat))
	split(len(flat), func(_, from, to int) {
		for v := from; v < to; v++ {
			p.gather(v, val, right)
		}
	})
	for _, t := range p.ties {
		p.addTie(t, flat, right)
	}
	for v := range flat {
		a, b := p.diagonal[2*v], p.diagonal[2*v+1]
		add := damping * (val[a] + val[b]) / 2
		if add == 0 {
			add = 1 // a vertex that nothing holds stays where it is
		}
		val[a] += add
		val[b] += add
	}
	return right
}

// downhill returns the downhill gradient alone.
func (p *problem) downhill(flat []r2.Vec, sh sheet) []float64 {
	p.measure(flat, sh, false)
	right := make([]float64, 2*len(flat))
	split(len(flat), func(_, from, to int) {
		for v := from; v < to; v++ {
			for _, c := range p.corner[p.first[v]:p.first[v+1]] {
				slope := &p.part[c/3/portion][c/3%portion].slope
				right[2*v] += slope[2*(c%3)]
				right[2*v+1] += slope[2*(c%3)+1]
			}
		}
	})
	for _, t := range p.ties {
		from, to := 2*t.from+int32(t.axis), 2*t.to+int32(t.axis)
		x := t.weight * t.off(flat)
		right[from] -= x * (1 - t.at)
		right[to] -= x * t.at
	}
	return right
}

// measure works out what each triangle adds, second derivatives only if they are
// asked for.
func (p *problem) measure(flat []r2.Vec, sh sheet, second bool) {
	split(len(p.s.Triangles), func(at, from, to int) {
		var room [mostTerms]term
		for f := from; f < to; f++ {
			out := &p.part[at][f-from]
			out.slope = [6]float64{}
			var terms []term
			if !p.s.flat(f) {
				terms = p.terms(f, p.s.gradientOf(f, flat), sh, room[:0])
			}
			for _, t := range terms {
				for a, x := range p.rise(f, t) {
					out.slope[a] -= x * p.s.area[f] * t.value
				}
			}
			if second {
				p.addSecond(f, terms, out)
			}
		}
	})
}

// rise returns how a term of triangle f changes with the flat places of its corners.
func (p *problem) rise(f int, t term) (j [6]float64) {
	for c, n := range &p.s.slope[f] {
		j[2*c], j[2*c+1] = t.a*n.X+t.b*n.Y, t.c*n.X+t.d*n.Y
	}
	return j
}

// addSecond adds up the second derivatives of a triangle's terms.
func (p *problem) addSecond(f int, terms []term, out *part) {
	out.k = [21]float64{}
	for _, t := range terms {
		j := p.rise(f, t)
		k := out.k[:]
		for a, x := range j {
			x *= p.s.area[f]
			for b, y := range j[a:] {
				k[b] += x * y
			}
			k = k[6-a:]
		}
	}
}

// inPart is where in [part].k entry (row, column) stands.
var inPart = [6][6]uint8{{0, 1, 2, 3, 4, 5}, {1, 6, 7, 8, 9, 10}, {2, 7, 11, 12, 13, 14}, {3, 8, 12, 15, 16, 17}, {4, 9, 13, 16, 18, 19}, {5, 10, 14, 17, 19, 20}}

// gather adds up the rows of a vertex.
func (p *problem) gather(v int, val, right []float64) {
	for _, c := range p.corner[p.first[v]:p.first[v+1]] {
		f, k := int(c/3), int(c%3)
		from := &p.part[f/portion][f%portion]
		for row := 2 * k; row < 2*k+2; row++ {
			slots := p.slots[36*f+6*row : 36*f+6*row+6]
			for i, at := range inPart[row] {
				val[slots[i]] += from.k[at]
			}
		}
		right[2*v] += from.slope[2*k]
		right[2*v+1] += from.slope[2*k+1]
	}
}

func (p *problem) addTie(t tie, flat []r2.Vec, right []float64) {
	from, to := 2*t.from+int32(t.axis), 2*t.to+int32(t.axis)
	x, a, b := t.weight*t.off(flat), 1-t.at, t.at
	if right[from] -= x * a; b != 0 {
		right[to] -= x * b
	}
	if from == to {
		p.matrix.AddDiagonal(from, t.weight*(a+b)*(a+b))
		return
	}
	p.matrix.Add([]int32{from, to}, []float64{t.weight * a * a, t.weight * a * b, t.weight * a * b, t.weight * b * b})
}
