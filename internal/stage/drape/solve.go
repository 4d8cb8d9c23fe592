package drape

import (
	"context"
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/num"
)

// A descent is at rest when its full step is below settled, against the mean side
// of a triangle (some micrometres on a part of usual size), or when the step is
// below drifting and would lower the energy by less than idle of it: then cloth
// slides along itself in a way that changes neither stretch nor shear to speak of.
const (
	settled  = 1e-3
	drifting = 0.1
	idle     = 2e-4
)

// A descent is also at rest when its last slowSteps steps together have lowered
// the energy by less than slowGain of it: cloth that is locked or collapsed has
// many ways to pucker that differ by next to nothing.
const (
	slowSteps = 12
	slowGain  = 0.05
)

// mostSteps bounds a descent. What it has come to by then is kept: every step
// goes down.
const mostSteps = 80

// Damping of the steps, against the matrix's diagonal: at least lightDamping, ten
// times as much at least as firmDamping after a step of which less than
// shortStep could be gone, and a descent that is damped by more than mostDamping
// goes nowhere.
const (
	lightDamping = 1e-9
	firmDamping  = 1e-7
	mostDamping  = 1e3
	shortStep    = 0.3
)

// report says how a descent ended.
type report struct {
	steps    int
	residual float64 // last full step against the mean side
	atRest   bool
}

// descend moves the flat places to the least energy by Gauss and Newton's
// method with damping, and never turns a triangle over if the sheet's energy
// forbids it. The places are the best found, however it ends; the error is that
// of a call that was given up.
func (p *problem) descend(ctx context.Context, flat []r2.Vec, sh sheet, steps int) (report, error) {
	damping := lightDamping
	energy := p.energy(flat, sh)
	past := []float64{energy}
	r := report{residual: math.Inf(1)}
	for ; r.steps < steps && damping <= mostDamping; r.steps++ {
		move, gain, err := p.step(ctx, flat, sh, damping)
		if err != nil {
			return r, err
		}
		if move == nil {
			damping *= 10
			continue
		}
		r.residual = longest(move) / p.s.edge
		if r.atRest = p.idles(r.residual, gain, energy); r.atRest {
			return r, nil
		}
		next, lower, share := p.along(flat, move, sh, energy)
		if share == 0 {
			damping *= 30
			continue
		}
		copy(flat, next)
		energy = lower
		past = append(past, energy)
		if n := len(past) - 1 - slowSteps; n >= 0 && past[n]-energy < slowGain*energy {
			r.atRest = true
			return r, nil
		}
		if damping = max(damping/10, lightDamping); share < shortStep {
			damping = max(100*damping, 10*firmDamping)
		}
	}
	return r, nil
}

// step returns the full step and the energy that the quadratic model loses over
// it; no step where the matrix is not positive definite.
func (p *problem) step(ctx context.Context, flat []r2.Vec, sh sheet, damping float64) (move [][2]float64, gain float64, err error) {
	right := p.assemble(flat, sh, damping)
	var loose *num.Indefinite
	if err := p.factors.Factor(ctx); errors.As(err, &loose) {
		return nil, 0, nil
	} else if err != nil {
		return nil, 0, err
	}
	x := p.factors.Solve(right)
	move = make([][2]float64, len(flat))
	for v := range move {
		move[v] = [2]float64{x[2*v], x[2*v+1]}
		gain += (right[2*v]*x[2*v] + right[2*v+1]*x[2*v+1]) / 2
	}
	if math.IsNaN(gain) || math.IsInf(gain, 0) {
		return nil, 0, nil
	}
	return move, gain, nil
}

// idles tells whether a full step, against the mean side, and the energy it
// would gain are too small to matter.
func (p *problem) idles(step, gain, energy float64) bool {
	return step < settled || step < drifting && gain < idle*energy
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
