package sparse

import "golang.org/x/sys/cpu"

// vectors tells whether the machine adds and multiplies four numbers at once.
// The results are the same bits with and without, see [lessTilePlain].
var vectors = cpu.X86.HasAVX2

//go:noescape
func lessTileAVX2(c, a, b *float64, depth int)

//go:noescape
func solveTileAVX2(x, l, inverse *float64)

//go:noescape
func lessColumnsAVX2(to, panel, y *float64, n int)

//go:noescape
func lessRowsAVX2(y, panel, z *float64, n int)

func lessTile(c, a, b []float64, depth int) {
	if !vectors {
		lessTilePlain(c, a, b, depth)
		return
	}
	_, _, _ = c[lanes*half-1], a[lanes*depth-1], b[lanes*(depth-1)+half-1]
	lessTileAVX2(&c[0], &a[0], &b[0], depth)
}

func solveTile(x, l []float64, inverse *[lanes]float64) {
	if !vectors {
		solveTilePlain(x, l, inverse)
		return
	}
	_, _ = x[lanes*lanes-1], l[lanes*lanes-1]
	solveTileAVX2(&x[0], &l[0], &inverse[0])
}

func lessColumns(to *[lanes]float64, panel, y []float64) {
	if !vectors {
		lessColumnsPlain(to, panel, y)
	} else if n := len(y); n > 0 {
		_ = panel[lanes*n-1]
		lessColumnsAVX2(&to[0], &panel[0], &y[0], n)
	}
}

func lessRows(y, panel []float64, z *[lanes]float64) {
	if !vectors {
		lessRowsPlain(y, panel, z)
	} else if n := len(y); n > 0 {
		_ = panel[lanes*n-1]
		lessRowsAVX2(&y[0], &panel[0], &z[0], n)
	}
}
