// Package wall answers how a wall of stacked plies is stiff, what a load and a
// change of temperature do to it, and when its first ply fails: classical
// lamination theory for thin walls, from the plies' moduli, expansions and
// strengths in plane stress.
//
// Units are SI: Pa, m, N/m (force per width), N (moment per width), K, rad.
// A ply's axis 1 runs along its warp or fibre, 2 across. z rises from the mould
// face and is 0 at mid-thickness; plies are listed from the mould face. Vectors
// of strain and stress hold (11, 22, 12) or (x, y, xy), shear strain being the
// engineering one; strain at z is midplane strain + z·curvature.
//
// It does not know where a ply comes from, and models no delamination and nothing
// after the first failure. Shear through the wall has a stiffness, for those who
// need it, but no part in strains and stresses here.
//
// Checked against the worked examples of [kaw2006] and [hyer1998].
package wall

import "laywright/internal/base/si"

// Ply is one layer of a wall. What is not known of it is nil.
type Ply struct {
	Name      string
	Angle     si.Angle // from x to axis 1, counter-clockwise seen from the free side
	Thickness si.Length
	Woven     bool        // yarns both ways: failure along 2 breaks yarns too
	Shear     si.Angle    // by which the weft has turned towards the warp
	G13, G23  si.Pressure // shear through the wall; 0: as G12
	Elastic   *Elastic
	Expansion *Expansion
	Strength  *Strength
	Yarns     *Yarns    // of a woven ply from constituents
	Seam      *si.Angle // of a butted seam there, from x; nil: the ply goes on
}

// Elastic holds a ply's constants in plane stress.
type Elastic struct {
	E1, E2, G12 si.Pressure
	Nu12        float64
}

// Expansion holds a ply's thermal expansion along its axes.
type Expansion struct{ Alpha1, Alpha2 si.Expansion }

// Strength holds a ply's strengths, all positive: tension and compression
// along 1 and 2, and shear.
type Strength struct{ Xt, Xc, Yt, Yc, S si.Pressure }

// Yarns tells what a woven ply is made of: two families of straight or crimped
// yarns, each with its resin, that lie within one another in one ply.
type Yarns struct {
	Along     Elastic // of one family, along its own yarns
	Expansion *Expansion
	WarpShare float64 // share of the fibre that runs along axis 1
}

// Valid tells whether the constants belong to a stable material: positive
// moduli and ν₁₂² < E₁/E₂.
func (e Elastic) Valid() bool {
	return e.E1 > 0 && e.E2 > 0 && e.G12 > 0 && e.Nu12*e.Nu12*float64(e.E2) < float64(e.E1)
}
