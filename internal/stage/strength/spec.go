// Package strength answers whether the part's wall holds: how far it moves under
// the loads of its duty, how near its plies come to failing, at which multiple
// of the load it buckles and how fast it swings, from the part's surface, the
// layers on it with their yarns where draping put them, and how it is held.
//
// Units are SI. Layers are listed from the mould face along the mesh's outward
// normal; pressure is positive along that normal. A direction is a vector in the
// part's space.
//
// What holds the part may be its edge, fasteners that give, or a bonded flange; it may
// grow as it warms. Forces on it are told, and what they ask of laminate and bond.
//
// Each triangle has the wall that is laid there: cloth by its own yarns, of the piece
// that it belongs to, doubled where pieces lie over each other, and no more than there
// is where it ends. Where an edge of cloth runs through a triangle, both of its parts
// take the triangle's strain. A butted seam is judged with no stress over it.
//
// A line through the wall stays straight. How a lap's yarns take their load up through
// the resin, and doublers, are not in it.
package strength

import (
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
	"laywright/internal/stage/joint"
)

// Spec is the job file's strength section.
type Spec struct {
	LargeDeflection *bool        `yaml:"large_deflection"`
	MeshError       si.Fraction  `yaml:"mesh_error" above:"0" most:"1"` // of the stress, that the triangles may bring: they are made finer until it is met; 0: as they are
	HotWet          bool         `yaml:"hot_wet"`                       // count what moist resin keeps of its strength at the case's wall temperature
	Retention       *si.Fraction `yaml:"retention" above:"0" most:"1"`  // of matrix strength, tested hot and moist, in every case; goes before hot_wet
}

// Edge is how the outer rim is held.
type Edge string

// The ways to hold the rim. None given means pinned, the safer of the two.
const (
	Clamped Edge = "clamped"
	Pinned  Edge = "pinned"
)

// Fastener holds the wall's motion, not its turning, within a diameter.
type Fastener struct {
	At       r3.Vec
	Diameter si.Length
}

// Screwed is what all fasteners have in common. Zero: not told.
type Screwed struct {
	Stiffness si.Stiffness // across each; not told: by a published formula
	E         si.Pressure  // of its metal; not told: steel
	Head      si.Length    // diameter of head or washer; not told: twice the hole
	Bearing   si.Pressure  // strength of the laminate; not told: as in compression
}

// Flange is a flat land along the rim that is bonded to what holds the part.
type Flange struct {
	Width    si.Length      // from the rim; 0: all that is flat there
	Adhesive joint.Adhesive // what is 0 is not told
}

// Ground is what holds the part. Zero: not told.
type Ground struct {
	Expansion *si.Expansion // nil: it grows as the part does
	E         si.Pressure   // 0: as the wall
	Thickness si.Length     // 0: as the wall
}

// Layer is one layer of the wall.
type Layer struct {
	wall.Ply
	Mass      si.ArealMass // cured, before shearing
	Core      bool
	CoreShear si.Pressure // a core's shear strength; 0: not known
	Doubler   bool        // lies only where Walls have it
}

// Part is a share of a triangle over which the same layers lie: a seam, an edge of
// cloth or of a lap runs between two of them.
type Part struct {
	Share float64
	Lays  []Lay // from the mould face; a layer that lies double stands twice
}

// Lay is a layer where it lies.
type Lay struct {
	Layer int    // its place in the list
	Cloth *Cloth // as draped; nil: as it is written, its angle counted from Warp
}

// Cloth is how draping laid a cloth.
type Cloth struct {
	Warp, Weft r3.Vec   // unit vectors in the triangle's plane
	Shear      si.Angle // by which they close to less than a right angle
	Bulk       float64  // flat area of cloth over the area that it covers
}

// Butt is a triangle beside a seam over which a layer's yarns do not go on.
type Butt struct {
	Face, Layer int
	Along       r3.Vec // the seam's direction
}

// Case is one combination of loads.
type Case struct {
	Name     string
	Pressure si.Pressure              // outward positive
	Inertia  float64                  // in g, along the worst of the axes either way
	Handling si.Force                 // a push inward
	DT       si.TemperatureDifference // of the middle of the wall, against the wall free of stress
	Across   si.TemperatureDifference // by which its free side is warmer than the mould's
	Under    si.TemperatureDifference // of what holds the part, against the same
	Wall     si.Temperature           // of the wall; 0: not said

	growth float64 // of what holds the part
}

// Input is what the stage works from.
type Input struct {
	Spec      Spec
	Mesh      *mesh.Mesh
	Layers    []Layer
	Walls     [][]Part // of each triangle; nil: every layer lies once everywhere, as written
	Butts     []Butt
	Warp      r3.Vec // what angle 0 of a layer as it is written runs along
	Edge      Edge
	Fasteners []Fastener // hold the part instead of its edge
	Screwed   Screwed
	Flange    *Flange // holds it instead of its edge
	Ground    Ground
	Cases     []Case
	At        *r3.Vec   // where the hand pushes; nil: where the wall is softest
	Patch     si.Length // diameter of what pushes; 0: the heel of a hand
	Engine    *joint.Engine
	Limit     *si.Length // on deflection
	Factor    float64    // of safety on failure and buckling; 0: 1.5
	MassKnown bool       // every layer's mass is known
	Matrix    Matrix     // of the resin
}
