package shell

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
)

// tensors holds the forces and moments per width of a wall as two symmetric tensors
// in space: xx, yy, zz, xy, xz, yz of each.
type tensors [12]float64

// MeshError estimates how far the stress of a motion is off for the mesh's sake: the
// energy of the difference between the triangles' own forces and moments and those
// that run smoothly over the surface, as a share of the whole under the root.
//
//	η² = Σ ∫ Δᵀ·C⁻¹·Δ dA    share = η/√(U + η²)
//
// Δ is recovered less own force and moment, C the wall's stiffness, U the energy
// of the own. Recovered values are means at the corners, weighted by area, over the
// triangles that go on smoothly there. Shear through the wall is left out. Beside
// a rim, where the mean is one-sided, and where the true stress jumps it overstates.
// by is each triangle's part of η², adding to 1.
//
// Source: [zienkiewicz1987].
func (s *Solver) MeshError(m Motion, dT si.TemperatureDifference) (share float64, by []float64) {
	own := make([][3]wall.Load, len(s.elements))
	var sum []tensors
	var area []float64
	for i := range s.elements {
		e := &s.elements[i]
		for p, strain := range s.Strains(i, m)[0].At {
			own[i][p] = e.resultant(strain, dT)
		}
		here := e.inSpace(mean(own[i]))
		for _, f := range e.fans {
			for int(f) >= len(sum) {
				sum, area = append(sum, tensors{}), append(area, 0)
			}
			area[f] += e.area
			for k, v := range here {
				sum[f][k] += e.area * v
			}
		}
	}
	by = make([]float64, len(s.elements))
	var whole, off float64
	for i := range s.elements {
		e := &s.elements[i]
		for p := range 3 {
			a, b := e.fans[p], e.fans[(p+1)%3]
			var smooth tensors
			for k := range smooth {
				smooth[k] = (sum[a][k]/area[a] + sum[b][k]/area[b]) / 2
			}
			whole += e.area / 3 * e.energy(own[i][p])
			by[i] += e.area / 3 * e.energy(less(e.inPlane(&smooth), own[i][p]))
		}
		off += by[i]
	}
	if off == 0 {
		return 0, by
	}
	for i := range by {
		by[i] /= off
	}
	return math.Sqrt(off / (whole + off)), by
}

// resultant returns the forces and moments of a strain.
func (e *element) resultant(s wall.Strain, dT si.TemperatureDifference) wall.Load {
	l := e.section.Wall.Carry(s, dT)
	l.DT = 0
	return l
}

// energy is twice that of forces and moments, per area.
func (e *element) energy(l wall.Load) (sum float64) {
	strain := e.section.Wall.Respond(l)
	for k := range 3 {
		sum += l.N[k]*strain.Mid[k] + l.M[k]*strain.Curvature[k]
	}
	return sum
}

func mean(l [3]wall.Load) (out wall.Load) {
	for k := range 3 {
		out.N[k] = (l[0].N[k] + l[1].N[k] + l[2].N[k]) / 3
		out.M[k] = (l[0].M[k] + l[1].M[k] + l[2].M[k]) / 3
	}
	return out
}

func less(a, b wall.Load) wall.Load {
	for k := range 3 {
		a.N[k] -= b.N[k]
		a.M[k] -= b.M[k]
	}
	return a
}

func (e *element) inSpace(l wall.Load) (t tensors) {
	x, y := e.axes[0], e.axes[1]
	for half, v := range [2]wall.Vec{l.N, l.M} {
		along := r3.Add(r3.Scale(v[0], x), r3.Scale(v[2], y)) // T·x
		across := r3.Add(r3.Scale(v[2], x), r3.Scale(v[1], y))
		copy(t[6*half:], []float64{
			along.X*x.X + across.X*y.X, along.Y*x.Y + across.Y*y.Y, along.Z*x.Z + across.Z*y.Z,
			along.X*x.Y + across.X*y.Y, along.X*x.Z + across.X*y.Z, along.Y*x.Z + across.Y*y.Z,
		})
	}
	return t
}

func (e *element) inPlane(t *tensors) (l wall.Load) {
	x, y := e.axes[0], e.axes[1]
	for half, to := range [2]*wall.Vec{&l.N, &l.M} {
		h := t[6*half:]
		times := func(v r3.Vec) r3.Vec {
			return r3.Vec{X: h[0]*v.X + h[3]*v.Y + h[4]*v.Z, Y: h[3]*v.X + h[1]*v.Y + h[5]*v.Z, Z: h[4]*v.X + h[5]*v.Y + h[2]*v.Z}
		}
		*to = wall.Vec{r3.Dot(x, times(x)), r3.Dot(y, times(y)), r3.Dot(x, times(y))}
	}
	return l
}
