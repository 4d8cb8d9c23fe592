package slits

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/stage/drape"
)

// Ask is what a kind of ply is laid by. Angles are rad, lengths m.
type Ask struct {
	Angle   float64 // from the warp's direction towards the weft
	Locking float64 // shear beyond which the cloth is stiffer; 0: none
	Limit   float64 // shear over which it is cut; differs from Locking where the record has none
	By      float64 // how far cuts are moved to the left of the best lines
	Trifle  float64 // area that no cut is made for, m²
	Film    bool    // a sheet that does not shear: Limit is then [FilmLimit]

	Width     float64 // widest piece across its warp that the roll gives; 0: no limit
	Opposite  bool    // a tube is opened across from where it is usually
	RightOver bool    // the right side of a cut lies over the left one
	Drawn     []Line  // cuts that the person draws
	More      bool    // where drawn cuts leave cloth locked, others are made too
	Forbid    bool    // no cut is made
	KeepOff   []Ball  // places through which no cut runs unless nothing else is possible

	Room *drape.Room // for large sheets to be laid in; nil: each has its own
}

// capTurn is the curvature, rad, of a cap of a ball whose rim a sheet that does not shear
// strains by 1 when it is pressed on.
//
//	ε = Ω/(8π) round the rim, and Ω/(16π) the other way in the middle
//
// Ω is the cap's curvature. Shallow caps, and a sheet as stiff in all directions that
// does not grow narrower when it is drawn (no Poisson's ratio), as [drape.Input.Film] is.
//
// Derived here: the sheet in its plane, ∇⁴φ = −E·K with a free rim, is strained by
// K·(R² − 3r²)/16 round the middle.
const capTurn = 8 * math.Pi

// FilmLimit is the limit of an ask for a sheet that does not shear, rad: the curvature
// of the cap on which it is strained by no more than a share of its lengths.
func FilmLimit(strain float64) float64 { return capTurn * strain }

// FilmStrain is by how much a film's lengths change at a vertex of its bed, either way.
func (b *Bed) FilmStrain(v int) float64 { return math.Abs(b.Shear[v]) / capTurn }

// filmTurn is what stands for the shear of a film with these two main changes of length:
// above 0 where it is pressed together, as round a place that closes in, below 0 where it
// is drawn out.
func filmTurn(change [2]float64) float64 {
	if math.Abs(change[0]) > math.Abs(change[1]) {
		return -capTurn * change[0]
	}
	return -capTurn * change[1]
}

// Line is a cut that the person draws: its ends, over or on the surface.
type Line struct {
	From, To r3.Vec
	Part     bool // from rim to rim: it parts the ply, or opens a tube
}

// Ball is a place to be kept off.
type Ball struct {
	At     r3.Vec
	Radius float64 // m
}

// detourRound is how much longer a way counts inside a place to be kept off.
const detourRound = 8

// toll returns what a step to a vertex counts against its length.
func (k Ask) toll(at r3.Vec) float64 {
	if k.kept(at) {
		return detourRound
	}
	return 1
}

func (k Ask) kept(at r3.Vec) bool {
	for _, b := range k.KeepOff {
		if r3.Norm2(r3.Sub(at, b.At)) < b.Radius*b.Radius {
			return true
		}
	}
	return false
}
