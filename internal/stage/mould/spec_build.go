package mould

import "laywright/internal/base/si"

// BuildSpec is the job file's section `mould.build`: how the mould is built. What is
// left out is taken from the materials or by the usual practice.
type BuildSpec struct {
	From   BuildWay   `yaml:"from"`                             // boards where left out
	Board  si.Length  `yaml:"board" least:"0.0005" most:"0.5"`  // thickness as measured on the boards bought
	Sheet  *SheetSize `yaml:"sheet"`                            // that boards are sawn from
	Glue   *si.Length `yaml:"glue_line" least:"0" most:"0.003"` // thickness between two boards; 0.2 mm where left out
	Dowel  si.Length  `yaml:"dowel" least:"0.002" most:"0.05"`  // diameter; 8 mm where left out
	Saw    *si.Length `yaml:"saw" least:"0" most:"0.02"`        // wood left outside the outline for the saw; 1 mm where left out
	Gap    *si.Length `yaml:"gap" least:"0" most:"0.1"`         // between pieces on a sheet; 6 mm where left out
	Hollow si.Length  `yaml:"hollow" least:"0.02" most:"1"`     // wood left all round a plug that is hollow; solid where left out
	Wall   si.Length  `yaml:"wall" least:"0.01" most:"1"`       // of a cavity: wood round and under the hollow; 40 mm where left out
	Every  si.Length  `yaml:"every" least:"0.005" most:"5"`     // distance of stations and templates; by the mould's size where left out
	Land   *si.Length `yaml:"land" least:"0" most:"1"`          // of the base board beyond the flange, for the bag's tape; 60 mm where left out
	Skin   *si.Length `yaml:"skin" least:"0" most:"0.1"`        // thickness of the skin over stations; 4 mm where left out
	Skim   *si.Length `yaml:"skim" least:"0" most:"0.01"`       // thickness of filler over the whole face; 0.5 mm where left out
}

// BuildWay is a stack of boards, or stations and a skin.
type BuildWay string

// The ways to build a mould.
const (
	FromBoards   BuildWay = "boards"
	FromStations BuildWay = "stations"
)

// SheetSize is the size of a sheet; a grain runs along its length.
type SheetSize struct {
	Length si.Length `yaml:"length" least:"0.05" most:"20"`
	Width  si.Length `yaml:"width" least:"0.05" most:"20"`
}
