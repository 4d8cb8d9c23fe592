// Package radius answers where a surface bends too tightly for the cloths that are
// laid on it: hollows that cloth bridges, with the fillet and the filler that mend
// them, and outer edges that it lifts off or breaks over; and how much of the
// surface is flat, curved one way or both ways.
//
// A tight line is a connected place tighter than the widest limit of the cloths.
// Curvature comes in at the vertices, 1/m, hollow negative seen from the free side:
// from the shape itself where that is known, else from [Fitted].
//
// Lengths are metres, angles radians. It doesn't say how cloth stands in a hollow,
// doesn't count the plies that lie below a cloth and make the hollow tighter, and
// does not ask whether the walls beside a hollow leave room for the fillet.
package radius

import (
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

// Surface is what is judged.
type Surface struct {
	Top       *mesh.Topology
	Normals   []r3.Vec  // at the vertices
	Low, High []float64 // least and greatest principal curvature at the vertices, 1/m
	LowDir    []r3.Vec  // unit tangents along which it bends by Low
	HighDir   []r3.Vec
	Skip      []bool  // vertices without curvature: on sharp edges, or beside what a fit can't tell
	Sharp     []int32 // edges of the mesh that are edges of the shape: radius 0
}

// Cloth is a cloth with the tightest radii that it goes into and round by hand; 0:
// not known.
type Cloth struct {
	Name   string
	Hollow si.Length
	Outer  si.Length
}

// Line is a place tighter than one cloth or more.
type Line struct {
	At     [3]float64 `json:"at_m"` // where it is tightest
	Length si.Length  `json:"length_m"`
	Radius si.Length  `json:"radius_m"` // the least; 0: a sharp edge
	Turn   si.Angle   `json:"turn_deg"` // through which the surface turns across it, the mean
	Cloths []string   `json:"cloths"`   // for which it is too tight
	Wanted si.Length  `json:"wanted_m"` // radius that suits them all
	Filler *si.Volume `json:"filler_m3,omitempty"`
}

// Share of the limit by which a radius may fall short before it is told: a fillet
// of just the wanted radius comes out of a mesh some per cent tighter here and
// there.
const room = 0.05
