package wall

import "laywright/internal/base/si"

// PartedAlong returns a ply as it is at a seam where its yarns end on both sides
// and are butted: no stress goes over the seam, which runs at angle a from x. What
// resin carries from one end to the other is left out.
func (p Ply) PartedAlong(a si.Angle) Ply {
	p.Seam = &a
	return p
}

// parted returns what is left of a stiffness and a thermal stress, in axes of which
// the first runs along the seam, where stress across it and shear along it are 0.
//
//	Q₁₁' = Q₁₁ − q·Q_ss⁻¹·q,   n₁' = n₁ − q·Q_ss⁻¹·n_s
//
// q holds Q₁₂ and Q₁₆, Q_ss and n_s the rows 2 and 6.
//
// Source: identity (elimination of the two strains).
func parted(q Matrix, n Vec) (Matrix, Vec) {
	det := q[1][1]*q[2][2] - q[1][2]*q[1][2]
	x, y := (q[2][2]*q[0][1]-q[1][2]*q[0][2])/det, (q[1][1]*q[0][2]-q[1][2]*q[0][1])/det
	return Matrix{{q[0][0] - x*q[0][1] - y*q[0][2]}}, Vec{n[0] - x*n[1] - y*n[2]}
}
