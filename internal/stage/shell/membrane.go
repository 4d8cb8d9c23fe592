package shell

import (
	"math"

	"laywright/internal/base/wall"
)

// membraneRows returns strain (x, y, xy) at the middles of sides 0-1, 1-2 and
// 2-0 as a function of the unknowns in the triangle's axes.
//
//	ε = ε₀ + (3/2)·√β₀·Tₑ·Q·θ̃
//
// The first term is the mean strain of the triangle with curved sides, the
// second a part without mean that in-plane bending needs; θ̃ is what the corners
// turn more than the triangle as a whole. Summed over the three middles with a
// third of the area each, this is the optimal triangle of the source: it passes
// the patch test and bends in its plane like a beam whatever its shape. Over a
// flat surface it is just that; over a curved one [side] says what is added.
//
// Source: [felippa2003].
func (e *element) membraneRows() [3][3]row18 {
	sides := e.sides()
	natural := e.naturalStrain()
	mean := e.meanStrain(&sides, &natural)
	turn := e.extraTurn(&sides)
	var out [3][3]row18
	for p := range 3 {
		q := sideStrain(p, e)
		for i := range 3 {
			out[p][i] = mean[i]
			for c := range 3 { // of the corners' turns
				var s float64
				for k := range 3 { // of the natural strains
					s += e.higher * natural[i][k] * q[k][c]
				}
				addRow(&out[p][i], s, &turn[c])
			}
		}
	}
	return out
}

func addRow(to *row18, s float64, r *row18) {
	for d, v := range r {
		to[d] += s * v
	}
}

func (e *element) dx(i, j int) float64 { return e.x[i] - e.x[j] }
func (e *element) dy(i, j int) float64 { return e.y[i] - e.y[j] }

// gradients returns those of the corners' area coordinates.
func (e *element) gradients() (gx, gy [3]float64) {
	for i := range 3 {
		j, k := (i+1)%3, (i+2)%3
		gx[i], gy[i] = e.dy(j, k)/(2*e.area), e.dx(k, j)/(2*e.area)
	}
	return gx, gy
}

// meanStrain is that of the corners' motion, of the sides' bulges, which follow
// from how much more one end turns than the other, with the source's α_b = 3/2, and
// of the rise over the sides.
func (e *element) meanStrain(sides *[3]side, natural *[3][3]float64) [3]row18 {
	const alpha = 1.5
	gx, gy := e.gradients()
	var out [3]row18
	for i := range 3 {
		out[0][6*i], out[1][6*i+1] = gx[i], gy[i]
		out[2][6*i], out[2][6*i+1] = gy[i], gx[i]
	}
	for q := range sides {
		d := &sides[q]
		twist, growth := d.twist(), d.growth(gx, gy)
		f := alpha / (12 * e.area) * d.l * d.l
		for i, bulge := range [3]float64{f * d.s * d.s, f * d.c * d.c, -2 * f * d.c * d.s} {
			addRow(&out[i], bulge, &twist)
			addRow(&out[i], natural[i][q], &growth)
		}
	}
	return out
}

// extraTurn is a corner's turn less the mean turn ½(∂v/∂x − ∂u/∂y): the mean of
// the corners, and what follows from the twists of the sides. Over a curved
// surface the side's chord turns less than its ends do in the mean, by
// (2Δz'·Δθ_along − Δm·Δθ_across)/12, Δ from end to end, when nothing is strained.
func (e *element) extraTurn(sides *[3]side) [3]row18 {
	gx, gy := e.gradients()
	var mean row18
	for c := range 3 {
		mean[6*c], mean[6*c+1], mean[6*c+5] = gy[c]/2, -gx[c]/2, 1.0/3
	}
	var out [3]row18
	for q := range sides {
		d := &sides[q]
		d.addDifference(&mean, (d.rise[0]-d.rise[1])/18, (d.lean[1]-d.lean[0])/36, 0)
		twist := d.twist()
		addRow(&out[d.i], -1.0/3, &twist)
		addRow(&out[d.j], 1.0/3, &twist)
	}
	for c := range out {
		addRow(&out[c], 1, &mean)
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
