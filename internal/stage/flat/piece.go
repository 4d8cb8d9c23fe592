package flat

import (
	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/cut"
	"laywright/internal/base/si"
)

// Sheet is a ground with its flat places, by vertex, m.
type Sheet struct {
	*cut.Ground
	Flat []r2.Vec
	Ends map[[2]int32]bool // half-edges of the rim, by their ends, that lie inside the part: they have no allowance
}

// Cloth says how pieces are cut and what is written on them. Lengths are m.
type Cloth struct {
	Lap       float64 // width of laps on the mould
	Spare     float64 // by which laps are cut wider, since the knife and the hand are not exact
	Butted    bool    // slits get no lap
	Allowance float64 // cloth beyond the trim line, on the mould
	Margin    float64 // of the carrier film round a piece; 0: [usualMargin]
	Pencilled []Plane // lines that the builder pencils on the mould
	Drawn     []Path  // other lines on the mould that are drawn on the piece
	Label     Label
}

// leastLap is the width below which a lap is no strip that a knife cuts, m.
const leastLap = 1e-4

// lap is how wide laps are cut, on the mould: 0 where slits are butted, and where
// there would be next to nothing.
func (c Cloth) lap() float64 {
	if c.Butted || c.Lap < leastLap {
		return 0
	}
	return c.Lap + c.Spare
}

// Piece is one flat piece of cloth, seen from its marked face, which looks away
// from the mould.
type Piece struct {
	Name    string         `json:"name"`
	Area    si.Area        `json:"area_m2"` // inside the trim line, gaps left out
	Outline [][2]float64   `json:"outline_m"`
	Net     [][2]float64   `json:"net_outline_m"`
	Trim    [][][2]float64 `json:"trim_lines_m,omitempty"` // where the net outline is the part's own edge
	Cutouts [][][2]float64 `json:"cutouts_m,omitempty"`
	Holes   [][][2]float64 `json:"holes_m,omitempty"`       // cut, where a slit ends in a cut-out
	Knife   [][][2]float64 `json:"knife_lines_m,omitempty"` // cut inside the outline
	Notches [][][2]float64 `json:"notches_m,omitempty"`     // snips at the edge, where a seam leaves
	Stops   []Stop         `json:"tip_stops,omitempty"`     // where slits end
	Marks   []Mark         `json:"marks,omitempty"`
	Carrier [][2]float64   `json:"carrier_m,omitempty"` // rectangle of film along the warp
	Lap     si.Length      `json:"lap_m"`
	LapArea si.Area        `json:"lap_area_m2"`

	Side        string   `json:"side"`  // which face is up
	Words       []string `json:"words"` // what is written on it
	MayTurnOver bool     `json:"may_turn_over"`
	Patch       bool     `json:"patch,omitempty"` // lies over a seam of the same ply

	Overlaps bool         `json:"overlaps_itself,omitempty"` // no one flat piece: the outline is the bare rim
	Gaps     []Gap        `json:"gaps,omitempty"`
	Dropped  si.Area      `json:"islands_left_out_m2,omitempty"` // cloth that did not hang together with the piece
	Narrow   [][2]float64 `json:"narrow_m,omitempty"`            // places where the cloth itself is narrower than a knife leaves whole
}

// Kinds of marks.
const (
	LapLine   = "lap"    // the edge of the side that lies under comes here
	LapTo     = "lap-to" // the edge of the side that lies over comes here
	Match     = "match"  // meets the mark of the same label
	Alignment = "align"  // lies on a line of the mould
	SeamLine  = "seam"   // the seam that a patch lies over
)

// Mark is a line drawn on a piece, not cut. Match marks of the same label meet.
type Mark struct {
	Kind  string       `json:"kind"`
	Label string       `json:"label"`
	Line  [][2]float64 `json:"line_m"`
	Mould *[3]float64  `json:"mould_m,omitempty"` // where an alignment mark lies on the mould
}

// Stop is the round in which a slit ends: punched, or the place where the knife
// stops.
type Stop struct {
	At     [2]float64 `json:"at_m"`
	Radius si.Length  `json:"radius_m"`
}

// Gap is cloth that a piece lacks: where a slit opens on the mould its sides
// overlap in the flat, and only one of them can have the cloth. It lies beside the
// seam on the side named, and a patch covers it.
type Gap struct {
	Seam    int          `json:"seam"`
	Side    string       `json:"side"` // left or right of the seam, from where it begins
	Outline [][2]float64 `json:"outline_m"`
	Area    si.Area      `json:"area_m2"`
}

// Cut draws the flat piece of a sheet.
func Cut(name string, b Sheet, c Cloth) Piece { return newDrawing(b, c).piece(name) }

// Patch draws a piece that lies over a seam: the sheet as it is, with no lap and
// no allowance. The seam is drawn on it where its places on the mould are given.
func Patch(name string, b Sheet, c Cloth, seam [][3]float64) Piece {
	c.Lap, c.Allowance = 0, 0
	if len(seam) > 1 {
		line := Path{Kind: SeamLine, Label: "seam"}
		for _, p := range seam {
			line.Points = append(line.Points, Vec(p))
		}
		c.Drawn = append(c.Drawn[:len(c.Drawn):len(c.Drawn)], line)
	}
	d := newDrawing(b, c)
	d.patch = true
	return d.piece(name)
}
