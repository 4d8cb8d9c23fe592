// Package laminate answers what the wall is made of: how thick and heavy each
// ply is, how stiff and strong the stack of them, and what a line load or a
// change of temperature does to it.
//
// It works from the stack a person wrote, with the records of the cloths,
// fibres, resin, measured plies and cores in it. Units are SI; z rises from the
// mould face and plies are listed from there; a ply's angle turns from the warp
// reference towards the weft, seen from the free side.
//
// A doubler, cloth that lies in given places alone, is a layer in its place, but counts
// neither in thickness nor mass nor stiffness here: they are those of the wall between.
//
// It knows a flat wall only: no shape, no draped yarns, no edges, no transverse
// shear. Whether the part holds is for the strength stage.
package laminate

import (
	"laywright/internal/base/bind"
	"laywright/internal/base/material"
	"laywright/internal/base/outline"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
)

// Spec is the job file's laminate section.
type Spec struct {
	Resin         string            `yaml:"resin"`
	FibreFraction *si.Fraction      `yaml:"fibre_fraction"` // by volume, cured
	ResinRatio    *si.Fraction      `yaml:"resin_ratio"`    // mass of resin to mass of cloth
	Stack         bind.Auto[[]Line] `yaml:"stack"`
	Choice        Choice            `yaml:"choose"` // for stack: auto
	Load          *Load             `yaml:"load"`
	Method        Method            `yaml:"micromechanics"`
}

// Line is one line of the stack: a cloth, a measured ply or a core.
type Line struct {
	Fabric        string       `yaml:"fabric"`
	Ply           string       `yaml:"ply"`
	Core          string       `yaml:"core"`
	Angle         si.Angle     `yaml:"angle"`
	Thickness     *si.Length   `yaml:"thickness"` // of a core
	ResinRatio    *si.Fraction `yaml:"resin_ratio"`
	FibreFraction *si.Fraction `yaml:"fibre_fraction"`
	Within        []Area       `yaml:"within"` // of cloth: a doubler, which lies in these places alone; everywhere where left out
}

// Area is where a doubler lies: exactly one of its fields. A circle or a polygon is
// drawn as a cut-out is; around fasteners and cut-outs it reaches so far past the edge
// of each hole.
type Area struct {
	Circle    *outline.Circle  `yaml:"circle"`
	Polygon   *outline.Polygon `yaml:"polygon"`
	Fasteners *si.Length       `yaml:"around_fasteners" above:"0" most:"1"`
	Cutouts   *si.Length       `yaml:"around_cutouts" above:"0" most:"1"`
}

// Load is a line load to look at: force and moment per width, and the change of
// temperature since the resin hardened.
type Load struct {
	Nx  si.LineLoad              `yaml:"Nx"`
	Ny  si.LineLoad              `yaml:"Ny"`
	Nxy si.LineLoad              `yaml:"Nxy"`
	Mx  si.Force                 `yaml:"Mx"`
	My  si.Force                 `yaml:"My"`
	Mxy si.Force                 `yaml:"Mxy"`
	DT  si.TemperatureDifference `yaml:"dT"`
}

func (l Load) wall() wall.Load {
	return wall.Load{
		N:  wall.Vec{float64(l.Nx), float64(l.Ny), float64(l.Nxy)},
		M:  wall.Vec{float64(l.Mx), float64(l.My), float64(l.Mxy)},
		DT: l.DT,
	}
}

// Method is how a ply's transverse and shear moduli follow from fibre and resin.
type Method string

// The methods known here; none given means Halpin-Tsai.
const (
	HalpinTsai Method = "halpin-tsai"
	Chamis     Method = "chamis"
)

// Input is what the stage works from: the section, and the records that the
// names in it stand for.
type Input struct {
	Spec    Spec
	Resin   *material.Resin // nil: the stack needs none
	Fibres  map[string]material.Fibre
	Fabrics map[string]material.Fabric
	Plies   map[string]material.Ply
	Cores   map[string]material.Core
}
