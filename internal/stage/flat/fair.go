package flat

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/geom"
	"laywright/internal/base/num"
)

// kerf is how far each side of a slit is drawn back, m, so that the rim does not
// touch itself where the slit does not open.
const kerf = 1e-5

// edge is the two sides of one slit as they are drawn, by stations along the seam:
// where there is no left or right side in this sheet, that is nil.
type edge struct {
	arc         []float64 // along the seam on the mould from where it begins, m
	left, right []r2.Vec
	acrossLeft  []float64 // flat length per mould length across the side
	acrossRight []float64
	tip         bool // both sides begin in one point
}

// edge fairs the sides of a slit: both are moved by the same way on the mould.
func (d *drawing) edge(slit int) edge {
	s, along, m := d.Slits[slit], d.along(slit), d.Top.Mesh
	e := edge{arc: make([]float64, len(along)), tip: s.Tip()}
	for k := 1; k < len(e.arc); k++ {
		e.arc[k] = e.arc[k-1] + cut.Length(m, along[k-1], along[k])
	}
	off := wobbles(e.arc, d.turns(slit))
	if s.Left != nil {
		e.acrossLeft = d.acrossAt(s.Left, false)
		e.left = moved(d.places(s.Left), e.acrossLeft, off)
	}
	if s.Right != nil {
		e.acrossRight = d.acrossAt(s.Right, true)
		e.right = moved(d.places(s.Right), e.acrossRight, off)
	}
	return e.thinned(smooth).drawnBack()
}

// moved returns a line moved to its left by distances given on the mould, with the
// factors from there to the flat.
func moved(line []r2.Vec, across, off []float64) []r2.Vec {
	const around = 2 // stations either way that tell a direction
	out := make([]r2.Vec, len(line))
	for i, p := range line {
		way := r2.Sub(line[min(len(line)-1, i+around)], line[max(0, i-around)])
		out[i] = p
		if n := r2.Norm(way); n > 0 {
			out[i] = r2.Add(p, r2.Scale(off[i]*across[i]/n, r2.Vec{X: -way.Y, Y: way.X}))
		}
	}
	return out
}

// turns returns by how much the path of a slit turns to the left at each of its
// vertices, rad, in the surface's tangent plane there.
func (d *drawing) turns(slit int) []float64 {
	s, along, m := d.Slits[slit], d.along(slit), d.Top.Mesh
	out := make([]float64, len(along))
	for k := 1; k+1 < len(along); k++ {
		var n r3.Vec
		for _, line := range [][]int32{s.Left, s.Right} {
			if line != nil {
				for _, f := range d.Top.VertexFaces(int(line[k])) {
					n = r3.Add(n, m.AreaVector(int(f)))
				}
			}
		}
		if r3.Norm(n) == 0 {
			continue
		}
		n = r3.Unit(n)
		a, b := r3.Sub(m.Vertices[along[k]], m.Vertices[along[k-1]]), r3.Sub(m.Vertices[along[k+1]], m.Vertices[along[k]])
		out[k] = math.Atan2(r3.Dot(n, r3.Cross(a, b)), r3.Dot(a, b)-r3.Dot(a, n)*r3.Dot(b, n))
	}
	return out
}

// chain returns one side as a chain of the rim: the left runs from where the seam
// begins, the right to it.
func (e edge) chain(s side) chain {
	if s.left {
		return chain{s, append([]r2.Vec(nil), e.left...), e.acrossLeft}
	}
	n := len(e.right)
	c := chain{s, make([]r2.Vec, n), make([]float64, n)}
	for i := range e.right {
		c.points[n-1-i], c.across[n-1-i] = e.right[i], e.acrossRight[i]
	}
	return c
}

// of returns one side from where the seam begins, with its factors.
func (e edge) of(left bool) ([]r2.Vec, []float64) {
	if left {
		return e.left, e.acrossLeft
	}
	return e.right, e.acrossRight
}

// thinned keeps the stations without which a side would leave its line by more
// than tol, the same ones on both sides.
func (e edge) thinned(tol float64) edge {
	keep := make([]bool, len(e.arc))
	keep[0], keep[len(keep)-1] = true, true
	off := func(line []r2.Vec, i, k, j int) float64 {
		if line == nil {
			return 0
		}
		return geom.SegmentDistance(line[k], line[i], line[j])
	}
	var split func(i, j int)
	split = func(i, j int) {
		worst, at := tol, -1
		for k := i + 1; k < j; k++ {
			if d := max(off(e.left, i, k, j), off(e.right, i, k, j)); d > worst {
				worst, at = d, k
			}
		}
		if at >= 0 {
			keep[at] = true
			split(i, at)
			split(at, j)
		}
	}
	split(0, len(keep)-1)
	out := edge{tip: e.tip}
	for k, is := range keep {
		if !is {
			continue
		}
		out.arc = append(out.arc, e.arc[k])
		if e.left != nil {
			out.left, out.acrossLeft = append(out.left, e.left[k]), append(out.acrossLeft, e.acrossLeft[k])
		}
		if e.right != nil {
			out.right, out.acrossRight = append(out.right, e.right[k]), append(out.acrossRight, e.acrossRight[k])
		}
	}
	return out
}

// drawnBack moves each side into its cloth by the kerf, but for the tip.
func (e edge) drawnBack() edge {
	back := func(line []r2.Vec, by float64) []r2.Vec {
		out := make([]r2.Vec, len(line))
		for i := range line {
			d := r2.Sub(line[min(i+1, len(line)-1)], line[max(i-1, 0)])
			out[i] = line[i]
			if n := r2.Norm(d); n > 0 && !(e.tip && i == 0) {
				out[i] = r2.Add(line[i], r2.Scale(by/n, r2.Vec{X: -d.Y, Y: d.X}))
			}
		}
		return out
	}
	if e.left != nil {
		e.left = back(e.left, kerf)
	}
	if e.right != nil {
		e.right = back(e.right, -kerf)
	}
	return e
}

// Waves of a seam's path shorter than fairCut mean stations are taken out of it; it
// is looked at every fairStep of a mean station, or at mostStations in all.
const (
	fairCut      = 8.0
	fairStep     = 0.25
	mostStations = 2000
	mostMove     = 0.75 // mean stations that a path is moved at most
)

// wobbles returns how far the path of a seam has to move to its left at each of its
// stations to be fair. A path over a mesh runs through corners near to it, and a
// knife need not follow. The path is laid into a plane by its lengths and turns;
// there the fair line y on even stations h apart, its ends held, minimises
//
//	Σ (y − x)² + λ Σ (y₋ − 2y + y₊)²,  λ = 1 / (16 sin⁴(π h / L))
//
// in both coordinates: of a wave of length L half is left.
func wobbles(arc, turns []float64) []float64 {
	last := len(arc) - 1
	out := make([]float64, last+1)
	if last < 2 {
		return out
	}
	x, y, way := make([]float64, last+1), make([]float64, last+1), 0.0
	for k := 1; k <= last; k++ {
		way += turns[k-1]
		sin, cos := math.Sincos(way)
		x[k], y[k] = x[k-1]+(arc[k]-arc[k-1])*cos, y[k-1]+(arc[k]-arc[k-1])*sin
	}
	mean := arc[last] / float64(last)
	n := max(4, min(mostStations, int(math.Ceil(arc[last]/(fairStep*mean)))))
	matrix, err := fairing(n, fairCut*mean*float64(n)/arc[last])
	if err != nil {
		return out
	}
	grid, fx, fy := make([]float64, n+1), make([]float64, n+1), make([]float64, n+1)
	for i := range grid {
		grid[i] = arc[last] * float64(i) / float64(n)
		fx[i], fy[i] = num.Linear(arc, x, grid[i]), num.Linear(arc, y, grid[i])
	}
	matrix.Solve(fx)
	matrix.Solve(fy)
	for k := 1; k < last; k++ {
		s := arc[k]
		a := r2.Vec{X: num.Linear(grid, fx, s-mean/4), Y: num.Linear(grid, fy, s-mean/4)}
		b := r2.Vec{X: num.Linear(grid, fx, s+mean/4), Y: num.Linear(grid, fy, s+mean/4)}
		u := r2.Sub(b, a)
		if l := r2.Norm(u); l > 0 {
			move := r2.Vec{X: num.Linear(grid, fx, s) - x[k], Y: num.Linear(grid, fy, s) - y[k]}
			out[k] = min(mostMove*mean, max(-mostMove*mean, r2.Cross(u, move)/l))
		}
	}
	return out
}

// fairing returns the factored matrix of a row of n pieces that halves waves of a
// length given in pieces.
func fairing(n int, wave float64) (*num.Banded, error) {
	sin := math.Sin(min(math.Pi/2, math.Pi/wave))
	λ := 1 / (16 * sin * sin * sin * sin)
	a := num.NewBanded(n+1, 2, 2)
	a.Set(0, 0, 1)
	a.Set(n, n, 1)
	for i := 1; i < n; i++ {
		a.Add(i, i, 1)
		for p, u := range [...]float64{1, -2, 1} {
			for q, v := range [...]float64{1, -2, 1} {
				if row := i - 1 + p; row > 0 && row < n {
					a.Add(row, i-1+q, λ*u*v)
				}
			}
		}
	}
	return a, a.Factor()
}
