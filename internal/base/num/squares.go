package num

import (
	"math"

	"laywright/internal/base/fault"
)

// Of [LeastSquares]: the step of its derivatives, the change of x at which it has
// found its place, and how often it looks.
const (
	squaresDiffer = 0.02
	squaresNear   = 1e-5
	squaresTries  = 60
)

// LeastSquares returns the x that makes the sum of squares of the residuals least,
// from a first guess, and the inverse of JᵀJ there: the covariance of x where the
// residuals are counted in their standard deviations.
//
// Steps of Gauss and Newton, damped until the sum falls. Derivatives are taken
// between x ± 0.02, so each x should be scaled to matter over about 1.
//
// Source: [marquardt1963].
func LeastSquares(residuals func([]float64) ([]float64, error), guess []float64) (x []float64, covariance [][]float64, err error) {
	s := squares{of: residuals, x: append([]float64(nil), guess...)}
	if s.r, err = residuals(s.x); err != nil {
		return nil, nil, err
	}
	damp := 1e-6
	for range squaresTries {
		if err := s.slopes(); err != nil {
			return nil, nil, err
		}
		size, err := s.step(&damp)
		if err != nil {
			return nil, nil, err
		}
		if size < squaresNear {
			covariance, err = s.covariance()
			return s.x, covariance, err
		}
	}
	return nil, nil, &fault.NoSolution{What: "a least sum of squares", Steps: squaresTries, Residual: sumSquares(s.r), Do: "the readings contradict each other; look at each"}
}

type squares struct {
	of     func([]float64) ([]float64, error)
	x, r   []float64
	j      [][]float64 // j[k][i] = ∂r_i/∂x_k
	normal [][]float64 // JᵀJ
}

func (s *squares) slopes() error {
	n := len(s.x)
	s.j = make([][]float64, n)
	for k := range n {
		at := append([]float64(nil), s.x...)
		at[k] += squaresDiffer
		up, err := s.of(at)
		if err != nil {
			return err
		}
		at[k] -= 2 * squaresDiffer
		down, err := s.of(at)
		if err != nil {
			return err
		}
		s.j[k] = make([]float64, len(up))
		for i := range up {
			s.j[k][i] = (up[i] - down[i]) / (2 * squaresDiffer)
		}
	}
	s.normal = make([][]float64, n)
	for a := range n {
		s.normal[a] = make([]float64, n)
		for b := range n {
			s.normal[a][b] = dot(s.j[a], s.j[b])
		}
	}
	return nil
}

// step moves x to where the sum is no greater, and returns how far.
func (s *squares) step(damp *float64) (size float64, err error) {
	n := len(s.x)
	before := sumSquares(s.r)
	for {
		m := NewBanded(n, n-1, n-1)
		d := make([]float64, n)
		for a := range n {
			for b := range n {
				m.Set(a, b, s.normal[a][b])
			}
			m.Add(a, a, *damp*s.normal[a][a])
			d[a] = -dot(s.j[a], s.r)
		}
		if err := m.Factor(); err != nil {
			return 0, err
		}
		m.Solve(d)
		size = 0
		at := append([]float64(nil), s.x...)
		for k := range at {
			at[k] += d[k]
			size = math.Max(size, math.Abs(d[k]))
		}
		r, err := s.of(at)
		if err != nil {
			return 0, err
		}
		if sumSquares(r) <= before {
			s.x, s.r = at, r
			*damp = math.Max(*damp/10, 1e-9)
			return size, nil
		}
		if size < squaresNear {
			return size, nil // as near as the residuals' own noise lets it
		}
		*damp = math.Max(10**damp, 1e-3)
	}
}

func (s *squares) covariance() ([][]float64, error) {
	n := len(s.x)
	m := NewBanded(n, n-1, n-1)
	for a := range n {
		for b := range n {
			m.Set(a, b, s.normal[a][b])
		}
	}
	if err := m.Factor(); err != nil {
		return nil, err
	}
	out := make([][]float64, n)
	for k := range n {
		out[k] = make([]float64, n)
		out[k][k] = 1
		m.Solve(out[k])
	}
	return out, nil
}

// Axes returns as many moves of x as it has parts that err by themselves and
// together have the covariance: the columns of its lower Cholesky factor.
func Axes(covariance [][]float64) [][]float64 {
	n := len(covariance)
	out := make([][]float64, n)
	for c := range n {
		out[c] = make([]float64, n)
		for r := c; r < n; r++ {
			v := covariance[r][c]
			for k := range c {
				v -= out[k][r] * out[k][c]
			}
			if r == c {
				out[c][r] = math.Sqrt(math.Max(v, 0))
			} else if out[c][c] > 0 {
				out[c][r] = v / out[c][c]
			}
		}
	}
	return out
}

func dot(a, b []float64) (sum float64) {
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

func sumSquares(r []float64) float64 { return dot(r, r) }
