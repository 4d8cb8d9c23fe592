package shell

import (
	"runtime"
	"slices"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"
)

// level is a push made ready.
type level struct {
	dead, held []float64 // the load that keeps its direction, on the unknowns and in x, y, z at all vertices
	follow     float64
	free       Free
}

func (s *Solver) level(p Push) level {
	dead := p.Load
	dead.Free = Free{}
	l := level{dead: s.gather(dead), follow: float64(p.Follow), free: p.Free}
	for _, f := range p.Force {
		l.held = append(l.held, f.X, f.Y, f.Z)
	}
	return l
}

// between is the level at a share of the way.
func (l *large) between(share float64) level {
	return level{
		dead:   lerps(l.from.dead, l.to.dead, share),
		held:   lerps(l.from.held, l.to.held, share),
		follow: lerp(l.from.follow, l.to.follow, share),
		free:   l.from.free.Times(1 - share).Plus(l.to.free.Times(share)),
	}
}

func lerps(a, b []float64, share float64) []float64 {
	out := make([]float64, len(a))
	for i := range out {
		out[i] = lerp(a[i], b[i], share)
	}
	return out
}

func (a *level) same(b *level) bool {
	return a.follow == b.follow && a.free == b.free && slices.Equal(a.dead, b.dead)
}

func lerp(a, b, share float64) float64 { return (1-share)*a + share*b }

// chunk is how many triangles answer between two rounds of adding up.
const chunk = 512

// each has triangles answer on all cores, and adds their answers up in their order,
// so that the sum does not depend on the cores.
func each[A any](followers []follower, answer func(f *follower, to *A), add func(f *follower, a *A)) {
	answers := make([]A, min(chunk, len(followers)))
	parts := runtime.GOMAXPROCS(0)
	for from := 0; from < len(followers); from += chunk {
		some := followers[from:min(from+chunk, len(followers))]
		var wait sync.WaitGroup
		for p := range parts {
			wait.Go(func() {
				for i := len(some) * p / parts; i < len(some)*(p+1)/parts; i++ {
					answer(&some[i], &answers[i])
				}
			})
		}
		wait.Wait()
		for i := range some {
			add(&some[i], &answers[i])
		}
	}
}

// balance returns the forces out of balance in a stance under a load, and the
// load's size, or that of the largest before.
func (l *large) balance(t *stance, under *level) (rest []float64, size float64) {
	rest, load := slices.Clone(under.dead), slices.Clone(under.dead)
	each(l.followers, func(f *follower, a *[2]row18) {
		*a = f.answer(t, under)
	}, func(f *follower, a *[2]row18) {
		for d, u := range l.s.unknowns(f.e) {
			if u >= 0 {
				rest[u] -= a[0][d]
				load[u] += a[1][d]
			}
		}
	})
	for _, p := range l.s.model.Springs {
		pull := p.Pulls(r3.Sub(t.at[p.Vertex], l.s.model.Mesh.Vertices[p.Vertex]))
		for d, x := range [3]float64{pull.X, pull.Y, pull.Z} {
			if u := l.s.index[6*int(p.Vertex)+d]; u >= 0 {
				rest[u] -= x
			}
		}
	}
	return rest, max(norm(load), l.size)
}

// answer returns in space the forces that hold a triangle less those that push it,
// and those that push it.
func (f *follower) answer(t *stance, under *level) [2]row18 {
	p := f.poseIn(t)
	own := f.pushed(under.free)
	inner, push := f.forces(&p, &own), p.pressure(under.follow)
	addRow(&inner, -1, &push)
	addRow(&push, 1, &own)
	return [2]row18{p.axes.out(&inner), p.axes.out(&push)}
}

// tangent fills the matrix with how the forces change in a stance under a load.
func (l *large) tangent(t *stance, under *level) {
	l.room.matrix.Clear()
	each(l.followers, func(f *follower, a *[18 * 18]float64) {
		p := f.poseIn(t)
		own := f.pushed(under.free)
		k := f.change(&p, &own)
		p.addPressureChange(&k, under.follow)
		p.axes.outBoth(&k, a)
	}, func(f *follower, k *[18 * 18]float64) {
		l.room.matrix.Add(l.s.unknowns(f.e), k[:])
	})
	l.s.addSprings(l.room.matrix)
}

// poseIn finds a triangle's pose where its vertices are now.
func (f *follower) poseIn(t *stance) pose {
	n := f.e.nodes
	return f.pose([3]r3.Vec{t.at[n[0]], t.at[n[1]], t.at[n[2]]}, [3]*frame{&t.turned[n[0]], &t.turned[n[1]], &t.turned[n[2]]})
}

// pressure returns the forces of pressure p on the moved triangle.
//
//	F = (p/6)·a×b at each corner
func (p *pose) pressure(pressure float64) (push row18) {
	a, b := r3.Sub(p.at[1], p.at[0]), r3.Sub(p.at[2], p.at[0])
	for c := range 3 {
		push[6*c+2] = pressure / 6 * (a.X*b.Y - a.Y*b.X)
	}
	return push
}

// addPressureChange takes the change of the forces of pressure, made symmetric,
// from k: what is left out of it vanishes for a wall that is held all round.
//
//	δF = δx_c × (p/6)·(x_c+1 − x_c+2)
func (p *pose) addPressureChange(k *[18 * 18]float64, pressure float64) {
	for c := range 3 {
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
}
