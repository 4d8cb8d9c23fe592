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
}

// Cloth says how pieces are cut.
type Cloth struct {
	Lap       float64 // width of laps, m
	Butted    bool    // slits get no lap
	Allowance float64 // cloth beyond the trim line, m
}

// lap is 0 where slits are butted.
func (c Cloth) lap() float64 {
	if c.Butted {
		return 0
	}
	return c.Lap
}

// Cut draws the flat piece of a sheet.
func Cut(name string, b Sheet, c Cloth) Piece {
	if len(b.Slits) == 0 {
		return b.whole(name, c)
	}
	return b.slit(name, c)
}

// Piece is one flat piece of cloth.
type Piece struct {
	Name    string         `json:"name"`
	Area    si.Area        `json:"area_m2"` // inside the trim line
	Outline [][2]float64   `json:"outline_m"`
	Net     [][2]float64   `json:"net_outline_m"`
	Cutouts [][][2]float64 `json:"cutouts_m,omitempty"`
	Holes   [][][2]float64 `json:"holes_m,omitempty"`       // cut, where a slit ends in a cut-out
	Knife   [][][2]float64 `json:"knife_lines_m,omitempty"` // cut inside the outline
	Marks   []Mark         `json:"marks,omitempty"`
	Lap     si.Length      `json:"lap_m"`
	LapArea si.Area        `json:"lap_area_m2"`
}

// Mark is a line drawn on a piece, not cut. Match marks of the same label meet.
type Mark struct {
	Label string       `json:"label"`
	Line  [][2]float64 `json:"line_m"`
}

// Seam is a slit closed on the part: from its tip to the rim.
type Seam struct {
	Line   [][3]float64 `json:"line_m"`
	Length si.Length    `json:"length_m"`
	Lap    si.Length    `json:"lap_m"`          // as asked; 0: butted
	Short  si.Length    `json:"short_of_lap_m"` // length of the seam over which the slit opens less than the lap
}
