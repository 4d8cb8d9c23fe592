package loads

import (
	"laywright/internal/base/bind"
	"laywright/internal/base/si"
)

// Spec is the loads section of a duty: what the part must carry. Absent values are
// taken from the rest of the duty where it says them.
type Spec struct {
	Pressure    *si.Pressure             `yaml:"pressure" least:"0" most:"1e6" below:"suction"`   // outward
	Suction     *si.Pressure             `yaml:"suction" least:"0" most:"101e3" below:"pressure"` // inward, as a size
	Speed       si.Velocity              `yaml:"speed" above:"0" most:"250"`                      // never exceeded; gives q for the pressure
	Coefficient *si.Fraction             `yaml:"coefficient" least:"-5" most:"1"`                 // of pressure, on q; absent: 1
	Wall        *si.Temperature          `yaml:"wall_temperature" least:"213.15" most:"673.15"`   // hottest credible, soak after shut-down included
	Exhaust     *Exhaust                 `yaml:"exhaust"`                                         // a hot pipe that the wall sees
	Inertia     float64                  `yaml:"inertia" least:"0" most:"100"`                    // in g, any direction
	Through     si.TemperatureDifference `yaml:"through" least:"-300" most:"300"`                 // by which the side that lay on the mould is warmer than the other
	Engine      *Engine                  `yaml:"engine"`
	Handling    *Handling                `yaml:"handling"`
	Deflection  *si.Length               `yaml:"deflection_limit" least:"1e-5" most:"0.5"`
	Factor      *float64                 `yaml:"factor" least:"1" most:"10"` // of safety on strength; absent: [usualFactor]
}

// Handling is the force of a hand or a knee.
type Handling struct {
	Force si.Force    `yaml:"force" least:"0" most:"5000"`
	At    *bind.Point `yaml:"at"`
	Patch si.Length   `yaml:"patch" above:"0" most:"0.5"` // diameter of what pushes; absent: the heel of a hand
}

// Engine is what shakes the part.
type Engine struct {
	From      si.Rate `yaml:"from" above:"0" most:"1000"` // turns of the crankshaft: idle
	To        si.Rate `yaml:"to" above:"0" most:"1000"`   // and at full power
	Cylinders int     `yaml:"cylinders" least:"0" most:"36"`
	TwoStroke bool    `yaml:"two_stroke"`
	Blades    int     `yaml:"blades" least:"0" most:"12"` // of the propeller
	Gear      float64 `yaml:"gear" above:"0" most:"10"`   // turns of the crankshaft to one of the propeller; absent: 1
}

// Exhaust is a hot pipe that shines on the part's wall.
type Exhaust struct {
	Temperature si.Temperature   `yaml:"temperature" least:"323.15" most:"1373.15"`
	View        si.Fraction      `yaml:"view" above:"0" most:"1"`          // share of what the wall sees that is pipe
	Emissivity  *si.Fraction     `yaml:"emissivity" above:"0" most:"1"`    // of pipe and wall alike; absent: [usualEmissivity]
	Bay         *si.Temperature  `yaml:"bay" least:"213.15" most:"573.15"` // air about the wall; absent: [usualBay]
	Film        *si.HeatTransfer `yaml:"film" above:"0" most:"500"`        // of that air; absent: [usualBayFilm]
	Shield      bool             `yaml:"shield"`                           // true: a polished sheet stands between
}
