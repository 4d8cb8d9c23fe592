package slits

import (
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

	Width     float64 // widest piece across its warp that the roll gives; 0: no limit
	Opposite  bool    // a tube is opened across from where it is usually
	RightOver bool    // the right side of a cut lies over the left one
	Drawn     []Line  // cuts that the person draws
	More      bool    // where drawn cuts leave cloth locked, others are made too
	Forbid    bool    // no cut is made
	KeepOff   []Ball  // places through which no cut runs unless nothing else is possible

	Room *drape.Room // for large sheets to be laid in; nil: each has its own
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
