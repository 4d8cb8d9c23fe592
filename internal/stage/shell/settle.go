package shell

import (
	"context"
	"errors"
	"math"

	"laywright/internal/base/sparse"
)

// large is a search in progress.
type large struct {
	s         *Solver
	from, to  level
	size      float64 // of the largest load that was borne; at first of the least that can be told from rounding
	followers []follower
	room      *stiffness
}

// stiffness is that of a stance, factored. Searches share it.
type stiffness struct {
	matrix *sparse.Matrix
	factor *sparse.Cholesky
	of     *stance // nil: of none
}

func (s *Solver) newLarge() *large {
	l := &large{s: s, from: s.level(Push{Load: s.NoLoad()})}
	l.room = &stiffness{matrix: s.matrix.Like()}
	l.room.factor = sparse.NewCholesky(l.room.matrix, s.model.Mesh.Vertices)
	l.followers = make([]follower, len(s.elements))
	for i := range s.elements {
		l.followers[i].set(&s.elements[i])
	}
	l.size = l.rounding() / balanced
	return l
}

// rounding is about what the forces err by because places are kept to so many
// digits: stiffness times the last digit of the largest coordinate.
func (l *large) rounding() float64 {
	var far, stiff float64
	for _, v := range l.s.model.Mesh.Vertices {
		far = max(far, math.Abs(v.X), math.Abs(v.Y), math.Abs(v.Z))
	}
	for i := range l.followers {
		for c := 0; c < 18; c += 6 {
			k := l.followers[i].k[19*c]
			stiff += k * k
		}
	}
	const digit = 0x1p-52
	return digit * far * math.Sqrt(stiff)
}

// slow is how much of a residual may be left after an iteration with an old
// stiffness; where it is more the stiffness is made anew.
const slow = 0.3

// settle iterates at a share of the load, from a state in balance at another, with
// a stiffness that was factored before while it serves. A residual above what is
// allowed means that it did not settle, or not where the wall is stable.
func (l *large) settle(ctx context.Context, t *stance, from, share float64) (_ *stance, n int, residual float64, err error) {
	at, start := l.between(share), l.between(from)
	if at.same(&start) {
		return t, 0, 0, nil
	}
	none := math.Inf(1)
	factor := l.s.factor
	if l.room.of == t {
		factor = l.room.factor
	}
	// It goes out with the stiffness of the state it starts from: heat that has
	// found no way out yet would press the wall as if it buckled.
	level, renew := &start, false
	rest, size := l.balance(t, &at)
	residual = norm(rest) / size
	for first := residual; residual > balanced || n == 0; {
		if n++; n > maxStepIterations || !(residual <= 1e6*(1+first)) {
			return t, n, none, nil // far from balance the forces of stretch are large; far beyond is lost
		}
		if renew {
			stable, err := l.stiffen(ctx, t, level)
			if !stable || err != nil {
				return t, n, none, err
			}
			factor = l.room.factor
		}
		next := t.clone()
		next.advance(l.s.spread(factor.Solve(rest)))
		ahead, size := l.balance(next, &at)
		left := norm(ahead) / size
		if !renew && !(left <= slow*residual || n == 1 && left <= residual) {
			renew = true // and try again from here
			continue
		}
		renew = renew && left > slow*residual
		t, rest, residual, level = next, ahead, left, &at
	}
	stable, err := l.stiffen(ctx, t, &at)
	if !stable || err != nil {
		return t, n, none, err
	}
	l.size = max(l.size, size)
	return t, n, residual, nil
}

// stiffen factors the stiffness of a stance under a load, and tells whether the
// wall is stable there.
func (l *large) stiffen(ctx context.Context, t *stance, under *level) (bool, error) {
	l.room.of = nil
	l.tangent(t, under)
	err := l.room.factor.Factor(ctx)
	if loose := new(sparse.Indefinite); errors.As(err, &loose) {
		return false, nil
	}
	if err == nil {
		l.room.of = t
	}
	return err == nil, err
}

func norm(x []float64) float64 {
	var sum float64
	for _, v := range x {
		sum += v * v
	}
	return math.Sqrt(sum)
}
