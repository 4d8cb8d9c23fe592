package material

import "laywright/internal/base/si"

// FluidPoint is one row of a fluid's table.
type FluidPoint struct {
	T         si.Temperature  `yaml:"at"`
	Density   si.Density      `yaml:"density"`
	Cp        si.SpecificHeat `yaml:"specific_heat"`
	K         si.Conductivity `yaml:"conductivity"`
	Viscosity si.Viscosity    `yaml:"viscosity"`
}

// Fluid is a coolant or an oil, as a table over temperature.
type Fluid struct {
	Note   string         `yaml:"note"`
	Origin Origin         `yaml:"origin"`
	Source string         `yaml:"source"`
	Table  []FluidPoint   `yaml:"table"`
	Limit  si.Temperature `yaml:"limit"`
}

// Fins is the air side of a core: a family with its measures. Names of measures
// follow the correlation that the family uses.
type Fins struct {
	Note         string          `yaml:"note"`
	Family       string          `yaml:"family"` // louvred | offset-strip | plain | plate
	Origin       Origin          `yaml:"origin"`
	Source       string          `yaml:"source"`
	Pitch        si.Length       `yaml:"fin_pitch"`
	Height       si.Length       `yaml:"fin_length"` // between tubes, Fl
	Thickness    si.Length       `yaml:"fin_thickness"`
	LouvrePitch  si.Length       `yaml:"louvre_pitch"`
	LouvreLength si.Length       `yaml:"louvre_length"`
	LouvreAngle  si.Angle        `yaml:"louvre_angle"`
	StripLength  si.Length       `yaml:"strip_length"`
	TubeThick    si.Length       `yaml:"tube_thickness"` // Dm, across the air flow
	Diameter     si.Length       `yaml:"tube_diameter"`  // of the round tubes through a plate fin, over its collar
	TubePitch    si.Length       `yaml:"tube_pitch"`     // of them across the air flow
	RowPitch     si.Length       `yaml:"row_pitch"`      // of them along it
	K            si.Conductivity `yaml:"conductivity"`
}
