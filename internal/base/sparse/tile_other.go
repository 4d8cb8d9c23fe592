//go:build !amd64

package sparse

func lessTile(c, a, b []float64, depth int) { lessTilePlain(c, a, b, depth) }

func solveTile(x, l []float64, inverse *[lanes]float64) { solveTilePlain(x, l, inverse) }

func lessColumns(to *[lanes]float64, panel, y []float64) { lessColumnsPlain(to, panel, y) }

func lessRows(y, panel []float64, z *[lanes]float64) { lessRowsPlain(y, panel, z) }
