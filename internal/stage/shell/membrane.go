package shell

import (
	"math"

	"laywright/internal/base/wall"
)

// row9 is a strain or slope as a function of three unknowns at each corner.
type row9 = [9]float64

// membraneRows returns strain (x, y, xy) at the middles of sides 0-1, 1-2 and
// 2-0 as a function of (u, v, θ) at the corners, θ being the turn about the
// normal.
//
//	ε = (1/A)·Lᵀ·q + (3/2)·√β₀·Tₑ·Q·θ̃
//
// The first term is the mean strain of the triangle with curved sides, the
// second a part without mean that in-plane bending needs; θ̃ is what the corners
// turn more than the triangle as a whole. Summed over the three middles with a
// third of the area each, this is the optimal triangle of the source: it passes
// the patch test and bends in its plane like a beam whatever its shape.
//
// Source: [felippa2003].
func (e *element) membraneRows() [3][3]row9 {
	mean := e.meanStrain()
	turn := e.extraTurn()
	natural := e.naturalStrain()
	var out [3][3]row9
	for p := range 3 {
		q := sideStrain(p, e)
		for i := range 3 {
			out[p][i] = mean[i]
			for k := range 3 { // of the natural strains
				for c := range 3 { // of the corners' turns
					s := e.higher * natural[i][k] * q[k][c]
					for d := range 9 {
						out[p][i][d] += s * turn[c][d]
					}
				}
			}
		}
	}
	return out
}

func (e *element) dx(i, j int) float64 { return e.x[i] - e.x[j] }
func (e *element) dy(i, j int) float64 { return e.y[i] - e.y[j] }

// meanStrain is Lᵀ/A with the parameter α_b = 3/2 for the corners' turns.
func (e *element) meanStrain() [3]row9 {
	const alpha = 1.5
	var out [3]row9
	for i := range 3 {
		j, k := (i+1)%3, (i+2)%3
		x, y := e.dx(k, j)/(2*e.area), e.dy(j, k)/(2*e.area)
		out[0][3*i], out[1][3*i+1] = y, x
		out[2][3*i], out[2][3*i+1] = x, y
		s := alpha / (12 * e.area)
		out[0][3*i+2] = s * e.dy(j, k) * (e.dy(i, k) - e.dy(j, i))
		out[1][3*i+2] = s * e.dx(k, j) * (e.dx(k, i) - e.dx(i, j))
		out[2][3*i+2] = 2 * s * (e.dx(k, i)*e.dy(i, k) - e.dx(i, j)*e.dy(j, i))
	}
	return out
}

// extraTurn is a corner's turn less the mean turn ½(∂v/∂x − ∂u/∂y).
func (e *element) extraTurn() [3]row9 {
	var mean row9
	for i := range 3 {
		j, k := (i+1)%3, (i+2)%3
		mean[3*i] = -e.dx(k, j) / (4 * e.area)
		mean[3*i+1] = e.dy(j, k) / (4 * e.area)
	}
	var out [3]row9
	for c := range 3 {
		out[c][3*c+2] = 1
		for d := range mean {
			out[c][d] -= mean[d]
		}
	}
	return out
}

// naturalStrain turns strains along the three sides into (x, y, xy).
func (e *element) naturalStrain() [3][3]float64 {
	var out [3][3]float64
	for side := range 3 { // from corner side to corner side+1
		i, j, k := side, (side+1)%3, (side+2)%3
		l2 := e.side2(side) / (4 * e.area * e.area)
		out[0][side] = e.dy(j, k) * e.dy(i, k) * l2
		out[1][side] = e.dx(j, k) * e.dx(i, k) * l2
		out[2][side] = (e.dy(j, k)*e.dx(k, i) + e.dx(k, j)*e.dy(i, k)) * l2
	}
	return out
}

func (e *element) side2(side int) float64 {
	j := (side + 1) % 3
	return e.dx(side, j)*e.dx(side, j) + e.dy(side, j)*e.dy(side, j)
}

// sideStrain is the strain along the sides that the corners' extra turns make at
// the middle of side p: the mean of the two corners' values.
func sideStrain(p int, e *element) [3][3]float64 {
	// The nine optimal parameters, row by row for corner 0.
	b := [9]float64{1, 2, 1, 0, 1, -1, -1, -1, -2}
	corner := [3][3][3]float64{
		{{b[0], b[1], b[2]}, {b[3], b[4], b[5]}, {b[6], b[7], b[8]}},
		{{b[8], b[6], b[7]}, {b[2], b[0], b[1]}, {b[5], b[3], b[4]}},
		{{b[4], b[5], b[3]}, {b[7], b[8], b[6]}, {b[1], b[2], b[0]}},
	}
	var out [3][3]float64
	for side := range 3 {
		s := 2 * e.area / (3 * e.side2(side))
		for c := range 3 {
			out[side][c] = s * (corner[p][side][c] + corner[(p+1)%3][side][c]) / 2
		}
	}
	return out
}

// higherScale returns (3/2)·√β₀.
//
//	β₀ = ½(1 − 4ν²), at least 0.01
//
// ν is Poisson's ratio of the wall made equal in all directions, from the
// invariants of its stiffness: U₄/U₁. For an isotropic wall that is the source's
// optimum; for others it keeps the choice independent of the axes.
//
// Source: [felippa2003], [tsai1968].
func higherScale(a wall.Matrix) float64 {
	u1 := 3*a[0][0] + 3*a[1][1] + 2*a[0][1] + 4*a[2][2]
	u4 := a[0][0] + a[1][1] + 6*a[0][1] - 4*a[2][2]
	nu := u4 / u1
	return 1.5 * math.Sqrt(math.Max(0.01, 0.5*(1-4*nu*nu)))
}
