package mould

import (
	"laywright/internal/base/bind"
	"laywright/internal/base/si"
)

// Joint sets the filler radius where two solids meet.
type Joint struct {
	Between []int     `yaml:"between"` // two solids by their number in the list, from 1; 0 is the base plane and any flange
	Fillet  si.Length `yaml:"fillet"`
}

// Flange is a flat flange round the solids in a plane of any slope. The body
// stands on the plane's free side, to which the normal points.
type Flange struct {
	At     bind.Point     `yaml:"at"`
	Normal bind.Direction `yaml:"normal"`
	Width  si.Length      `yaml:"width"` // from the solids' bare foot in the plane
}

// Joggle is a step inwards along an edge, in which the edge of a mating piece
// lies flush.
type Joggle struct {
	Depth  si.Length       `yaml:"depth"`  // the wall's thickness where left out
	Width  si.Length       `yaml:"width"`  // of the step's flat, from the plane
	Ramp   si.Length       `yaml:"ramp"`   // over which the face comes back; four depths where left out
	At     *bind.Point     `yaml:"at"`     // of the plane along which it runs; the base plane where left out
	Normal *bind.Direction `yaml:"normal"` // out of the plane, into the part
}

// Drawn says what the dimensions of the solids are of.
type Drawn string

// What may be drawn. The mould face is moved from there by the wall's thickness
// where the drawn side is not the one that lies on it.
const (
	MouldFace Drawn = "mould face"
	Inside    Drawn = "inside of part"
	Outside   Drawn = "outside of part"
)

// Stub is a short pipe that a hose is pushed over, on a wall at any angle: at is
// the middle of its root on the wall, axis the way out. Its mouth is open.
type Stub struct {
	Diameter si.Length       `yaml:"diameter"`
	Length   si.Length       `yaml:"length"`
	At       bind.Point      `yaml:"at"`
	Axis     *bind.Direction `yaml:"axis"`
	Sunk     si.Length       `yaml:"sunk"` // how far it goes on into the wall; its diameter where left out
	Bead     *Bead           `yaml:"bead"`
	Shoulder *Shoulder       `yaml:"shoulder"`
}

// Bead is a ring round a stub that holds a hose.
type Bead struct {
	Height si.Length `yaml:"height"` // out of the pipe
	Width  si.Length `yaml:"width"`  // of its foot; four heights where left out
	Back   si.Length `yaml:"back"`   // of its middle from the mouth; its width where left out
}

// Shoulder is a collar at a stub's root.
type Shoulder struct {
	Diameter si.Length `yaml:"diameter"`
	Length   si.Length `yaml:"length"` // along the stub
}

// Lip is an upstanding edge along an outline, as round an opening that a lid or
// a seal goes over: at is the middle of the outline on the wall, axis the way
// up.
type Lip struct {
	Outline   Section         `yaml:"outline"` // of the lip's middle
	Thickness si.Length       `yaml:"thickness"`
	Height    si.Length       `yaml:"height"`
	Edge      si.Length       `yaml:"edge"` // radius of its upper edges
	At        bind.Point      `yaml:"at"`
	Axis      *bind.Direction `yaml:"axis"`
	Turn      si.Angle        `yaml:"turn"` // of the outline about the axis
	Sunk      si.Length       `yaml:"sunk"` // how far it goes on into the wall; its height where left out
}

// Rib is a round bead raised on the face along a line; its points are brought
// onto the face.
type Rib struct {
	Path   bind.Points3 `yaml:"path"`
	Width  si.Length    `yaml:"width"`
	Height si.Length    `yaml:"height"` // at most half the width
}
