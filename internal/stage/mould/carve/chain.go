package carve

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/geom"
)

// segment is a piece of an outline; from and to tell which mesh or grid edge
// its ends lie on, so that pieces join without comparing places.
type segment struct {
	from, to [2]int32
	a, b     r2.Vec
}

// chains joins segments end to start. A chain that does not close is open and is
// closed by a straight line from its last place to its first: where a mould stands
// on its base, that is the base.
func chains(segs []segment) (out []geom.Polygon, open []bool) {
	start := make(map[[2]int32]int, len(segs))
	led := make(map[[2]int32]bool, len(segs)) // places that a segment leads to
	for i, s := range segs {
		start[s.from] = i
		led[s.to] = true
	}
	used := make([]bool, len(segs))
	walk := func(i int) {
		var p geom.Polygon
		ends := false
		for {
			used[i] = true
			p = append(p, segs[i].a)
			next, ok := start[segs[i].to]
			if !ok {
				p, ends = append(p, segs[i].b), true
				break
			}
			if used[next] {
				break
			}
			i = next
		}
		if p = p.Clean(1e-9); len(p) > 2 {
			out, open = append(out, p), append(open, ends)
		}
	}
	for i, s := range segs { // open chains from their beginning
		if !led[s.from] {
			walk(i)
		}
	}
	for i := range segs {
		if !used[i] {
			walk(i)
		}
	}
	return out, open
}

// Foot returns the outlines, anticlockwise, of where a distance is negative in
// the plane z = 0 inside a box, from a grid of the given cell. Its corners lie
// on the true outline.
func Foot(at func(p r3.Vec) (float64, r3.Vec), box r3.Box, cell float64) []geom.Polygon {
	nx := int(math.Ceil((box.Max.X-box.Min.X)/cell)) + 3
	ny := int(math.Ceil((box.Max.Y-box.Min.Y)/cell)) + 3
	place := func(i int) r2.Vec {
		return r2.Vec{X: box.Min.X + cell*(float64(i%nx)-1.37), Y: box.Min.Y + cell*(float64(i/nx)-1.41)}
	}
	d := make([]float64, nx*ny)
	value := func(p r2.Vec) float64 { x, _ := at(r3.Vec{X: p.X, Y: p.Y}); return x }
	for i := range d {
		d[i] = value(place(i))
	}
	var segs []segment
	for j := range ny - 1 {
		for i := range nx - 1 {
			c := j*nx + i
			for _, t := range [2][3]int{{c, c + 1, c + nx + 1}, {c, c + nx + 1, c + nx}} {
				var s segment
				count := 0
				for k := range 3 {
					a, b := t[k], t[(k+1)%3]
					if (d[a] < 0) == (d[b] < 0) {
						continue
					}
					e := [2]int32{int32(min(a, b)), int32(max(a, b))}
					q := zero(place(min(a, b)), place(max(a, b)), value)
					if d[a] < 0 {
						s.from, s.a = e, q
					} else {
						s.to, s.b = e, q
					}
					count++
				}
				if count == 2 {
					segs = append(segs, s)
				}
			}
		}
	}
	out, _ := chains(segs)
	for i, p := range out {
		out[i] = geom.Simplify(p, footTolerance)
	}
	return out
}

// footTolerance is how far a simplified foot may stand off its true outline, m.
const footTolerance = 3e-6

// zero halves the way from p to q, at which value has different signs.
func zero(p, q r2.Vec, value func(r2.Vec) float64) r2.Vec {
	inside := value(p) < 0
	for range 40 {
		mid := r2.Scale(0.5, r2.Add(p, q))
		if (value(mid) < 0) == inside {
			p = mid
		} else {
			q = mid
		}
	}
	return r2.Scale(0.5, r2.Add(p, q))
}
