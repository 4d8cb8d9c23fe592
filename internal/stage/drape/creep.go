package drape

import (
	"context"
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/sparse"
)

// A creep is at rest when its full step is below stiff, against the mean side of a
// triangle. It remembers so many steps, and factors the matrix anew after so many.
const (
	stiff    = 1e-5
	memory   = 8
	refactor = 40
)

// creep moves the flat places to the least energy by the method of Broyden,
// Fletcher, Goldfarb and Shanno with short memory, from the matrix of Gauss and
// Newton: for a sheet whose energy that matrix takes for too soft or too stiff
// all over, so that [problem.descend] would need many steps and a factor for
// each. A film on strongly curved ground is such, since the turn of its triangles
// costs more the more they are stretched.
//
// Source: [nocedal1980].
func (p *problem) creep(ctx context.Context, flat []r2.Vec, sh sheet, steps int) (report, error) {
	rep := report{residual: math.Inf(1)}
	energy := p.energy(flat, sh)
	var past quasi
	var down []float64
	for ; rep.steps < steps; rep.steps++ {
		if rep.steps%refactor == 0 || down == nil {
			var err error
			if down, err = p.firmly(ctx, flat, sh); err != nil {
				return rep, err
			}
			past = quasi{}
		}
		move := past.step(down, p.factors.Solve)
		if rep.residual = longest(move) / p.s.edge; rep.residual < stiff {
			rep.atRest = true
			return rep, ctx.Err()
		}
		next, lower, share := p.along(flat, move, sh, energy)
		if share == 0 {
			if len(past.moved) == 0 { // no step goes down any more: as low as numbers tell
				rep.atRest = rep.residual < settled
				return rep, ctx.Err()
			}
			down = nil
			continue
		}
		after := p.downhill(next, sh)
		past.remember(flat, next, down, after)
		copy(flat, next)
		energy, down = lower, after
	}
	return rep, ctx.Err()
}

// firmly factors the matrix, damped until it can be, and returns the slope
// downhill.
func (p *problem) firmly(ctx context.Context, flat []r2.Vec, sh sheet) ([]float64, error) {
	for damping := lightDamping; ; damping *= 10 {
		down, err := p.factor(ctx, flat, sh, damping)
		var loose *sparse.Indefinite
		if !errors.As(err, &loose) || damping > mostDamping {
			return down, err
		}
	}
}

// quasi is the memory of the last steps: how far the places moved and how much
// the slope grew.
type quasi struct{ moved, grown [][]float64 }

// remember keeps a step, if the slope has grown along it.
func (q *quasi) remember(flat, next []r2.Vec, down, after []float64) {
	s, y := make([]float64, len(down)), make([]float64, len(down))
	for v := range flat {
		s[2*v], s[2*v+1] = next[v].X-flat[v].X, next[v].Y-flat[v].Y
	}
	for i := range y {
		y[i] = down[i] - after[i]
	}
	if !(dot(s, y) > 0) {
		return
	}
	q.moved, q.grown = append(q.moved, s), append(q.grown, y)
	if len(q.moved) > memory {
		q.moved, q.grown = q.moved[1:], q.grown[1:]
	}
}

// step returns the step to where the slope would be none.
func (q *quasi) step(down []float64, solve func([]float64) []float64) []r2.Vec {
	x := append([]float64(nil), down...)
	share := make([]float64, len(q.moved))
	for i := len(q.moved) - 1; i >= 0; i-- {
		share[i] = dot(q.moved[i], x) / dot(q.moved[i], q.grown[i])
		addTo(x, -share[i], q.grown[i])
	}
	x = solve(x)
	for i := range q.moved {
		back := dot(q.grown[i], x) / dot(q.moved[i], q.grown[i])
		addTo(x, share[i]-back, q.moved[i])
	}
	move := make([]r2.Vec, len(x)/2)
	for v := range move {
		move[v] = r2.Vec{X: x[2*v], Y: x[2*v+1]}
	}
	return move
}

func dot(a, b []float64) float64 {
	var sum float64
	for i, x := range a {
		sum += x * b[i]
	}
	return sum
}

func addTo(x []float64, share float64, y []float64) {
	for i := range x {
		x[i] += share * y[i]
	}
}
