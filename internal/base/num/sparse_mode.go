package num

import (
	"context"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"
	"laywright/internal/base/fault"
)

// Mode is an eigenvalue with its shape.
type Mode struct {
	Value float64
	Shape []float64
	Steps int
}

// maxModeSteps limits the search for a mode; a cluster of like modes takes some
// ten steps each.
const maxModeSteps = 150

// LargestMode returns the mode with the largest μ of
//
//	G·x = μ·K·x
//
// where K is the factored matrix and times puts G·x into y for a symmetric G,
// which may be indefinite. With G the masses, μ is 1/ω² of the lowest mode; with
// G the negated stress stiffness, 1/μ is the lowest load factor of buckling. If
// no μ is positive the value is 0. rel is the residual allowed, against μ: the
// true value lies within it, and mostly as near as its square.
//
// Lanczos iteration in the energy of K with full reorthogonalisation, from a
// fixed start.
//
// Source: [parlett1980].
func (c *Cholesky) LargestMode(ctx context.Context, times func(x, y []float64), rel float64) (Mode, error) {
	n := c.m.Size()
	l := lanczos{}
	r := rand.New(rand.NewPCG(1, 2))
	kx := make([]float64, n)
	for i := range kx {
		kx[i] = r.NormFloat64()
	}
	x := c.Solve(kx)
	residual := math.Inf(1)
	for step := 1; step <= maxModeSteps; step++ {
		if err := ctx.Err(); err != nil {
			return Mode{}, err
		}
		size := math.Sqrt(math.Max(0, dot(x, kx)))
		if scale := l.scale(); step > 1 && (size <= usedUp*scale || step > n) {
			return l.mode(), nil // what was found is exact
		}
		l.push(x, kx, size)
		g := make([]float64, n)
		times(l.v[step-1], g)
		x, kx = c.Solve(g), g
		l.orthogonalise(x, kx)
		if step%5 == 0 {
			value, last := l.top()
			residual = math.Sqrt(math.Max(0, dot(x, kx))) * math.Abs(last)
			if residual <= rel*math.Abs(value) || value+residual <= nothing*l.scale() {
				return l.mode(), nil
			}
		}
	}
	return Mode{}, &fault.NoSolution{What: "lowest mode", Steps: maxModeSteps, Residual: residual, Limit: rel, Do: "use a finer and more even mesh"}
}

// Shares of the largest value of either sign: below usedUp a new direction is
// rounding, below nothing a value counts as 0.
const usedUp, nothing = 1e-12, 1e-7

func dot(x, y []float64) float64 {
	y = y[:len(x)]
	var even, odd float64
	k := 0
	for ; k+1 < len(x); k += 2 {
		even += x[k] * y[k]
		odd += x[k+1] * y[k+1]
	}
	if k < len(x) {
		even += x[k] * y[k]
	}
	return even + odd
}

// lanczos holds the basis v, orthonormal in K, with p = K·v, and the projected
// matrix.
type lanczos struct {
	v, p        [][]float64
	alpha, beta []float64
}

// scale is about the largest value of either sign.
func (l *lanczos) scale() float64 {
	var most float64
	for _, a := range l.alpha {
		most = math.Max(most, math.Abs(a))
	}
	for _, b := range l.beta {
		most = math.Max(most, b)
	}
	return most
}

func (l *lanczos) push(x, kx []float64, size float64) {
	for i := range x {
		x[i] /= size
		kx[i] /= size
	}
	if len(l.v) > 0 {
		l.beta = append(l.beta, size)
	}
	l.v, l.p = append(l.v, x), append(l.p, kx)
}

// orthogonalise takes the basis out of x, twice, which is enough for full
// orthogonality; the part along the newest is the diagonal of the projection.
func (l *lanczos) orthogonalise(x, kx []float64) {
	for pass := range 2 {
		for i := range l.v {
			a := dot(l.p[i], x)
			if i == len(l.v)-1 {
				if pass == 0 {
					l.alpha = append(l.alpha, a)
				} else {
					l.alpha[i] += a
				}
			}
			for k := range x {
				x[k] -= a * l.v[i][k]
				kx[k] -= a * l.p[i][k]
			}
		}
	}
}

func (l *lanczos) eigen() (mat.EigenSym, int) {
	m := len(l.alpha)
	t := mat.NewSymDense(m, nil)
	for i := range m {
		t.SetSym(i, i, l.alpha[i])
		if i > 0 {
			t.SetSym(i-1, i, l.beta[i-1])
		}
	}
	var e mat.EigenSym
	e.Factorize(t, true)
	return e, m
}

// top returns the largest value and the last entry of its vector.
func (l *lanczos) top() (value, last float64) {
	e, m := l.eigen()
	var q mat.Dense
	e.VectorsTo(&q)
	return e.Values(nil)[m-1], q.At(m-1, m-1)
}

func (l *lanczos) mode() Mode {
	e, m := l.eigen()
	var q mat.Dense
	e.VectorsTo(&q)
	value := e.Values(nil)[m-1]
	if value <= nothing*l.scale() {
		value = 0
	}
	out := Mode{Value: value, Shape: make([]float64, len(l.v[0])), Steps: m}
	for j := range m {
		s := q.At(j, m-1)
		for i, v := range l.v[j] {
			out.Shape[i] += s * v
		}
	}
	return out
}
