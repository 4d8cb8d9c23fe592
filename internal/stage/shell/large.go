package shell

import (
	"context"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// Push is what acts on a wall that moves far: a load that keeps its direction,
// and a pressure along the moved wall's own outward normal.
type Push struct {
	Load
	Follow si.Pressure
}

// Moved is the answer to a push: how far the vertices moved, and what they turned
// by as rotation vectors.
type Moved struct {
	Motion
	Reached    float64 // share of the push that is in balance: 1, or less where the search failed
	Steps      int     // of the load
	Iterations int     // in all
	Residual   float64 // forces out of balance at the end, as a share of the load

	search *large
	place  *stance
}

// Limits of the search: iterations in one step of the load and in all, the
// residual allowed, and the shortest step, as a share of the load.
const (
	maxStepIterations = 40
	maxIterations     = 1000
	balanced          = 1e-6
	shortestStep      = 1.0 / 512
)

// Large returns the motion under a push with large motions and small strains, by
// Newton's iteration in steps of the load, the first one of so many equal ones; a
// step that does not settle is halved. Each step ends where the wall is stable. A
// wall that snaps through on the way has no answer near, and that is an error, as is
// a search that runs out; what was reached then comes with it.
//
// Source: [felippa2005] (triangles that follow the motion).
func (s *Solver) Large(ctx context.Context, p Push, steps int) (Moved, error) {
	l := s.newLarge()
	l.to = s.level(p)
	return l.reach(ctx, s.rest(), steps)
}

// Further returns the motion under another push, the load going over from the one
// to the other in even steps. Searches that go on from one answer share their room:
// one after the other, not at the same time.
func (m *Moved) Further(ctx context.Context, p Push, steps int) (Moved, error) {
	l := *m.search
	l.from, l.to = l.to, l.s.level(p)
	return l.reach(ctx, m.place, steps)
}

// reach follows the load from a state to its end.
func (l *large) reach(ctx context.Context, state *stance, steps int) (out Moved, err error) {
	step := 1 / float64(max(1, steps))
	for out.Reached < 1 && err == nil {
		next := math.Min(1, out.Reached+step)
		if 1-next < shortestStep {
			next = 1
		}
		trial, n, residual, failed := l.settle(ctx, state.clone(), out.Reached, next)
		out.Iterations += n
		switch {
		case failed != nil:
			err = failed
		case residual <= balanced:
			state, out.Reached, out.Residual = trial, next, residual
			out.Steps++
			if n <= maxStepIterations/4 {
				step *= 2
			}
		default:
			if step /= 2; step < shortestStep || out.Iterations > maxIterations {
				err = &fault.NoSolution{What: "large motion", Steps: out.Iterations, Residual: residual, Limit: balanced,
					Do: "lower the load or stiffen the wall: it may snap through at this share of the load"}
			}
		}
	}
	out.Motion = state.motion(l.s.model.Mesh.Vertices)
	out.search, out.place = l, state
	return out, err
}

// Strains returns how triangle f is strained.
func (m *Moved) Strains(f int) Answer {
	e := m.search.followers[f].e
	p := m.search.followers[f].poseIn(m.place)
	rows := e.localRows()
	return e.strained(&rows, &p.q)
}

// Reactions returns what holds and springs push the vertices with, N; others have
// none.
func (m *Moved) Reactions() []r3.Vec {
	l := m.search
	under := l.between(m.Reached)
	sum := make([]r3.Vec, len(l.s.model.Held))
	each(l.followers, func(f *follower) row18 {
		p := f.poseIn(m.place)
		own := f.pushed(under.free)
		inner, push := f.forces(&p, &own), p.pressure(under.follow)
		addRow(&inner, -1, &push)
		return p.axes.out(&inner)
	}, func(f *follower, a *row18) {
		for c, v := range f.e.nodes {
			sum[v] = r3.Add(sum[v], r3.Vec{X: a[6*c], Y: a[6*c+1], Z: a[6*c+2]})
		}
	})
	anchored := l.s.model.anchored()
	for v := range sum {
		if !anchored[v] {
			sum[v] = r3.Vec{}
			continue
		}
		if l.from.push != nil {
			sum[v] = r3.Sub(sum[v], r3.Scale(1-m.Reached, l.from.push.Force[v]))
		}
		sum[v] = r3.Sub(sum[v], r3.Scale(m.Reached, l.to.push.Force[v]))
	}
	return sum
}

// stance is where the vertices are and how they are turned.
type stance struct {
	at     []r3.Vec
	turned []frame
}

func (t *stance) clone() *stance {
	return &stance{append([]r3.Vec(nil), t.at...), append([]frame(nil), t.turned...)}
}

func (t *stance) motion(from []r3.Vec) Motion {
	m := Motion{Move: make([]r3.Vec, len(from)), Turn: make([]r3.Vec, len(from))}
	for v := range from {
		m.Move[v], m.Turn[v] = r3.Sub(t.at[v], from[v]), t.turned[v].vector()
	}
	return m
}

// advance moves and turns the vertices further.
func (t *stance) advance(m Motion) {
	for v := range t.at {
		t.at[v] = r3.Add(t.at[v], m.Move[v])
		t.turned[v].spin(m.Turn[v])
	}
}

func (s *Solver) rest() *stance {
	at := append([]r3.Vec(nil), s.model.Mesh.Vertices...)
	t := &stance{at, make([]frame, len(at))}
	for v := range t.turned {
		t.turned[v] = frame{{X: 1}, {Y: 1}, {Z: 1}}
	}
	return t
}
