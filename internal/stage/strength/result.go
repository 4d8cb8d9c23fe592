package strength

import (
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
)

// Result is the stage's answer. What could not be had is nil, with a finding.
type Result struct {
	Deflection   si.Length                `json:"deflection_max_m"` // under the loads, heat left out
	DeflectionAt [3]float64               `json:"deflection_at_m"`
	Thermal      *si.Length               `json:"thermal_deflection_max_m,omitempty"`
	Index        *float64                 `json:"failure_index_max,omitempty"` // 1 over the strength ratio
	Margin       *float64                 `json:"margin_min,omitempty"`        // 1/(index·factor) − 1
	Factor       float64                  `json:"factor"`
	Retention    *float64                 `json:"matrix_retention,omitempty"` // least share of matrix strength that counts, hot and moist
	Buckling     *float64                 `json:"buckling_factor,omitempty"`
	Frequency    *si.Rate                 `json:"frequency_Hz,omitempty"`
	OffOrder     *float64                 `json:"off_engine_order,omitempty"` // how far the frequency stands off the nearest order, as a share
	Mass         *si.Mass                 `json:"mass_kg,omitempty"`
	Thinnest     si.Length                `json:"thickness_min_m"` // of the walls on the triangles, laps and shear counted
	ThinnestAt   [3]float64               `json:"thickness_min_at_m"`
	Thickest     si.Length                `json:"thickness_max_m"`
	ThickestAt   [3]float64               `json:"thickness_max_at_m"`
	Large        bool                     `json:"large_motion"`       // deflection and index are of large motions
	Snaps        *float64                 `json:"snaps_at,omitempty"` // multiple of the load beyond which the wall finds no rest near
	Elements     int                      `json:"elements"`
	Unknowns     int                      `json:"unknowns"`
	MeshError    float64                  `json:"mesh_error"` // of the stress, in the case of the largest deflection, for the triangles' size
	Worst        *Worst                   `json:"worst,omitempty"`
	ByCriterion  map[wall.Criterion]Worst `json:"by_criterion,omitempty"`
	Cases        []CaseResult             `json:"cases"`
	Fasteners    []FastenerLoad           `json:"fasteners,omitempty"`
	Bond         *Bond                    `json:"bond,omitempty"`

	Mesh      *mesh.Mesh      `json:"-"` // that all below stands on
	Wall      []float64       `json:"-"` // thickness at each triangle, m
	Move      []r3.Vec        `json:"-"` // of the vertices, in the case of the largest deflection
	Buckled   []r3.Vec        `json:"-"` // shape in which it buckles first, of no size of its own; nil: not known
	Swing     []r3.Vec        `json:"-"` // of the lowest frequency, likewise
	Lead      []Lead          `json:"-"` // what gives each triangle its share
	Share     []float64       `json:"-"` // failure index of each triangle, over all cases and criteria; +Inf where heat alone breaks it
	Direction []r3.Vec        `json:"-"` // of each triangle: the reference that layer angles count from
	Findings  []fault.Finding `json:"-"`
}

// Lead is the ply that is nearest to failing, and by what; where the share is 0 it says nothing.
type Lead struct {
	Ply       int32 // from 0 at the mould face
	Criterion int32 // its place in wall.Criteria
}

// Worst is where a ply comes nearest to failing.
type Worst struct {
	Criterion wall.Criterion `json:"criterion"`
	Index     float64        `json:"index"`
	Ply       int            `json:"ply"`   // from 0 at the mould face
	Layer     string         `json:"layer"` // as the shop calls it: its plies count from 1, cores left out
	Mode      string         `json:"mode"`
	Case      string         `json:"case"`
	At        [3]float64     `json:"at_m"`
}

// CaseResult is what one case does.
type CaseResult struct {
	Name       string    `json:"name"`
	Deflection si.Length `json:"deflection_max_m"`
	Index      *float64  `json:"failure_index_max,omitempty"`

	Reaction [3]float64 `json:"reaction_N"` // of all that holds the part, in the direction that moves it most
}

func place(v r3.Vec) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }
