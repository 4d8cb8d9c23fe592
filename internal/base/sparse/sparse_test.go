package sparse

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// grid is a wall of springs on a square of n by n nodes with three unknowns
// each, cut into triangles.
func grid(n int, curved bool) (*Matrix, []r3.Vec, [][3]int32) {
	var places []r3.Vec
	unknowns := make([]int, n*n)
	for i := range n * n {
		p := r3.Vec{X: float64(i % n), Y: float64(i / n)}
		if curved {
			p = r3.Vec{X: math.Cos(p.X), Y: math.Sin(p.X), Z: p.Y}
		}
		places = append(places, p)
		unknowns[i] = 3
	}
	unknowns[0], unknowns[n] = 0, 1 // held nodes lose unknowns
	var cliques [][3]int32
	for y := range n - 1 {
		for x := range n - 1 {
			a := int32(y*n + x)
			b, c, d := a+1, a+int32(n), a+int32(n)+1
			cliques = append(cliques, [3]int32{a, b, d}, [3]int32{a, d, c})
		}
	}
	return New(unknowns, cliques), places, cliques
}

// fill adds a random positive definite matrix a clique.
func fill(m *Matrix, cliques [][3]int32, seed uint64) {
	r := rand.New(rand.NewPCG(seed, 1))
	for _, c := range cliques {
		var index []int32
		for _, n := range c {
			for u := m.First[n]; u < m.First[n+1]; u++ {
				index = append(index, u)
			}
		}
		n := len(index)
		v := make([]float64, n)
		k := make([]float64, n*n)
		for range 9 { // of full rank, far from diagonal
			for i := range v {
				v[i] = r.NormFloat64()
			}
			for i := range v {
				for j := range v {
					k[i*n+j] += v[i] * v[j]
				}
			}
		}
		m.Add(index, k)
	}
}

// A matrix filled anew through its slots has the factor of one filled entry by
// entry, and nothing of what it held before.
func TestFactorAgain(t *testing.T) {
	m, places, cliques := grid(9, true)
	fill(m, cliques, 1)
	c := NewCholesky(m, places)
	if err := c.Factor(context.Background()); err != nil {
		t.Fatal(err)
	}
	fresh := m.Like()
	fill(fresh, cliques, 2)
	m.Clear()
	for u := range int32(m.Size()) {
		row := fresh.col[fresh.start[u]:fresh.start[u+1]]
		for k, other := range row {
			if other == u {
				m.AddDiagonal(u, fresh.val[int(fresh.start[u])+k])
			} else if pair := []int32{u, other}; other > u {
				x := fresh.val[int(fresh.start[u])+k]
				m.AddAt(m.Slots(pair), []float64{0, x, x, 0})
			}
		}
	}
	if err := c.Factor(context.Background()); err != nil {
		t.Fatal(err)
	}
	want := make([]float64, m.Size())
	for i := range want {
		want[i] = math.Sin(float64(i))
	}
	b := make([]float64, m.Size())
	fresh.Times(want, b)
	for i, x := range c.Solve(b) {
		if math.Abs(x-want[i]) > 1e-8 {
			t.Fatalf("unknown %d: %g, want %g", i, x, want[i])
		}
	}
}

func TestSparseSolvesBack(t *testing.T) {
	for _, n := range []int{2, 3, 7, 30} {
		for _, curved := range []bool{false, true} {
			m, places, cliques := grid(n, curved)
			fill(m, cliques, uint64(n))
			c, err := Factor(context.Background(), m, places)
			if err != nil {
				t.Fatal(n, err)
			}
			r := rand.New(rand.NewPCG(7, 7))
			want := make([]float64, m.Size())
			for i := range want {
				want[i] = r.NormFloat64()
			}
			b := make([]float64, m.Size())
			m.Times(want, b)
			back := make([]float64, m.Size())
			m.Times(c.Solve(b), back)
			for i := range b {
				if math.Abs(back[i]-b[i]) > 1e-9*10 {
					t.Fatalf("n %d: unknown %d: %g, want %g", n, i, back[i], b[i])
				}
			}
		}
	}
}

// A chain of unit springs held at one end and pulled at the other by 1: node i
// moves by i, by statics. Two chains apart test pieces without a parting line.
func TestChainOfSprings(t *testing.T) {
	const n = 60
	unknowns := make([]int, 2*n)
	places := make([]r3.Vec, 2*n)
	var cliques [][3]int32
	for i := range 2 * n {
		unknowns[i] = 1
		places[i] = r3.Vec{X: float64(i % n), Y: float64(i / n * 1000)}
		if i%n != 0 {
			cliques = append(cliques, [3]int32{int32(i - 1), int32(i), int32(i)})
		}
	}
	m := New(unknowns, cliques)
	for i := range 2 * n {
		m.Add([]int32{int32(i)}, []float64{1})
		if i%n != n-1 {
			m.Add([]int32{int32(i)}, []float64{1})
		}
		if i%n != 0 {
			m.Add([]int32{int32(i - 1), int32(i)}, []float64{0, -1, -1, 0})
		}
	}
	c, err := Factor(context.Background(), m, places)
	if err != nil {
		t.Fatal(err)
	}
	b := make([]float64, 2*n)
	b[n-1] = 1
	x := c.Solve(b)
	for i := range n {
		if math.Abs(x[i]-float64(i+1)) > 1e-10 || x[n+i] != 0 {
			t.Fatalf("node %d moves %g and %g, want %d and 0", i, x[i], x[n+i], i+1)
		}
	}
}

func TestLooseStructureIsAnError(t *testing.T) {
	m, places, cliques := grid(5, false)
	for _, c := range cliques { // springs between first unknowns only
		a, b := m.First[c[1]], m.First[c[2]]
		m.Add([]int32{a, b}, []float64{1, -1, -1, 1})
	}
	var e *Indefinite
	if _, err := Factor(context.Background(), m, places); !errors.As(err, &e) {
		t.Errorf("error %v, want Indefinite", err)
	}
	stopped, stop := context.WithCancel(context.Background())
	stop()
	fill(m, cliques, 1)
	if _, err := Factor(stopped, m, places); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v, want context.Canceled", err)
	}
}

// The dense front against the plain sums it stands for.
func TestEliminateLeavesTheRest(t *testing.T) {
	for _, c := range [][2]int{{131, 77}, {9, 9}, {40, 16}, {20, 3}, {5, 0}} {
		n, p := c[0], c[1]
		f := front{unknowns: make([]int32, n), pivots: p}
		f.l = make([]float64, f.entries())
		rest := make([]float64, triangle(padded(n-p)/lanes))
		at := func(i, j int) *float64 { // of the lower triangle
			r, c := f.row(i), f.row(j)
			if c < f.width() {
				return &f.l[f.at(r, c)]
			}
			r, c = r-f.width(), c-f.width()
			return &rest[triangle(r/lanes)+lanes*c+r%lanes]
		}
		r := rand.New(rand.NewPCG(3, 3))
		g := make([]float64, n*n)
		for i := range g {
			g[i] = r.NormFloat64()
		}
		for i := range n {
			for j := range i + 1 {
				*at(i, j) = dot(g[i*n:(i+1)*n], g[j*n:(j+1)*n])
			}
		}
		if bad := f.eliminate(rest, make([]float64, f.width())); bad >= 0 {
			t.Fatal(bad)
		}
		// [L₁₁; L₂₁]·[L₁₁; L₂₁]ᵀ + S must give A back.
		for i := range n {
			for j := range i + 1 {
				var s float64
				for k := range min(j+1, p) {
					s += *at(i, k) * *at(j, k)
				}
				if j >= p {
					s += *at(i, j)
				}
				if want := dot(g[i*n:(i+1)*n], g[j*n:(j+1)*n]); math.Abs(s-want) > 1e-10*float64(n) {
					t.Fatalf("%d of %d, (%d, %d): %g, want %g", p, n, i, j, s, want)
				}
			}
		}
	}
}

// The tile loops give the same bits whether or not the machine has vectors.
func TestTilesAreTheSameBits(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	numbers := func(n int) []float64 {
		out := make([]float64, n)
		for i := range out {
			out[i] = r.NormFloat64()
		}
		return out
	}
	for _, depth := range []int{1, 2, 7, 64} {
		a, b, c := numbers(lanes*depth), numbers(lanes*depth), numbers(lanes*half)
		plain := slices.Clone(c)
		lessTile(c, a, b, depth)
		lessTilePlain(plain, a, b, depth)
		if !slices.Equal(c, plain) {
			t.Errorf("depth %d: products %v, plain %v", depth, c, plain)
		}
	}
	for _, n := range []int{0, lanes, 5 * lanes} {
		panel, y := numbers(lanes*n), numbers(n)
		z := [lanes]float64(numbers(lanes))
		to := z
		plainTo, plainY := to, slices.Clone(y)
		lessColumns(&to, panel, y)
		lessColumnsPlain(&plainTo, panel, y)
		lessRows(y, panel, &z)
		lessRowsPlain(plainY, panel, &z)
		if to != plainTo || !slices.Equal(y, plainY) {
			t.Errorf("%d columns: %v and %v, plain %v and %v", n, to, y, plainTo, plainY)
		}
	}
	x, l := numbers(lanes*lanes), numbers(lanes*lanes)
	inverse := [lanes]float64(numbers(lanes))
	plain := slices.Clone(x)
	solveTile(x, l, &inverse)
	solveTilePlain(plain, l, &inverse)
	if !slices.Equal(x, plain) {
		t.Errorf("solved %v, plain %v", x, plain)
	}
}

// A string of n equal masses on equal springs, held at both ends, swings with
// ω² = 4·sin²(π/(2(n+1))), a closed form.
func TestLowestModesOfMassesOnAString(t *testing.T) {
	const n = 200
	unknowns := make([]int, n)
	places := make([]r3.Vec, n)
	var cliques [][3]int32
	for i := range n {
		unknowns[i], places[i] = 1, r3.Vec{X: float64(i)}
		if i > 0 {
			cliques = append(cliques, [3]int32{int32(i - 1), int32(i), int32(i)})
		}
	}
	m := New(unknowns, cliques)
	for i := range n {
		m.Add([]int32{int32(i)}, []float64{2})
		if i > 0 {
			m.Add([]int32{int32(i - 1), int32(i)}, []float64{0, -1, -1, 0})
		}
	}
	c, err := Factor(context.Background(), m, places)
	if err != nil {
		t.Fatal(err)
	}
	modes, err := c.LargestModes(context.Background(), func(x, y []float64) { copy(y, x) }, 3, 1e-9)
	if err != nil || len(modes) != 3 {
		t.Fatal(err, len(modes))
	}
	for k, mode := range modes {
		want := 4 * math.Pow(math.Sin(math.Pi*float64(k+1)/(2*(n+1))), 2)
		if math.Abs(1/mode.Value-want) > 1e-8*want || mode.Residual > 1e-9 {
			t.Errorf("ω² %.10g, want %.10g in %d steps", 1/mode.Value, want, mode.Steps)
		}
		// The mode is k+1 half sine waves.
		wave := func(i int) float64 { return math.Sin(math.Pi * float64((k+1)*(i+1)) / (n + 1)) }
		const at = 30 // no node of these
		for i, v := range mode.Shape {
			if want := wave(i) / wave(at) * mode.Shape[at]; math.Abs(v-want) > 1e-4*math.Abs(mode.Shape[at]) {
				t.Fatalf("mode %d, mass %d moves %g, want %g", k, i, v, want)
			}
		}
	}
	none, err := c.LargestModes(context.Background(), func(x, y []float64) { clear(y) }, 1, 1e-9)
	if err != nil || len(none) != 0 {
		t.Errorf("nothing has the modes %v, %v", none, err)
	}
}

// One core and several give the same bits.
func TestCoresDoNotChangeTheAnswer(t *testing.T) {
	m, places, cliques := grid(60, true)
	fill(m, cliques, 5)
	b := make([]float64, m.Size())
	for i := range b {
		b[i] = math.Cos(float64(i))
	}
	answer := func(cores int) []float64 {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
		c, err := Factor(context.Background(), m, places)
		if err != nil {
			t.Fatal(err)
		}
		return c.Solve(b)
	}
	if !slices.Equal(answer(1), answer(4)) {
		t.Error("four cores answer otherwise than one")
	}
}
