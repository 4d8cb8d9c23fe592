package job

import (
	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/base/material"
	"laywright/internal/base/si"
	"laywright/internal/stage/bag"
	"laywright/internal/stage/bench"
	"laywright/internal/stage/cure"
	"laywright/internal/stage/duty"
	"laywright/internal/stage/laminate"
	"laywright/internal/stage/mould"
	"laywright/internal/stage/nest"
	"laywright/internal/stage/plies"
	"laywright/internal/stage/strength"
	"laywright/internal/stage/wetout"
)

// Plan is what the program works out, a field a stage, in order. A stage that
// was left out is nil, and Stages says what it lacked. Nobody writes to a Plan
// after [Make] returns it.
type Plan struct {
	Job      Header           `json:"job"`
	Mass     *si.Mass         `json:"mass_kg,omitempty"`
	MassLow  *si.Mass         `json:"mass_low_kg,omitempty"`
	MassHigh *si.Mass         `json:"mass_high_kg,omitempty"`
	Cost     *float64         `json:"cost,omitempty"` // in the money of the library's prices
	Duty     *duty.Result     `json:"duty,omitempty"`
	Mould    *mould.Result    `json:"mould,omitempty"`
	Laminate *laminate.Result `json:"laminate,omitempty"`
	Search   *Search          `json:"stack_search,omitempty"`
	Plies    *plies.Result    `json:"plies,omitempty"`
	Strength *strength.Result `json:"strength,omitempty"`
	Roll     *nest.Result     `json:"roll,omitempty"`
	Cloth    []ClothUse       `json:"cloth,omitempty"`
	Wetout   *wetout.Result   `json:"wetout,omitempty"`
	Bag      *bag.Result      `json:"bag,omitempty"`
	Cure     *cure.Result     `json:"cure,omitempty"`
	Bench    *bench.Result    `json:"bench,omitempty"`
	Stood    *mould.Stood     `json:"mould_in_cure,omitempty"` // how the mould comes through bag and cure
	SpringIn *SpringIn        `json:"spring_in,omitempty"`     // how its corners close
	Sheets   *Sheets          `json:"sheets,omitempty"`        // the mould's boards on the sheets they are sawn from
	Dress    *Dress           `json:"dress,omitempty"`         // what lies over the cloth, and the films it is wetted out between

	Findings []fault.Finding `json:"findings"`
	Stages   []Stage         `json:"stages"`
	Versions Versions        `json:"versions"`

	Spec Spec `json:"-"`

	records material.Set              // that the plan was made with
	hardens *hardening                // of its resin, once it was asked for
	holes   map[string][]geom.Polygon // in pieces that a drawing gave
}

// Stage says whether a stage ran, and if not, what it lacked.
type Stage struct {
	Name    string   `json:"name"`
	Ran     bool     `json:"ran"`
	Stale   bool     `json:"stale,omitempty"` // of an earlier form of the job: its turn comes later
	Missing []string `json:"missing"`
}

// Versions of what the plan was made with.
type Versions struct {
	Job  int `json:"job"`  // form of the job file
	Plan int `json:"plan"` // form of plan.json
}

// StageNames lists the stages in their order, as plan.json names them.
var StageNames = [...]string{"duty", "mould", "laminate", "plies", "strength", "roll", "wetout", "bag", "cure", "bench"}

// Outlines returns the cut outline of every piece by its name, in metres about
// the piece's own origin.
func (p Plan) Outlines() map[string]geom.Polygon {
	out := map[string]geom.Polygon{}
	if p.Plies != nil {
		for _, ply := range p.Plies.Plies {
			for _, piece := range ply.AllPieces() {
				out[piece.Name] = Polygon(piece.Outline)
			}
		}
	}
	if p.Spec.Roll != nil {
		for _, piece := range p.Spec.Roll.Pieces {
			out[piece.Name] = geom.Polygon(piece.Outline.P)
		}
	}
	return out
}

// PlyArea is the flat area of a ply's cloth that stays on the part: its pieces
// inside their trim lines, the laps that lie double, and patches.
func PlyArea(p plies.Ply) (sum si.Area) {
	for _, piece := range p.Pieces {
		sum += piece.Area + piece.LapArea
	}
	return sum
}

// Locking is the shear at which a fabric of the plan buckles; 0 if not known.
func (p Plan) Locking(fabric string) si.Angle { return p.records.Fabrics[fabric].Locking.Or(0) }
