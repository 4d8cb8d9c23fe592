package sparse

import (
	"context"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"
	"laywright/internal/base/fault"
)

// Mode is an eigenvalue with its shape. The true value lies within Residual times
// Value of it, and mostly as near as the square of that.
type Mode struct {
	Value    float64
	Shape    []float64
	Steps    int
	Residual float64
}

// maxModeSteps limits the search for modes; a cluster of like modes takes some
// ten steps each.
const maxModeSteps = 150

// LargestModes returns up to count modes, the largest μ first, of
//
//	G·x = μ·K·x
//
// where K is the factored matrix and times puts G·x into y for a symmetric G,
// which may be indefinite. With G the masses, μ is 1/ω² of the lowest modes; with
// G the negated stress stiffness, 1/μ is a load factor of buckling. Modes without
// a positive μ are left out. rel is the residual allowed, against μ.
//
// Lanczos iteration in the energy of K with full reorthogonalisation, from a
// fixed start. Of several modes with just the same μ it may find fewer.
//
// Source: [parlett1980].
func (c *Cholesky) LargestModes(ctx context.Context, times func(x, y []float64), count int, rel float64) ([]Mode, error) {
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
			return nil, err
		}
		size := math.Sqrt(math.Max(0, dot(x, kx)))
		if scale := l.scale(); step > 1 && (size <= usedUp*scale || step > n) {
			return l.modes(count, 0), nil // what was found is exact
		}
		l.push(x, kx, size)
		g := make([]float64, n)
		times(l.v[step-1], g)
		x, kx = c.Solve(g), g
		l.orthogonalise(x, kx)
		if step%5 == 0 {
			residual = l.residual(count, math.Sqrt(math.Max(0, dot(x, kx))))
			if residual <= rel {
				return l.modes(count, residual), nil
			}
		}
	}
	return nil, &fault.NoSolution{What: "lowest mode", Steps: maxModeSteps, Residual: residual, Limit: rel, Do: "use a finer and more even mesh"}
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

// eigen returns the projection's eigenvalues, rising, and their vectors.
func (l *lanczos) eigen() (values []float64, vectors *mat.Dense) {
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
	vectors = new(mat.Dense)
	e.VectorsTo(vectors)
	return e.Values(nil), vectors
}

// residual returns the largest of the first count modes' residuals, each against
// its value; size is that of the next direction. A mode that can't be positive any
// more has none.
func (l *lanczos) residual(count int, size float64) float64 {
	values, q := l.eigen()
	m := len(values)
	if m < count {
		return math.Inf(1)
	}
	var most float64
	for j := m - 1; j >= m-count; j-- {
		off := size * math.Abs(q.At(m-1, j))
		if values[j]+off > nothing*l.scale() {
			most = math.Max(most, off/math.Abs(values[j]))
		}
	}
	return most
}

func (l *lanczos) modes(count int, residual float64) (out []Mode) {
	values, q := l.eigen()
	m := len(values)
	for j := m - 1; j >= max(0, m-count) && values[j] > nothing*l.scale(); j-- {
		mode := Mode{Value: values[j], Shape: make([]float64, len(l.v[0])), Steps: m, Residual: residual}
		for k := range m {
			s := q.At(k, j)
			for i, v := range l.v[k] {
				mode.Shape[i] += s * v
			}
		}
		out = append(out, mode)
	}
	return out
}
