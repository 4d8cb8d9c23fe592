package nest

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"laywright/internal/base/geom"
)

func randomState(t *testing.T, seed uint64) (*state, *rand.Rand) {
	return scattered(stripOf(t, 1, stars(seed, 5, 4)...), seed)
}

// scattered throws all copies of a strip onto 1.2 m by lot.
func scattered(s *strip, seed uint64) (*state, *rand.Rand) {
	rng := rand.New(rand.NewPCG(seed, 1))
	at := make([]spot, len(s.ways))
	st := newState(s, at, 1.2)
	for i := range at {
		p := s.ways[i][rng.IntN(len(s.ways[i]))]
		x0, x1, y0, y1 := st.room(p)
		at[i] = spot{p, x0 + rng.Float64()*(x1-x0), y0 + rng.Float64()*(y1-y0)}
	}
	st.reset(at, 1.2)
	return st, rng
}

// What the state keeps while copies move equals what a fresh look at every
// pair gives, and weigh is the sum over the row.
func TestStateKeepsBooks(t *testing.T) {
	st, rng := randomState(t, 21)
	n := len(st.at)
	for range 100 {
		i := int32(rng.IntN(n))
		x0, x1, y0, y1 := st.room(st.at[i].pose)
		st.put(i, spot{st.at[i].pose, x0 + rng.Float64()*(x1-x0), y0 + rng.Float64()*(y1-y0)})
	}
	var sum float64
	for i, a := range st.at {
		var row float64
		for c, b := range st.at {
			want := 0.0
			p, q := st.poses[a.pose], st.poses[b.pose]
			dx, dy := b.x-a.x, b.y-a.y
			if i != c && math.Abs(dx) < p.hx+q.hx && math.Abs(dy) < p.hy+q.hy {
				want = st.between(a.pose, b.pose, dx, dy)
			}
			near(t, "kept overlap", float64(st.loss[i*n+c]), want, 1e-6*want)
			row += want
		}
		sum += row / 2
		near(t, "weighed", st.weigh(int32(i), a, math.Inf(1)), row, 1e-6*row)
	}
	plain, weighted := st.total()
	near(t, "total", plain, sum, 1e-6*sum)
	near(t, "weighted total", weighted, sum, 1e-6*sum)
}

// Weights grow by 1.2 to 2 where pieces overlap and never fall below 1.
func TestReweigh(t *testing.T) {
	st, _ := randomState(t, 22)
	st.reweigh()
	var most float32
	for k, w := range st.heavy {
		most = max(most, w)
		if over := st.loss[k] > 0; over && (w < 1.2 || w > 2) || !over && w != 1 {
			t.Fatalf("weight %g at overlap %g", w, st.loss[k])
		}
	}
	near(t, "weight of the worst pair", float64(most), 2, 1e-6)
	for range 100 {
		st.reweigh()
	}
	if _, w := st.total(); math.IsInf(w, 0) || math.IsNaN(w) {
		t.Errorf("a hundred rounds without success weigh %g", w)
	}
	clear(st.loss)
	for range 400 {
		st.reweigh()
	}
	for _, w := range st.heavy {
		if w != 1 {
			t.Fatalf("weight %g does not fade to 1", w)
		}
	}
}

// Seeking never makes a copy worse off, and stays on the roll.
func TestSeekGains(t *testing.T) {
	st, rng := randomState(t, 23)
	for i := range st.at {
		before := st.weigh(int32(i), st.at[i], math.Inf(1))
		got := st.seek(int32(i), rng)
		if got.loss > before {
			t.Errorf("copy %d went from %g to %g", i, before, got.loss)
		}
		near(t, "reported", got.loss, st.weigh(int32(i), got.spot, math.Inf(1)), 1e-9)
		if got.spot != st.clamp(got.spot) {
			t.Errorf("copy %d leaves the roll", i)
		}
	}
}

// A peg fits its slot exactly: the leftmost place of a peg 0.2 wide is at the
// bottom of the slot 0.2 wide, and in front of the block at any other height.
func TestLeftmostFindsTheSlot(t *testing.T) {
	block := geom.Polygon{{}, {X: 0.3}, {X: 0.3, Y: 0.4}, {X: 0.1, Y: 0.4}, {X: 0.1, Y: 0.6}, {X: 0.3, Y: 0.6}, {X: 0.3, Y: 1}, {Y: 1}}
	s := stripOf(t, 1, Piece{Name: "block", Count: 1, Outline: block}, Piece{Name: "peg", Count: 1, Outline: geom.Rect(0, 0, 0.25, 0.2)})
	st := newState(s, []spot{{0, 0.15, 0.5}, {1, 5, 0.5}}, 10)
	first := []int32{0}
	near(t, "in the slot", st.leftmost(1, 1, 0.5, 0.125, first), 0.1+0.125, 1e-9)
	near(t, "beside it", st.leftmost(1, 1, 0.5+1e-6, 0.125, first), 0.3+0.125, 1e-9)
	near(t, "above it", st.leftmost(1, 1, 0.8, 0.125, first), 0.3+0.125, 1e-9)
}

// Two right triangles with the same slope slide together until they touch all
// along it: at height difference d the shift is d times the slope's run.
func TestLeftmostAlongASlope(t *testing.T) {
	tri := geom.Polygon{{}, {X: 0.4}, {Y: 0.2}}
	s := stripOf(t, 1, Piece{Name: "a", Count: 2, Turns: halfTurns, Outline: tri})
	st := newState(s, []spot{{0, 0.2, 0.1}, {1, 5, 0.1}}, 10)
	for _, d := range []float64{0, 0.05, 0.15} {
		near(t, "touching on the slope", st.leftmost(1, 1, 0.1+d, -0.15, []int32{0}), 0.2-2*d, 1e-8)
	}
}

// After sliding nothing overlaps, no copy can go farther, and the length has
// not grown.
func TestSlideLeft(t *testing.T) {
	s := stripOf(t, 1, stars(24, 5, 4)...)
	st, err := bottomLeft(context.Background(), s)
	if err != nil {
		t.Fatal(err)
	}
	before := st.extent()
	for i := range st.at { // draw everything apart
		st.at[i].x *= 1.5
	}
	st.reset(st.at, 1.5*before)
	if err := st.slideLeft(context.Background()); err != nil {
		t.Fatal(err)
	}
	if loss, _ := st.total(); loss != 0 {
		t.Errorf("sliding left an overlap of %g", loss)
	}
	if st.extent() > 1.05*before {
		t.Errorf("drawn apart and slid back: %g m, before %g m", st.extent(), before)
	}
	var all []int32
	for i := range st.at {
		all = append(all, int32(i))
	}
	for i := range st.at {
		s := st.at[i]
		x0, _, _, _ := st.room(s.pose)
		if x := st.leftmost(int32(i), s.pose, s.y, x0, all); x < s.x-1e-9 {
			t.Errorf("copy %d could still slide by %g", i, s.x-x)
		}
	}
}

// BenchmarkPairTests tells what a pair test takes, with tables and without, on
// pieces of 12 and of 60 corners in a crowded layout. workRate and directWork
// rest on it.
func BenchmarkPairTests(b *testing.B) {
	for _, corners := range []int{12, 60} {
		for _, direct := range []bool{false, true} {
			b.Run(fmt.Sprintf("%d corners, direct %v", corners, direct), func(b *testing.B) {
				rng := rand.New(rand.NewPCG(61, uint64(corners)))
				var pieces []Piece
				for i := range 12 {
					pieces = append(pieces, Piece{Name: fmt.Sprint(i), Count: 4, Turns: halfTurns, Outline: star(rng, corners, 0.05, 0.15)})
				}
				s := stripOf(b, 1, pieces...)
				s.direct, s.testWork = direct, 1
				st, rng := scattered(s, 61)
				for k := range 4 * len(st.at) { // makes the tables
					st.seek(int32(k%len(st.at)), rng)
				}
				work := st.work
				for k := 0; b.Loop(); k++ {
					st.seek(int32(k%len(st.at)), rng)
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(st.work-work), "ns/test")
			})
		}
	}
}

// A place that echoes another lies on the roll, and beside some copy just as two
// copies like them lie beside each other, perhaps half a turn round.
func TestEchoRepeatsNeighbours(t *testing.T) {
	st, rng := randomState(t, 24)
	kind := func(p int32) int { return st.poses[p].kind }
	like := func(i int32, s spot) bool {
		for a, p := range st.at {
			for b, q := range st.at {
				for c, o := range st.at {
					if a == b || int32(b) == i || a == c || int32(c) == i || kind(q.pose) != kind(s.pose) || kind(o.pose) != kind(p.pose) {
						continue
					}
					sign := 1.0
					if o.pose != p.pose {
						sign = -1
					}
					if math.Abs(s.x-o.x-sign*(q.x-p.x)) < 1e-12 && math.Abs(s.y-o.y-sign*(q.y-p.y)) < 1e-12 && (sign > 0) == (s.pose == q.pose) {
						return true
					}
				}
			}
		}
		return false
	}
	found := 0
	for k := range 4000 {
		i := int32(k % len(st.at))
		s, ok := st.echo(i, rng)
		if !ok {
			continue
		}
		found++
		if s != st.clamp(s) || kind(s.pose) != kind(st.at[i].pose) || !like(i, s) {
			t.Fatalf("copy %d would lie at %v, like no other", i, s)
		}
	}
	if found < 50 {
		t.Errorf("only %d places were found", found)
	}
}
