package duty

import (
	"laywright/internal/base/bind"
	"laywright/internal/base/si"
	"laywright/internal/stage/exchanger"
)

// Spec is the duty section of a job file.
type Spec struct {
	Heater *Heater `yaml:"heater"`
	Cabin  *Cabin  `yaml:"cabin"`
	Loads  *Loads  `yaml:"loads"`
	Air    *Place  `yaml:"air"`
}

// Place is where the aircraft flies and how fast: outside air by the standard
// atmosphere, or its temperature and pressure as given.
type Place struct {
	Altitude si.Length       `yaml:"altitude"` // pressure altitude
	Pressure *si.Pressure    `yaml:"pressure"` // instead of altitude
	Outside  *si.Temperature `yaml:"outside"`  // static; absent: standard
	Speed    si.Velocity     `yaml:"speed"`    // true airspeed
}

// Heater is a box over a finned core.
type Heater struct {
	Core        Core                  `yaml:"core"`
	Arrangement exchanger.Arrangement `yaml:"arrangement"` // absent: across-counter
	Passes      bind.Auto[int]        `yaml:"passes"`
	Liquid      Liquid                `yaml:"liquid"`
	Air         Air                   `yaml:"air"`
	Box         Box                   `yaml:"box"`
	Ducts       []Duct                `yaml:"ducts"`
	Throttle    bool                  `yaml:"throttle"` // true: the air is throttled to the most useful heat
	Days        []Day                 `yaml:"days"`     // other conditions it must work in
}

// Core is what is known about the core: exactly one of the first three.
type Core struct {
	Geometry *exchanger.Geometry `yaml:"geometry"`
	Measured []exchanger.Point   `yaml:"measured"`
	Rated    *exchanger.Rated    `yaml:"rated"`
	Flow     exchanger.Flow      `yaml:"flow"` // within one pass; absent: cross
}

// Liquid is what heats: a fluid with flow, or a heat capacity rate.
type Liquid struct {
	Fluid     string               `yaml:"fluid"`
	Flow      exchanger.LiquidFlow `yaml:"flow"`
	Rate      si.Conductance       `yaml:"heat_capacity_rate"`
	Inlet     si.Temperature       `yaml:"inlet"`
	Least     *si.Temperature      `yaml:"least_outlet"` // the engine wants it no colder: thermostat, or boiling water out of oil
	Most      *si.Temperature      `yaml:"most_inlet"`   // the engine's red line
	Available si.Power             `yaml:"available"`    // heat that the engine puts into it; absent: not checked
}

// Air is what is heated and what drives it: a flow, or one or more of an
// available pressure, ram and a blower in series.
type Air struct {
	Inlet     *si.Temperature                         `yaml:"inlet"`    // absent: outside with its ram rise
	Pressure  *si.Pressure                            `yaml:"pressure"` // absolute; absent: from altitude
	Altitude  *si.Length                              `yaml:"altitude"`
	Outside   *si.Temperature                         `yaml:"outside"`
	From      Source                                  `yaml:"from"` // absent: outside
	Flow      si.MassFlow                             `yaml:"flow"`
	Available si.Pressure                             `yaml:"available"`
	Ram       *Ram                                    `yaml:"ram"`
	Blower    *bind.Curve[si.VolumeFlow, si.Pressure] `yaml:"blower"`
	Limit     *si.Temperature                         `yaml:"outlet_limit"` // absent: [usualOutletLimit]
}

// Source is where the heater draws its air.
type Source string

// The sources of air.
const (
	FromOutside Source = "outside"
	FromCabin   Source = "cabin"
)

// Ram is air scooped at speed.
type Ram struct {
	Speed    si.Velocity  `yaml:"speed"`    // true airspeed; absent: duty.air.speed
	Recovery *si.Fraction `yaml:"recovery"` // of the impact pressure; absent: [usualRecovery]
	Exit     si.Fraction  `yaml:"exit"`     // pressure coefficient where the cabin's air leaves
}

// Box is what encloses the core and turns the air.
type Box struct {
	Plenum *si.Length      `yaml:"plenum"`    // free depth before and behind the core; absent: as deep as an even flow needs
	Turn   *float64        `yaml:"turn_loss"` // of a boxed turn, in velocity heads of the plenum; absent: [usualTurn]
	Leak   *si.Fraction    `yaml:"leak"`      // past each separator; absent: [usualLeak]
	Face   *exchanger.Face `yaml:"face"`      // of the core where it is not known by geometry
	Depth  si.Length       `yaml:"depth"`     // likewise
}

// Duct is one piece of ducting, in series with the others. Exactly one of hose,
// round and rectangle.
type Duct struct {
	Hose      si.Length   `yaml:"hose"`  // bore of a convoluted hose
	Round     si.Length   `yaml:"round"` // bore of a smooth tube
	Rectangle *Rectangle  `yaml:"rectangle"`
	Length    si.Length   `yaml:"length"`
	Bends     []si.Angle  `yaml:"bends"`
	Mitred    bool        `yaml:"mitred"`    // bends are sharp
	Pitch     si.Length   `yaml:"pitch"`     // of a hose's convolutions; absent: [usualPitch]
	Slack     si.Fraction `yaml:"slack"`     // how far a hose is short of its full stretch
	Roughness si.Length   `yaml:"roughness"` // absent: smooth tube
	Place     Side        `yaml:"place"`     // absent: after
	Count     int         `yaml:"count"`     // equal ducts side by side; absent: 1
}

// Rectangle is the inside of a rectangular duct.
type Rectangle struct {
	Width  si.Length `yaml:"width"`
	Height si.Length `yaml:"height"`
}

// Side says whether a duct stands before or after the heater.
type Side string

// The sides. Behind the heater the air is hot and thin, so losses are greater.
const (
	Before Side = "before"
	After  Side = "after"
)

// Cabin is what is to be kept warm.
type Cabin struct {
	Target       si.Temperature   `yaml:"target"`
	Outside      *si.Temperature  `yaml:"outside"`     // absent: that of the heater's air or duty.air
	Skin         si.Area          `yaml:"skin"`        // with u_value
	UValue       *si.HeatTransfer `yaml:"u_value"`     // absent: [usualU]
	Walls        []Wall           `yaml:"walls"`       // instead of or beside skin
	Conductance  si.Conductance   `yaml:"conductance"` // beside the others; or alone
	People       int              `yaml:"people"`
	Fresh        *si.MassFlow     `yaml:"fresh_air_each"` // absent: [usualFresh]
	Infiltration si.MassFlow      `yaml:"infiltration"`
	Gains        si.Power         `yaml:"gains"`         // sun, people, instruments
	Capacity     *si.HeatCapacity `yaml:"heat_capacity"` // absent: [usualCapacity]
}

// Wall is a part of the cabin's skin, layer by layer from inside.
type Wall struct {
	Area   si.Area          `yaml:"area"`
	Layers []Layer          `yaml:"layers"`
	Inner  *si.HeatTransfer `yaml:"inner_film"` // absent: [stillAir]
	Outer  *si.HeatTransfer `yaml:"outer_film"` // absent: [slipstream]
}

// Layer is one sheet of a wall.
type Layer struct {
	Thickness    si.Length       `yaml:"thickness"`
	Conductivity si.Conductivity `yaml:"conductivity"`
}

// Loads are what the part must carry. Absent values are taken from the rest of
// the duty where it says them.
type Loads struct {
	Pressure    *si.Pressure    `yaml:"pressure"`
	Suction     *si.Pressure    `yaml:"suction"`
	Speed       si.Velocity     `yaml:"speed"`       // never exceeded; gives q for the pressure
	Coefficient *si.Fraction    `yaml:"coefficient"` // of pressure, on q; absent: 1
	Wall        *si.Temperature `yaml:"wall_temperature"`
	Inertia     float64         `yaml:"inertia"` // in g, any direction
	Handling    *Handling       `yaml:"handling"`
	Deflection  *si.Length      `yaml:"deflection_limit"`
	Factor      *float64        `yaml:"factor"` // of safety on strength; absent: [usualFactor]
}

// Handling is a hand's force at a point.
type Handling struct {
	Force si.Force    `yaml:"force"`
	At    *bind.Point `yaml:"at"`
}

// FluidName returns the liquid's name in the library, empty where none is needed.
func (s Spec) FluidName() string {
	if s.Heater == nil {
		return ""
	}
	return s.Heater.Liquid.Fluid
}

// FinsName returns the fins' name in the library, empty where none is needed.
func (s Spec) FinsName() string {
	if s.Heater == nil || s.Heater.Core.Geometry == nil {
		return ""
	}
	return s.Heater.Core.Geometry.Fins
}
