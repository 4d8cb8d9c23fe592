package laminate

import (
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
)

// Result is the stage's answer. What could not be had is nil, with a finding.
type Result struct {
	A          *wall.Matrix             `json:"A_N_per_m,omitempty"`
	B          *wall.Matrix             `json:"B_N,omitempty"`
	D          *wall.Matrix             `json:"D_N_m,omitempty"`
	Thickness  si.Length                `json:"thickness_m"`
	ArealMass  *si.ArealMass            `json:"areal_mass_kg_per_m2,omitempty"`
	Fibre      si.ArealMass             `json:"fibre_areal_mass_kg_per_m2"`
	Resin      si.ArealMass             `json:"resin_areal_mass_kg_per_m2"`
	Ex         *si.Pressure             `json:"Ex_Pa,omitempty"`
	Ey         *si.Pressure             `json:"Ey_Pa,omitempty"`
	Gxy        *si.Pressure             `json:"Gxy_Pa,omitempty"`
	Nuxy       *float64                 `json:"nuxy,omitempty"`
	ExBending  *si.Pressure             `json:"Ex_bending_Pa,omitempty"`
	EyBending  *si.Pressure             `json:"Ey_bending_Pa,omitempty"`
	AlphaX     *si.Expansion            `json:"alpha_x_per_K,omitempty"`
	AlphaY     *si.Expansion            `json:"alpha_y_per_K,omitempty"`
	Midplane   *wall.Vec                `json:"midplane_strain,omitempty"`
	Curvature  *wall.Vec                `json:"curvature_per_m,omitempty"`
	Plies      []PlyResult              `json:"plies"`
	FibreShare []Share                  `json:"fibre_share,omitempty"`
	First      map[wall.Criterion]First `json:"first_failure,omitempty"`

	Layers   []Layer         `json:"-"`
	Stiff    *wall.Stiffness `json:"-"`
	Findings []fault.Finding `json:"-"`
}

// PlyResult is what is reported of one layer; stresses are in its own axes.
type PlyResult struct {
	Name          string      `json:"name"`
	Kind          Kind        `json:"kind"`
	Angle         si.Angle    `json:"angle_deg"`
	Thickness     si.Length   `json:"thickness_m"`
	FibreFraction si.Fraction `json:"fibre_fraction,omitempty"`
	E1            si.Pressure `json:"E1_Pa,omitempty"`
	E2            si.Pressure `json:"E2_Pa,omitempty"`
	G12           si.Pressure `json:"G12_Pa,omitempty"`
	Nu12          *float64    `json:"nu12,omitempty"`
	Doubler       bool        `json:"doubler,omitempty"` // lies in given places alone, and counts nowhere in the wall
	Bottom        *wall.Vec   `json:"stress_bottom_Pa,omitempty"`
	Top           *wall.Vec   `json:"stress_top_Pa,omitempty"`
}

// First is the first failure by one criterion: the multiple of the mechanical
// load that brings it about, thermal stress held, and where and how.
type First struct {
	Ratio float64 `json:"ratio"`
	Ply   int     `json:"ply"`
	Mode  string  `json:"mode"`
}

// Share is how much of the fibre runs one way.
type Share struct {
	Angle si.Angle `json:"angle_deg"` // from -90 (not included) to 90
	Share float64  `json:"share"`
}
