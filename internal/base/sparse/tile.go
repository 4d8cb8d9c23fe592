package sparse

import "math"

// Dense blocks are kept in panels of lanes rows, in each of which the lanes
// numbers of a column lie side by side:
//
//	entry (r, c) of a panel of w columns stands at lanes·c + r, c < w
//
// so that one instruction works on several rows where the machine has such.
// half is the number of columns that are worked on at once.
const lanes, half = 8, 4

// padded rounds n up to whole panels.
func padded(n int) int { return (n + lanes - 1) &^ (lanes - 1) }

// lessTilePlain takes a product of two panels from half columns of a third:
//
//	c[lanes·s + r] −= Σₖ a[lanes·k + r]·b[lanes·k + s],   k < depth, r < lanes, s < half
//
// Products are rounded before they are summed, one after the other, on every
// machine alike.
func lessTilePlain(c, a, b []float64, depth int) {
	for s := range half {
		var sum [lanes]float64
		for k := range depth {
			y := b[lanes*k+s]
			for r, x := range a[lanes*k : lanes*k+lanes] {
				sum[r] += float64(x * y)
			}
		}
		for r, x := range sum {
			c[lanes*s+r] -= x
		}
	}
}

// solveTilePlain replaces the lanes rows of x by those of x·L⁻ᵀ: columns in
// rising order, each scaled by the inverse of L's diagonal entry and then taken
// out of those that follow.
func solveTilePlain(x, l []float64, inverse *[lanes]float64) {
	for k := range lanes {
		y := x[lanes*k : lanes*k+lanes]
		for r := range y {
			y[r] *= inverse[k]
		}
		for i := k + 1; i < lanes; i++ {
			z, f := x[lanes*i:lanes*i+lanes], l[lanes*k+i]
			for r, v := range y {
				z[r] -= float64(v * f)
			}
		}
	}
}

// lessColumnsPlain takes panel·y from to.
func lessColumnsPlain(to *[lanes]float64, panel, y []float64) {
	var sum [lanes]float64
	for k, v := range y {
		for r, a := range panel[lanes*k : lanes*k+lanes] {
			sum[r] += float64(a * v)
		}
	}
	for r, x := range sum {
		to[r] -= x
	}
}

// lessRowsPlain takes panelᵀ·z from y, of which the length is a multiple of half.
func lessRowsPlain(y, panel []float64, z *[lanes]float64) {
	for k := range y {
		a := panel[lanes*k : lanes*k+lanes]
		var p [half]float64
		for i := range p {
			p[i] = float64(a[i]*z[i]) + float64(a[i+half]*z[i+half])
		}
		y[k] -= (p[0] + p[1]) + (p[2] + p[3])
	}
}

// factorTile factors the first w columns of a symmetric block in its lower
// triangle, and makes the others those of the identity. It returns the inverse
// of its diagonal, and -1 or the column whose pivot is not positive beside floor.
func factorTile(l []float64, w int, floor []float64) (inverse [lanes]float64, bad int) {
	for k := range lanes {
		if k >= w {
			l[lanes*k+k], inverse[k] = 1, 1
			continue
		}
		column := l[lanes*k : lanes*k+lanes]
		if !(column[k] > floor[k]) {
			return inverse, k
		}
		column[k] = math.Sqrt(column[k])
		inverse[k] = 1 / column[k]
		for i := k + 1; i < lanes; i++ {
			column[i] *= inverse[k]
		}
		for j := k + 1; j < w; j++ {
			for i := j; i < lanes; i++ {
				l[lanes*j+i] -= float64(column[i] * column[j])
			}
		}
	}
	return inverse, -1
}
