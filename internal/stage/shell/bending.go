package shell

import "math"

// row9 is a strain or slope as a function of (w, θx, θy) at each corner.
type row9 = [9]float64

// bendingPoint holds, at the middle of a side, the curvatures (x, y, xy), the
// turns βx, βy and the shear strains through the wall (x, y) as functions of
// (w, θx, θy) at the corners.
type bendingPoint struct {
	curvature [3]row9
	turn      [2]row9
	shear     [2]row9
}

// bendingRows returns the bending part at the middles of sides 0-1, 1-2, 2-0.
//
// The turn β of the line through the wall is quadratic over the triangle. At the
// corners it is the unknown turn, βx = θy and βy = −θx. Along a side from i to j
// of length l the turn across it is linear, and the turn along it takes a bulge
// Δ in the middle, so chosen that the moment along the side and the force across
// the wall are in balance on it:
//
//	βs = ½(βsᵢ + βsⱼ) + Δ    Δ = −3/(2(1+φ))·[(wⱼ − wᵢ)/l + ½(βsᵢ + βsⱼ)]
//	φ = 12·D/(S·l²)          γs = −⅔·φ·Δ
//
// D is the bending and S the shear stiffness along the side. A thin wall has no
// φ, and w along the side is the cubic of a beam. Curvature is κ = (∂βx/∂x,
// ∂βy/∂y, ∂βx/∂y + ∂βy/∂x); the shear strain γ is the field linear over the
// triangle whose part along each side is γs.
//
// Source: [batoz1980] (thin wall), [katili1993] (with shear).
func (e *element) bendingRows() [3]bendingPoint {
	nodes, along := e.turns()
	gx, gy := e.gradients()
	var out [3]bendingPoint
	for p := range 3 {
		var l [3]float64
		l[p], l[(p+1)%3] = 0.5, 0.5
		for i := range 3 {
			j := (i + 1) % 3
			corner, side := 4*l[i]-1, 4.0
			out[p].add(nodes[i], l[i]*(2*l[i]-1), corner*gx[i], corner*gy[i])
			out[p].add(nodes[3+i], side*l[i]*l[j], side*(l[i]*gx[j]+l[j]*gx[i]), side*(l[i]*gy[j]+l[j]*gy[i]))
			for d := range 9 { // l·(Lᵢ∇Lⱼ − Lⱼ∇Lᵢ) has part 1 along side i-j and none along the others
				out[p].shear[0][d] += along[i][d] * (l[i]*gx[j] - l[j]*gx[i])
				out[p].shear[1][d] += along[i][d] * (l[i]*gy[j] - l[j]*gy[i])
			}
		}
	}
	return out
}

// add adds one node's part with its shape function n and the gradient of it.
func (b *bendingPoint) add(turn [2]row9, n, nx, ny float64) {
	for d := range 9 {
		b.turn[0][d] += n * turn[0][d]
		b.turn[1][d] += n * turn[1][d]
		b.curvature[0][d] += nx * turn[0][d]
		b.curvature[1][d] += ny * turn[1][d]
		b.curvature[2][d] += ny*turn[0][d] + nx*turn[1][d]
	}
}

// slope returns ∂w/∂x (0) or ∂w/∂y (1).
func (b *bendingPoint) slope(axis int) row9 {
	var out row9
	for d := range out {
		out[d] = b.shear[axis][d] - b.turn[axis][d]
	}
	return out
}

// turns returns (βx, βy) at the corners and then at the middles of the sides, and
// the shear strain along each side times its length.
func (e *element) turns() (beta [6][2]row9, shear [3]row9) {
	for i := range 3 {
		beta[i][0][3*i+2] = 1
		beta[i][1][3*i+1] = -1
	}
	for i := range 3 {
		j := (i + 1) % 3
		l := math.Sqrt(e.side2(i))
		c, s := e.dx(j, i)/l, e.dy(j, i)/l
		phi := e.softness(c, s, l)
		var gap, along, across row9 // gap: the bracket in Δ
		gap[3*i], gap[3*j] = -1/l, 1/l
		for d := range 9 {
			x, y := beta[i][0][d]+beta[j][0][d], beta[i][1][d]+beta[j][1][d]
			along[d] = 0.5 * (c*x + s*y)
			across[d] = 0.5 * (-s*x + c*y)
			gap[d] += along[d]
		}
		for d := range 9 {
			along[d] -= 1.5 / (1 + phi) * gap[d]
			shear[i][d] = l * phi / (1 + phi) * gap[d]
			beta[3+i][0][d] = c*along[d] - s*across[d]
			beta[3+i][1][d] = s*along[d] + c*across[d]
		}
	}
	return beta, shear
}

// softness is φ of a side along (c, s) of length l.
func (e *element) softness(c, s, l float64) float64 {
	w := &e.section.Wall
	d := w.D
	bend := d[0][0]*c*c*c*c + d[1][1]*s*s*s*s + 2*(d[0][1]+2*d[2][2])*c*c*s*s + 4*c*s*(d[0][2]*c*c+d[1][2]*s*s)
	return 12 * bend / ((w.Shear[0]*c*c + w.Shear[1]*s*s) * l * l)
}
