package cabin

import "laywright/internal/base/si"

// Spec is the cabin section of a duty: what is to be kept warm.
type Spec struct {
	Target       si.Temperature   `yaml:"target" least:"253.15" most:"313.15"`
	Outside      *si.Temperature  `yaml:"outside" least:"183.15" most:"333.15"` // absent: that of the heater's air or duty.air
	Skin         si.Area          `yaml:"skin" above:"0" most:"1000"`           // with u_value
	UValue       *si.HeatTransfer `yaml:"u_value" least:"0.05" most:"200"`      // absent: [usualU]
	Walls        []Wall           `yaml:"walls"`                                // instead of or beside skin
	Conductance  si.Conductance   `yaml:"conductance" above:"0" most:"1e5"`     // beside the others; or alone
	People       int              `yaml:"people" least:"0" most:"100"`
	Fresh        *si.MassFlow     `yaml:"fresh_air_each" least:"0" most:"0.1"` // absent: [usualFresh]
	Infiltration si.MassFlow      `yaml:"infiltration" least:"0" most:"5"`
	Gains        si.Power         `yaml:"gains" least:"0" most:"1e5"`            // sun, people, instruments
	Capacity     *si.HeatCapacity `yaml:"heat_capacity" least:"1000" most:"1e8"` // absent: [usualCapacity]
	Demist       *Demist          `yaml:"demist"`                                // the screen that must stay clear
}

// Wall is a part of the cabin's skin, layer by layer from inside.
type Wall struct {
	Area   si.Area          `yaml:"area" above:"0" most:"1000"`
	Layers []Layer          `yaml:"layers"`
	Inner  *si.HeatTransfer `yaml:"inner_film" above:"0"` // absent: [stillAir]
	Outer  *si.HeatTransfer `yaml:"outer_film" above:"0"` // absent: [slipstream]
}

// Layer is one sheet of a wall.
type Layer struct {
	Thickness    si.Length       `yaml:"thickness" least:"0"`
	Conductivity si.Conductivity `yaml:"conductivity" above:"0"`
}
