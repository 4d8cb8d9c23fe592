// Package carve answers how a mould's shape is built by hand: the stack of boards
// it is carved from with the line to saw and the lines to carve to, dowels and
// datum lines that bring the boards together, or stations and a spine to be
// covered with a skin; and the templates and gauges that the finished shape is
// checked with.
//
// Places are in metres. The shape stands on the base plane z = 0. A plug is the
// body itself; of a cavity the body is the hollow, mouth down on the base plane,
// and what is built is the block round it, mouth up: places in a result are those
// of the thing as it is built, heights from its underside, seen from above.
//
// It knows no cloth, no coats and no prices, and lays nothing on sheets.
package carve

import (
	"fmt"

	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

// Input is what is to be built.
type Input struct {
	Face   *mesh.Mesh     // the finished face
	True   Field          // the true surface of Face; nil: its triangles
	Wood   *mesh.Mesh     // the shape before filler; nil: as Face
	Bare   Field          // the true surface of Wood
	Skirt  bool           // the face's edge is not the mould's: go down from it to the base plane
	Cavity bool           // the shape is the hollow
	Base   []geom.Polygon // edge of the flange or plate that the shape stands on; none: it stands on the bench
	Axes   [2]string      // names of the directions x and y
	Radii  []si.Length    // of fillets and rounded edges, as they were asked for
	How    Settings
}

// Settings is how it is to be built; none is left open.
type Settings struct {
	Stations bool      // stations, spine and skin instead of a stack of boards
	Board    si.Length // thickness of a board
	Glue     si.Length // thickness of a glue line
	Dowel    si.Length // diameter
	Saw      si.Length // wood left outside the outline for the saw
	Wall     si.Length // of a cavity: wood round and under the hollow
	Hollow   si.Length // of a plug: wood left round its inside; 0: solid
	Every    si.Length // distance of templates and stations; 0: by the size of the shape
	Skin     si.Length // thickness of the skin over stations
	Land     si.Length // of the base board beyond the flange: for the bag's tape
	Grain    bool      // the board has a grain: it lies crosswise from board to board
}

// Result is the way to build it.
type Result struct {
	Stack     *Stack     `json:"stack,omitempty"`
	Frame     *Frame     `json:"frame,omitempty"`
	Templates []Template `json:"templates,omitempty"`
	Gauges    []Gauge    `json:"gauges,omitempty"`
	Volume    si.Volume  `json:"volume_m3"` // of the shape above its base; of a cavity the hollow
	Height    si.Length  `json:"height_m"`  // of the shape
	Axes      [2]string  `json:"axes"`      // names of the directions that boards are drawn in
	Chord     si.Length  `json:"chord_m"`   // most that an outline stands off its surface: [ChordTo], or more where it could not be brought nearer
	Crossed   int        `json:"-"`         // outlines that crossed themselves and were taken by their hull
	Along     Line       `json:"-"`         // the axis that stations are counted along
}

// mostBoards keeps a slip of the pen from being drawn.
const mostBoards = 400

// Work works the stack or the stations out, and the templates.
func Work(in Input) (Result, error) {
	face, err := newBody(in.Face, in.True, in.Skirt)
	if err != nil {
		return Result{}, err
	}
	wood := face
	if in.Wood != nil {
		if wood, err = newBody(in.Wood, in.Bare, in.Skirt); err != nil {
			return Result{}, err
		}
	}
	top := face.bounds.Max.Z
	if n := top / float64(in.How.Board); n > mostBoards {
		return Result{}, &fault.Input{Field: "mould.build.board", What: fmt.Sprintf("%.0f boards would be stacked", n), Do: "take a thicker board"}
	}
	r := Result{Axes: in.Axes, Volume: si.Volume(face.volume()), Height: si.Length(top), Chord: ChordTo}
	b := builder{in: in, face: face, wood: wood}
	if in.How.Stations {
		if r.Frame, err = b.frame(); err != nil {
			return Result{}, err
		}
	} else if r.Stack, err = b.stack(); err != nil {
		return Result{}, err
	}
	if r.Templates, err = b.templates(); err != nil {
		return Result{}, err
	}
	r.Gauges = gauges(in.Radii)
	r.Along = b.line()
	r.Crossed = face.crossed
	r.Chord = max(r.Chord, si.Length(max(face.far, wood.far)))
	if wood != face {
		r.Crossed += wood.crossed
	}
	return r, nil
}

// builder carries what the parts of the work share.
type builder struct {
	in         Input
	face, wood *body
}
