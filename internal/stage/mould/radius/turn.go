package radius

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// across returns how far the surface turns across the tight place that vertex v
// lies in, and how wide the place is: along the direction in which it bends, both
// ways.
func (f *finder) across(v int) (turn, width float64) {
	if f.tracer == nil {
		f.tracer = mesh.NewTracer(f.Top, nil)
	}
	turnA, widthA := f.oneWay(v, f.dir[v])
	turnB, widthB := f.oneWay(v, r3.Scale(-1, f.dir[v]))
	return turnA + turnB, widthA + widthB
}

// oneWay follows the surface from v. It turns until it bends by less than an eighth
// as much as at v, and is tight until it bends by less than least. A step is an eighth
// of the radius at v; half a round turn, or the rim, is the end.
func (f *finder) oneWay(v int, along r3.Vec) (turn, width float64) {
	const steps = 8
	start, ok := f.beside(v, along)
	if !ok {
		return 0, 0
	}
	step := 1 / (f.bend[v] * steps)
	last, before := f.Normals[v], f.bend[v]
	tight, turning := true, true
	for i := 1; (tight || turning) && i <= int(math.Ceil(math.Pi*steps)); i++ {
		s, atRim, err := f.tracer.End(start, along, float64(i)*step)
		if err != nil {
			break
		}
		n, k := f.felt(s.Point)
		if turning && r3.Norm(n) > 0 {
			last = r3.Unit(n)
		}
		if tight {
			width += step
			if tight = k >= f.least; !tight {
				width -= step * (f.least - k) / (before - k)
			}
		}
		turning = turning && k >= f.bend[v]/8
		if before = k; atRim {
			break
		}
	}
	return math.Acos(max(-1, min(1, r3.Dot(f.Normals[v], last)))), width
}

// felt returns the normal, not of unit length, and the bend at a place.
func (f *finder) felt(p mesh.Point) (n r3.Vec, k float64) {
	t := f.Top.Mesh.Triangles[p.Face]
	for c, w := range p.Bary {
		n = r3.Add(n, r3.Scale(w, f.Normals[t[c]]))
		k += w * f.bend[t[c]]
	}
	return n, k
}

// beside returns a place just off v inside the triangle that the direction points
// into.
func (f *finder) beside(v int, along r3.Vec) (mesh.Point, bool) {
	best, at := mesh.Point{}, -2.0
	m := f.Top.Mesh
	for _, face := range f.Top.VertexFaces(v) {
		to := r3.Sub(m.Centroid(int(face)), m.Vertices[v])
		if r3.Norm(to) == 0 {
			continue
		}
		if c := r3.Dot(r3.Unit(to), along); c > at {
			at = c
			best = mesh.Point{Face: int(face), Bary: [3]float64{0.02, 0.02, 0.02}}
			for k, w := range m.Triangles[face] {
				if int(w) == v {
					best.Bary[k] = 0.96
				}
			}
		}
	}
	return best, at > 0
}
