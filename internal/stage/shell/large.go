package shell

import (
	"context"
	"errors"
	"math"
	"runtime"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/base/sparse"
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
	maxStepIterations = 15
	maxIterations     = 400
	balanced          = 1e-6
	shortestStep      = 1.0 / 512
)

// Large returns the motion under a push with large motions and small strains, by
// Newton's iteration in steps of the load, the first one of so many equal ones; a
// step that does not settle is halved. A wall that snaps through on the way has no
// answer near, and that is an error, as is a search that runs out; what was reached
// then comes with it.
//
// Source: [felippa2005] (triangles that follow the motion).
func (s *Solver) Large(ctx context.Context, p Push, steps int) (Moved, error) {
	l := s.newLarge()
	l.to = s.level(p)
	return l.reach(ctx, l.rest(), steps)
}

// Further returns the motion under another push, the load going over from the one
// to the other in even steps.
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
		trial, n, residual, failed := l.settle(ctx, state.clone(), next)
		out.Iterations += n
		switch {
		case failed != nil:
			err = failed
		case residual <= balanced:
			state, out.Reached, out.Residual = trial, next, residual
			out.Steps++
			if n <= maxStepIterations/3 {
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
	at := l.between(m.Reached)
	sum := make([]r3.Vec, len(l.s.model.Held))
	for i := range l.followers {
		var a answered
		a.fill(&l.followers[i], m.place, &at)
		for c, v := range l.followers[i].e.nodes {
			sum[v] = r3.Add(sum[v], r3.Vec{X: a.inner[6*c], Y: a.inner[6*c+1], Z: a.inner[6*c+2]})
		}
	}
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

// level is a push made ready.
type level struct {
	dead   []float64 // the load that keeps its direction
	follow float64
	free   Free
	push   *Push
}

func (s *Solver) level(p Push) level {
	dead := p.Load
	dead.Free = Free{}
	return level{s.gather(dead), float64(p.Follow), p.Free, &p}
}

// between is the level at a share of the way.
func (l *large) between(share float64) level {
	out := level{dead: make([]float64, len(l.to.dead)), follow: lerp(l.from.follow, l.to.follow, share),
		free: l.from.free.Times(1 - share).Plus(l.to.free.Times(share))}
	for i := range out.dead {
		out.dead[i] = lerp(l.from.dead[i], l.to.dead[i], share)
	}
	return out
}

func lerp(a, b, share float64) float64 { return (1-share)*a + share*b }

// large is a search in progress.
type large struct {
	s         *Solver
	from, to  level
	followers []follower
	matrix    *sparse.Matrix
	factor    *sparse.Cholesky
}

func (s *Solver) newLarge() *large {
	l := &large{s: s, matrix: s.matrix.Like(), from: level{dead: make([]float64, s.Unknowns())}}
	l.factor = sparse.NewCholesky(l.matrix, s.model.Mesh.Vertices)
	for i := range s.elements {
		l.followers = append(l.followers, newFollower(&s.elements[i]))
	}
	return l
}

func (l *large) rest() *stance {
	at := append([]r3.Vec(nil), l.s.model.Mesh.Vertices...)
	t := &stance{at, make([]frame, len(at))}
	for v := range t.turned {
		t.turned[v] = frame{{X: 1}, {Y: 1}, {Z: 1}}
	}
	return t
}

// settle iterates at a share of the load. A residual above what is allowed means
// that it did not settle.
func (l *large) settle(ctx context.Context, t *stance, share float64) (_ *stance, n int, residual float64, err error) {
	first := math.Inf(1)
	for n = 0; ; n++ {
		rest, size := l.balance(t, share)
		if norm(rest) == 0 { // nothing pushes
			return t, n, 0, nil
		}
		residual = norm(rest) / size
		if n == 0 {
			first = residual
		}
		if n > 0 && residual <= balanced {
			return t, n, residual, nil
		}
		// far from balance the forces of stretch are large; far beyond is lost
		if n == maxStepIterations || !(residual <= 1e6*(1+first)) {
			return t, n, math.Inf(1), nil
		}
		if err = l.factor.Factor(ctx); err != nil {
			if loose := new(sparse.Indefinite); errors.As(err, &loose) {
				return t, n, math.Inf(1), nil
			}
			return t, n, residual, err
		}
		t.advance(l.s.spread(l.factor.Solve(rest)))
	}
}

// chunk is how many triangles are answered between two rounds of adding up.
const chunk = 512

// balance returns the forces out of balance and the size of the load, and fills
// the matrix with their change. Triangles answer on all cores; they are added up
// in their order, so that the sum does not depend on the cores.
func (l *large) balance(t *stance, share float64) (rest []float64, size float64) {
	at := l.between(share)
	rest, load := at.dead, append([]float64(nil), at.dead...)
	l.matrix.Clear()
	var answers [chunk]answered
	for from := 0; from < len(l.followers); from += chunk {
		some := l.followers[from:min(from+chunk, len(l.followers))]
		parts := runtime.GOMAXPROCS(0)
		var wait sync.WaitGroup
		for p := range parts {
			wait.Go(func() {
				for i := len(some) * p / parts; i < len(some)*(p+1)/parts; i++ {
					answers[i].fill(&some[i], t, &at)
				}
			})
		}
		wait.Wait()
		for i := range some {
			index := l.s.unknowns(some[i].e)
			for d, u := range index {
				if u >= 0 {
					rest[u] -= answers[i].inner[d]
					load[u] += answers[i].push[d]
				}
			}
			l.matrix.Add(index, answers[i].change[:])
		}
	}
	for _, p := range l.s.model.Springs {
		index, k := l.s.index[6*p.Vertex:6*p.Vertex+3], p.stiffness()
		pull := p.Pulls(r3.Sub(t.at[p.Vertex], l.s.model.Mesh.Vertices[p.Vertex]))
		for d, x := range [3]float64{pull.X, pull.Y, pull.Z} {
			if u := index[d]; u >= 0 {
				rest[u] -= x
			}
		}
		l.matrix.Add(index, k[:])
	}
	return rest, norm(load)
}

// answered is a triangle's share of the balance, in space.
type answered struct {
	inner, push row18 // forces that hold it less those that push it; those that push it
	change      [18 * 18]float64
}

func (a *answered) fill(f *follower, t *stance, at *level) {
	p := f.poseIn(t)
	own := f.pushed(at.free)
	inner, change := f.answer(&p, &own)
	push := addPressure(&change, &p, at.follow)
	addRow(&inner, -1, &push)
	addRow(&push, 1, &own)
	a.inner, a.push, a.change = p.axes.out(&inner), p.axes.out(&push), p.axes.outBoth(&change)
}

// poseIn finds a triangle's pose where its vertices are now.
func (f *follower) poseIn(t *stance) pose {
	n := f.e.nodes
	return f.pose([3]r3.Vec{t.at[n[0]], t.at[n[1]], t.at[n[2]]}, [3]*frame{&t.turned[n[0]], &t.turned[n[1]], &t.turned[n[2]]})
}

// addPressure returns the forces of pressure on the moved triangle, and takes their
// change, made symmetric, from k: what is left out of it vanishes for a wall that
// is held all round.
//
//	F = (p/6)·a×b at each corner    δF = δx_c × (p/6)·(x_c+1 − x_c+2)
func addPressure(k *[18 * 18]float64, p *pose, pressure float64) (push row18) {
	a, b := r3.Sub(p.at[1], p.at[0]), r3.Sub(p.at[2], p.at[0])
	for c := range 3 {
		push[6*c+2] = pressure / 6 * (a.X*b.Y - a.Y*b.X)
		d := r3.Scale(pressure/12, r3.Sub(p.at[(c+1)%3], p.at[(c+2)%3]))
		rows := [3][3]float64{{0, d.Z, -d.Y}, {-d.Z, 0, d.X}, {d.Y, -d.X, 0}}
		for at := 0; at < 18; at += 6 {
			for i := range 3 {
				for j := range 3 {
					k[(at+i)*18+6*c+j] -= rows[i][j]
					k[(6*c+j)*18+at+i] -= rows[i][j]
				}
			}
		}
	}
	return push
}

func norm(x []float64) float64 {
	var sum float64
	for _, v := range x {
		sum += v * v
	}
	return math.Sqrt(sum)
}
