package drape

import (
	"context"
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/sparse"
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
	slowSteps = 4
	slowGain  = 0.01
)

// A descent takes at most mostSteps, on large surfaces as many as make stepWork
// vertices moved, and leastSteps at least: what needs more is cloth that has
// collapsed, and no better answer is worth the wait. What it has come to by then
// is kept: every step goes down.
const (
	mostSteps  = 80
	leastSteps = 16
	stepWork   = 600_000
)

// stepsOn returns the limit for a surface of so many vertices.
func stepsOn(vertices int) int {
	return max(leastSteps, min(mostSteps, stepWork/max(1, vertices)))
}

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

// A step with the factor of the step before costs a small part of one with its
// own. It is tried where that step, against the mean side, was shorter than
// nearRest and could be gone whole, and used if it is shorter again by quicker.
const (
	nearRest = 0.5
	quicker  = 0.3
)

// descend moves the flat places to the least energy by Gauss and Newton's
// method with damping, and never turns a triangle over if the sheet's energy
// forbids it. The places are the best found, however it ends; the error is that
// of a call that was given up.
func (p *problem) descend(ctx context.Context, flat []r2.Vec, sh sheet, steps int) (report, error) {
	damping := lightDamping
	energy := p.energy(flat, sh)
	past := []float64{energy}
	r := report{residual: math.Inf(1)}
	again := p.factorOf == sh && p.damping == damping
	for ; r.steps < steps && damping <= mostDamping; r.steps++ {
		move, gain, err := p.step(ctx, flat, sh, damping, again)
		if err != nil {
			return r, err
		}
		size := longest(move) / p.s.edge
		if again && !(move != nil && size <= quicker*r.residual) {
			again = false
			r.steps--
			continue
		}
		if move == nil {
			damping *= 10
			continue
		}
		r.residual = size
		if r.atRest = p.idles(size, gain, energy); r.atRest {
			return r, nil
		}
		next, lower, share := p.along(flat, move, sh, energy)
		if share == 0 && again {
			again = false
			r.steps--
			continue
		}
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
		again = share == 1 && size < nearRest && damping == lightDamping
		if damping = max(damping/10, lightDamping); share < shortStep {
			damping = max(100*damping, 10*firmDamping)
		}
	}
	return r, nil
}

// step returns the full step and the energy that the quadratic model loses over
// it, again with the factor there is or with one of its own; no step where the
// matrix is not positive definite.
func (p *problem) step(ctx context.Context, flat []r2.Vec, sh sheet, damping float64, again bool) (move []r2.Vec, gain float64, err error) {
	var right []float64
	if again {
		right, err = p.downhill(flat, sh), ctx.Err()
	} else {
		right, err = p.factor(ctx, flat, sh, damping)
	}
	var loose *sparse.Indefinite
	if errors.As(err, &loose) {
		return nil, 0, nil
	} else if err != nil {
		return nil, 0, err
	}
	x := p.factors.Solve(right)
	move = make([]r2.Vec, len(flat))
	for v := range move {
		move[v] = r2.Vec{X: x[2*v], Y: x[2*v+1]}
		gain += (right[2*v]*x[2*v] + right[2*v+1]*x[2*v+1]) / 2
	}
	if math.IsNaN(gain) || math.IsInf(gain, 0) {
		return nil, 0, nil
	}
	return move, gain, nil
}

// factor factors the matrix, unless the factor there is is the same, and returns
// the downhill gradient. With each triangle's turn held the matrix does not
// change.
func (p *problem) factor(ctx context.Context, flat []r2.Vec, sh sheet, damping float64) ([]float64, error) {
	_, still := sh.(rigid)
	if still && p.factorOf == sh && p.damping == damping {
		return p.downhill(flat, sh), ctx.Err()
	}
	right := p.assemble(flat, sh, damping)
	p.factorOf = nil
	err := p.factors.Factor(ctx)
	if err == nil {
		p.factorOf, p.damping = sh, damping
	}
	return right, err
}

// idles tells whether a full step, against the mean side, and the energy it
// would gain are too small to matter.
func (p *problem) idles(step, gain, energy float64) bool {
	return step < settled || step < drifting && gain < idle*energy
}

// along goes as far along the move as lowers the energy, at most the whole way,
// and tells which share of the way that was; 0: none.
func (p *problem) along(flat, move []r2.Vec, sh sheet, energy float64) ([]r2.Vec, float64, float64) {
	t := 1.0
	if sh.foldsFree() {
		t = min(1, 0.9*p.room(flat, move))
	}
	next := make([]r2.Vec, len(flat))
	for range 12 {
		for i, q := range flat {
			next[i] = r2.Vec{X: q.X + t*move[i].X, Y: q.Y + t*move[i].Y}
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
func (p *problem) room(flat, move []r2.Vec) float64 {
	return leastOf(len(p.s.Triangles), func(from, to int) float64 {
		least := math.Inf(1)
		for f := from; f < to; f++ {
			if p.s.flat(f) {
				continue
			}
			g, h := p.s.gradientOf(f, flat), p.s.gradientOf(f, move)
			// det(g + t·h) = c + b·t + a·t²
			a, b, c := h.det(), g.a*h.d+h.a*g.d-g.b*h.c-h.b*g.c, g.det()
			least = min(least, firstRoot(a, b, c))
		}
		return least
	})
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

func longest(move []r2.Vec) float64 {
	var most float64
	for _, m := range move {
		if most = max(most, r2.Norm2(m)); math.IsNaN(most) { // max hands a NaN on
			break
		}
	}
	return math.Sqrt(most)
}
