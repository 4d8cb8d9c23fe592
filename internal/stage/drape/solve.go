package drape

import (
	"context"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/fault"
)

// tie holds one flat coordinate of a place on an edge (or of a vertex, where
// both ends are the same) to a value.
//
//	E = ½·weight·((1 − at)·q[from] + at·q[to] − value)²
type tie struct {
	from, to int32
	edge     int32 // -1 where both ends are the same
	at       float64
	axis     int // 0: u, 1: v
	value    float64
	weight   float64 // against the energy of one square metre; 1/m² in a flat coordinate of m
}

// A descent also ends when its last slowSteps steps together have lowered the
// energy by less than slowGain of it: cloth that is locked or collapsed has many
// ways to pucker that differ by next to nothing.
const (
	slowSteps = 12
	slowGain  = 0.05
)

// shortStep is the share of a step below which the next is damped more.
const shortStep = 0.3

// problem is one descent: the flat places of the vertices that make the energy
// of the sheet and its ties least.
type problem struct {
	s      *surface
	edges  [][2]int32 // among the nodes
	side   [][3]int32 // edge of each side of a triangle
	ties   []tie
	unseen [][3]float64 // terms of stretch and soft shear by triangle that do not count
	system *system
}

// A descent ends when its full step is below settled, against the mean side of a
// triangle (some micrometres on a part of usual size), or when the step is below
// drifting and would lower the energy by less than idle of it: then cloth slides
// along itself in a way that changes neither stretch nor shear to speak of.
const (
	settled  = 1e-3
	drifting = 0.1
	idle     = 2e-4
)

// mostSteps bounds the descent.
const mostSteps = 250

// report says how a descent ended.
type report struct {
	steps    int
	residual float64 // last full step against the mean side
}

// descend moves the flat places to the least energy by Gauss and Newton's
// method with damping, and never turns a triangle over if the sheet's energy
// forbids it.
func (p *problem) descend(ctx context.Context, flat []r2.Vec, sh sheet, steps int) (report, error) {
	damping := 1e-9
	energy := p.energy(flat, sh)
	past := []float64{energy}
	r := report{residual: math.Inf(1)}
	for r.steps = 0; r.steps < steps; r.steps++ {
		if err := ctx.Err(); err != nil {
			return r, err
		}
		right := p.assemble(flat, sh, damping)
		if !p.system.factor() {
			damping = max(10*damping, 1e-9)
			continue
		}
		move := p.system.solve(right)
		r.residual = longest(move) / p.s.edge
		if math.IsNaN(r.residual) {
			break
		}
		if p.atRest(r.residual, gain(right, move), energy) {
			return r, nil
		}
		next, lower, share := p.along(flat, move, sh, energy)
		if share == 0 {
			if damping *= 30; damping > 1e3 {
				break
			}
			continue
		}
		copy(flat, next)
		energy = lower
		past = append(past, energy)
		if n := len(past) - 1 - slowSteps; n >= 0 && past[n]-energy < slowGain*energy {
			return r, nil
		}
		if share < shortStep {
			damping = 10 * max(damping, 1e-7)
		} else {
			damping = max(damping/10, 1e-9)
		}
	}
	return r, &fault.NoSolution{What: "the flat shape of the cloth", Steps: r.steps, Residual: r.residual,
		Limit: settled, Do: "cut the part into smaller pieces, or refine the mesh where it turns sharply"}
}

// atRest tells whether a full step, against the mean side, and the energy it
// would gain are too small to matter.
func (p *problem) atRest(step, gain, energy float64) bool {
	return step < settled || step < drifting && gain < idle*energy
}

// gain returns the energy that the quadratic model loses over the move.
func gain(right, move [][2]float64) float64 {
	var sum float64
	for i, m := range move {
		sum += (right[i][0]*m[0] + right[i][1]*m[1]) / 2
	}
	return sum
}

// along goes as far along the move as lowers the energy, at most the whole way,
// and tells which share of the way that was; 0: none.
func (p *problem) along(flat []r2.Vec, move [][2]float64, sh sheet, energy float64) ([]r2.Vec, float64, float64) {
	t := 1.0
	if sh.foldsFree() {
		t = min(1, 0.9*p.room(flat, move))
	}
	next := make([]r2.Vec, len(flat))
	for range 12 {
		for i, q := range flat {
			next[i] = r2.Vec{X: q.X + t*move[i][0], Y: q.Y + t*move[i][1]}
		}
		if e := p.energy(next, sh); e < energy {
			return next, e, t
		}
		t /= 2
	}
	return nil, energy, 0
}

// room returns how much of the move the first triangle stands before it has no
// area left.
func (p *problem) room(flat []r2.Vec, move [][2]float64) float64 {
	least := math.Inf(1)
	step := make([]r2.Vec, len(move))
	for i, m := range move {
		step[i] = r2.Vec{X: m[0], Y: m[1]}
	}
	for f := range p.s.Triangles {
		if p.s.flat(f) {
			continue
		}
		g, h := p.s.gradientOf(f, flat), p.s.gradientOf(f, step)
		// det(g + t·h) = c + b·t + a·t²
		a, b, c := h.det(), g.a*h.d+h.a*g.d-g.b*h.c-h.b*g.c, g.det()
		least = min(least, firstRoot(a, b, c))
	}
	return least
}

// firstRoot returns the least positive root of a·t² + b·t + c with c > 0.
func firstRoot(a, b, c float64) float64 {
	root := b*b - 4*a*c
	if root < 0 {
		return math.Inf(1)
	}
	q := -b + math.Sqrt(root)
	if b > 0 {
		q = -b - math.Sqrt(root)
	}
	least := math.Inf(1)
	for _, t := range []float64{2 * c / q, q / (2 * a)} {
		if t > 0 {
			least = min(least, t)
		}
	}
	return least
}

// energy returns the energy of sheet and ties, m².
func (p *problem) energy(flat []r2.Vec, sh sheet) float64 {
	var sum float64
	var room [4]term
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

// assemble fills the system with the sum of the outer products of the terms'
// derivatives and returns the downhill gradient.
func (p *problem) assemble(flat []r2.Vec, sh sheet, damping float64) [][2]float64 {
	p.system.clear()
	right := make([][2]float64, len(flat))
	var room [4]term
	for f := range p.s.Triangles {
		if p.s.flat(f) {
			continue
		}
		for _, t := range p.terms(f, p.s.gradientOf(f, flat), sh, room[:0]) {
			p.addTerm(f, t, right)
		}
	}
	for _, t := range p.ties {
		p.addTie(t, flat, right)
	}
	for v := range p.system.diagonal {
		d := &p.system.diagonal[v]
		add := damping * (d[0] + d[3]) / 2
		if add == 0 {
			add = 1 // a vertex that nothing holds stays where it is
		}
		d[0] += add
		d[3] += add
	}
	return right
}

func (p *problem) addTerm(f int, t term, right [][2]float64) {
	var j [3][2]float64
	w := p.s.area[f]
	for k, n := range p.s.slope[f] {
		j[k] = [2]float64{t.a*n.X + t.b*n.Y, t.c*n.X + t.d*n.Y}
	}
	for k, v := range p.s.Triangles[f] {
		right[v][0] -= w * t.value * j[k][0]
		right[v][1] -= w * t.value * j[k][1]
		addOuter(&p.system.diagonal[v], w, j[k], j[k])
		e := p.side[f][k]
		x, y := j[k], j[(k+1)%3]
		if p.edges[e][0] != v {
			x, y = y, x
		}
		addOuter(&p.system.off[e], w, x, y)
	}
}

func (p *problem) addTie(t tie, flat []r2.Vec, right [][2]float64) {
	x := t.off(flat)
	a, b := 1-t.at, t.at
	entry := 3 * t.axis
	if t.edge < 0 {
		p.system.diagonal[t.from][entry] += t.weight
		right[t.from][t.axis] -= t.weight * x
		return
	}
	p.system.diagonal[t.from][entry] += t.weight * a * a
	p.system.diagonal[t.to][entry] += t.weight * b * b
	p.system.off[t.edge][entry] += t.weight * a * b
	right[t.from][t.axis] -= t.weight * x * a
	right[t.to][t.axis] -= t.weight * x * b
}

func addOuter(m *block, w float64, x, y [2]float64) {
	m[0] += w * x[0] * y[0]
	m[1] += w * x[0] * y[1]
	m[2] += w * x[1] * y[0]
	m[3] += w * x[1] * y[1]
}

func longest(move [][2]float64) float64 {
	var most float64
	for _, m := range move {
		most = max(most, math.Hypot(m[0], m[1]))
		if math.IsNaN(m[0] + m[1]) {
			return math.NaN()
		}
	}
	return most
}

// newProblem prepares the system for the surface, its nodes ordered by
// where they lie in space.
func newProblem(s *surface, ties []tie) *problem {
	p := &problem{s: s, edges: s.topology.Edges, side: make([][3]int32, len(s.Triangles)), ties: ties,
		unseen: make([][3]float64, len(s.Triangles))}
	for f := range p.side {
		p.side[f] = [3]int32(s.topology.EdgeOf[3*f : 3*f+3])
	}
	adjacent := make([][]int32, len(s.Vertices))
	for v := range adjacent {
		for _, e := range s.topology.VertexEdges(v) {
			adjacent[v] = append(adjacent[v], int32(s.topology.Other(int(e), v)))
		}
	}
	p.system = newSystem(dissect(s.Vertices, adjacent), p.edges)
	return p
}
