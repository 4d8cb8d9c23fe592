package draw

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// depthCell is the side of a cell of the depth map in mm, and depthSlack how
// far behind the front a point may lie and still count as on it, in mm of
// paper. The slack covers the slope of a face within a cell.
const (
	depthCell  = 0.25
	depthSlack = 0.8
)

// depthMap holds, for every cell of a box on paper, how near to the eye the
// nearest surface is.
type depthMap struct {
	min    r2.Vec
	nx, ny int
	near   []float32
}

func newDepthMap(box r2.Box) *depthMap {
	size := box.Size()
	d := &depthMap{min: box.Min, nx: int(size.X/depthCell) + 2, ny: int(size.Y/depthCell) + 2}
	d.near = make([]float32, d.nx*d.ny)
	for i := range d.near {
		d.near[i] = float32(math.Inf(-1))
	}
	return d
}

// cover enters a triangle: every cell whose middle lies in it.
func (d *depthMap) cover(p [3]r2.Vec, z [3]float64) {
	e1, e2 := r2.Sub(p[1], p[0]), r2.Sub(p[2], p[0])
	det := r2.Cross(e1, e2)
	if math.Abs(det) < 1e-12 {
		return
	}
	box := boxOf(p[:])
	i0, j0 := d.cell(box.Min)
	i1, j1 := d.cell(box.Max)
	for j := j0; j <= j1; j++ {
		for i := i0; i <= i1; i++ {
			c := r2.Sub(r2.Vec{X: d.min.X + (float64(i)+0.5)*depthCell, Y: d.min.Y + (float64(j)+0.5)*depthCell}, p[0])
			u, v := r2.Cross(c, e2)/det, r2.Cross(e1, c)/det
			if u < 0 || v < 0 || u+v > 1 {
				continue
			}
			at := j*d.nx + i
			d.near[at] = max(d.near[at], float32(z[0]+u*(z[1]-z[0])+v*(z[2]-z[0])))
		}
	}
}

// cell returns the cell of a point, held inside the map.
func (d *depthMap) cell(p r2.Vec) (i, j int) {
	i = min(max(int((p.X-d.min.X)/depthCell), 0), d.nx-1)
	j = min(max(int((p.Y-d.min.Y)/depthCell), 0), d.ny-1)
	return i, j
}

// shows reports that a point is not behind the surface.
func (d *depthMap) shows(p r2.Vec, z float64) bool {
	i, j := d.cell(p)
	return z >= float64(d.near[j*d.nx+i])-depthSlack
}

// showsFacet looks at the middle of a triangle and near its corners.
func (d *depthMap) showsFacet(f facet) bool {
	mid := r2.Scale(1.0/3, r2.Add(f.at[0], r2.Add(f.at[1], f.at[2])))
	mz := f.depth() / 3
	if d.shows(mid, mz) {
		return true
	}
	for i := range 3 {
		if d.shows(r2.Add(r2.Scale(0.9, f.at[i]), r2.Scale(0.1, mid)), 0.9*f.z[i]+0.1*mz) {
			return true
		}
	}
	return false
}

// shown returns the visible runs of a straight line.
func (d *depthMap) shown(a, b r2.Vec, za, zb float64, pen Pen) []Item {
	n := max(1, int(math.Ceil(r2.Norm(r2.Sub(b, a))/(2*depthCell))))
	var items []Item
	from := -1
	at := func(k int) r2.Vec { return r2.Add(a, r2.Scale(float64(k)/float64(n), r2.Sub(b, a))) }
	for k := range n {
		w := (float64(k) + 0.5) / float64(n)
		visible := d.shows(r2.Add(a, r2.Scale(w, r2.Sub(b, a))), za+w*(zb-za))
		if visible && from < 0 {
			from = k
		}
		if !visible && from >= 0 {
			items = append(items, Line(pen, at(from), at(k)))
			from = -1
		}
	}
	if from >= 0 {
		items = append(items, Line(pen, at(from), b))
	}
	return items
}

// trace draws the visible runs of a polyline, joined where they touch.
func (d *depthMap) trace(v View, tr Trace) []Item {
	var items []Item
	var run []r2.Vec
	flush := func() {
		if len(run) > 1 {
			items = append(items, Line(tr.Pen, run...))
		}
		run = nil
	}
	for i := 1; i < len(tr.Points); i++ {
		a, za := v.At(tr.Points[i-1])
		b, zb := v.At(tr.Points[i])
		for _, it := range d.shown(a, b, za, zb, tr.Pen) {
			seg := it.(Path).Points
			if len(run) == 0 || run[len(run)-1] != seg[0] {
				flush()
				run = append(run, seg[0])
			}
			run = append(run, seg[1])
		}
	}
	flush()
	return items
}
