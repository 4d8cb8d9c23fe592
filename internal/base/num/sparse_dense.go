package num

import (
	"math"
	"runtime"
	"sync"
)

// block is the width of the columns that are factored at once: a block row of
// the longest fronts still fits the second cache.
const block = 48

// parallelWork is the number of multiplications above which a product is worth
// two threads.
const parallelWork = 4_000_000

// eliminate factors the first p columns of the dense symmetric matrix a, n rows
// of n kept row by row of which the lower triangle is read, and takes their part
// from the rest.
//
//	A = [L₁₁ 0; L₂₁ 1]·[1 0; 0 S]·[L₁₁ᵀ L₂₁ᵀ; 0 1],   S = A₂₂ − L₂₁·L₂₁ᵀ
//
// It returns -1, or the column whose pivot is not positive beside floor.
func eliminate(a []float64, n, p int, floor []float64) int {
	for j0 := 0; j0 < p; j0 += block {
		j1 := min(j0+block, p)
		lessProducts(a, n, j0, n, j0, j1, j0)
		if bad := factorBlock(a, n, j0, j1, floor); bad >= 0 {
			return bad
		}
		for i := j1; i < n; i++ {
			row := a[i*n : i*n+j1]
			for j := j0; j < j1; j++ {
				s := row[j]
				other := a[j*n+j0 : j*n+j]
				for k, v := range row[j0:j] {
					s -= v * other[k]
				}
				row[j] = s / a[j*n+j]
			}
		}
	}
	if rest := n - p; rest > 0 && p > 0 {
		lessProductsParallel(a, n, p)
	}
	return -1
}

func factorBlock(a []float64, n, j0, j1 int, floor []float64) int {
	for j := j0; j < j1; j++ {
		row := a[j*n : j*n+j+1]
		for k := j0; k < j; k++ {
			s := row[k]
			for m := j0; m < k; m++ {
				s -= row[m] * a[k*n+m]
			}
			row[k] = s / a[k*n+k]
		}
		s := row[j]
		for _, v := range row[j0:j] {
			s -= v * v
		}
		if !(s > floor[j]) {
			return j
		}
		row[j] = math.Sqrt(s)
	}
	return -1
}

// lessProductsParallel takes L₂₁·L₂₁ᵀ from the rest behind column p. Each row is
// worked out by one thread alone, so the result does not depend on their number.
func lessProductsParallel(a []float64, n, p int) {
	rest := n - p
	if rest*rest/2*p < parallelWork || runtime.GOMAXPROCS(0) < 2 {
		lessProducts(a, n, p, n, p, n, p)
		return
	}
	half := p + int(float64(rest)*math.Sqrt(0.5)) // halves the triangle
	half -= (half - p) % 2
	var wait sync.WaitGroup
	wait.Go(func() { lessProducts(a, n, p, half, p, half, p) })
	lessProducts(a, n, half, n, p, n, p)
	wait.Wait()
}

// lessProducts takes the products of the first depth entries of rows i and j
// from a[i][j] for i from i0 to i1 and j from j0 to j1, lower triangle only (a
// few entries above the diagonal are spoilt: nobody reads them).
func lessProducts(a []float64, n, i0, i1, j0, j1, depth int) {
	if depth == 0 {
		return
	}
	i := i0
	for ; i+1 < i1; i += 2 {
		x, y := a[i*n:i*n+depth], a[(i+1)*n:(i+1)*n+depth]
		to := min(j1, i+2)
		j := j0
		for ; j+3 < to; j += 4 {
			two4(x, y, a[j*n:j*n+depth], a[(j+1)*n:(j+1)*n+depth], a[(j+2)*n:(j+2)*n+depth], a[(j+3)*n:(j+3)*n+depth],
				a[i*n+j:i*n+j+4], a[(i+1)*n+j:(i+1)*n+j+4])
		}
		for ; j < to; j++ {
			z := a[j*n : j*n+depth]
			a[i*n+j] -= product(x, z)
			a[(i+1)*n+j] -= product(y, z)
		}
	}
	if i < i1 {
		x := a[i*n : i*n+depth]
		for j := j0; j < min(j1, i+1); j++ {
			a[i*n+j] -= product(x, a[j*n:j*n+depth])
		}
	}
}

// two4 takes the products of two rows with four others from two rows of four:
// eight sums that stay in registers.
func two4(x, y, p, q, r, s, u, v []float64) {
	y, p, q, r, s = y[:len(x)], p[:len(x)], q[:len(x)], r[:len(x)], s[:len(x)]
	var xp, xq, xr, xs, yp, yq, yr, ys float64
	for k, a := range x {
		b := y[k]
		c := p[k]
		xp += a * c
		yp += b * c
		c = q[k]
		xq += a * c
		yq += b * c
		c = r[k]
		xr += a * c
		yr += b * c
		c = s[k]
		xs += a * c
		ys += b * c
	}
	u, v = u[:4], v[:4]
	u[0] -= xp
	u[1] -= xq
	u[2] -= xr
	u[3] -= xs
	v[0] -= yp
	v[1] -= yq
	v[2] -= yr
	v[3] -= ys
}

func product(x, y []float64) float64 {
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
