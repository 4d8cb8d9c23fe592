package duty

import (
	"laywright/internal/base/bind"
	"laywright/internal/base/si"
	"laywright/internal/stage/cabin"
	"laywright/internal/stage/ducting"
	"laywright/internal/stage/exchanger"
	"laywright/internal/stage/loads"
)

// Spec is the duty section of a job file.
type Spec struct {
	Heater *Heater     `yaml:"heater"`
	Cabin  *cabin.Spec `yaml:"cabin"`
	Loads  *loads.Spec `yaml:"loads"`
	Air    *Place      `yaml:"air"`
}

// Place is where the aircraft flies and how fast: outside air by the standard
// atmosphere, or its temperature and pressure as given.
type Place struct {
	Altitude *si.Length                `yaml:"altitude" least:"-1000" most:"20000"`  // pressure altitude; absent, as the pressure: 0
	Pressure *si.Pressure              `yaml:"pressure" least:"5000" most:"120000"`  // instead of altitude
	Outside  *si.Temperature           `yaml:"outside" least:"183.15" most:"333.15"` // static; absent: standard
	Offset   *si.TemperatureDifference `yaml:"offset" least:"-80" most:"60"`         // of the day from standard, instead of outside
	Speed    si.Velocity               `yaml:"speed" least:"0" most:"250"`           // true airspeed
}

// Heater is a box over a finned core.
type Heater struct {
	Core        Core                  `yaml:"core"`
	Arrangement exchanger.Arrangement `yaml:"arrangement"` // absent: across-counter
	Passes      bind.Auto[int]        `yaml:"passes"`
	Liquid      Liquid                `yaml:"liquid"`
	Air         Air                   `yaml:"air"`
	Box         Box                   `yaml:"box"`
	Ducts       []ducting.Duct        `yaml:"ducts"`
	Wye         *ducting.Wye          `yaml:"wye"`      // where the air parts behind the last duct
	Throttle    Throttle              `yaml:"throttle"` // absent: open
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
	Rate      si.Conductance       `yaml:"heat_capacity_rate" above:"0" most:"1e6"`
	Inlet     si.Temperature       `yaml:"inlet" least:"213.15" most:"573.15"`
	Least     *si.Temperature      `yaml:"least_outlet" least:"213.15" most:"573.15"` // the engine wants it no colder: thermostat, or boiling water out of oil
	Most      *si.Temperature      `yaml:"most_inlet" least:"213.15" most:"573.15"`   // the engine's red line
	Available si.Power             `yaml:"available" above:"0"`                       // heat that the engine puts into it; absent: not checked
	Shaft     si.Power             `yaml:"shaft_power" above:"0" most:"5e6"`          // instead, for oil: of the engine, which puts [oilShare] of it into the oil
	CaseLoss  si.Conductance       `yaml:"case_loss" least:"0" most:"1e4"`            // of tank, sump and lines to the air outside
	Only      bool                 `yaml:"only_cooling"`                              // true: nothing else cools this liquid
}

// Air is what is heated and what drives it: a flow, or one or more of an
// available pressure, ram and a blower in series.
type Air struct {
	Inlet     *si.Temperature                         `yaml:"inlet" least:"200" most:"450"`        // absent: outside with its ram rise
	Pressure  *si.Pressure                            `yaml:"pressure" least:"5000" most:"120000"` // absolute; absent: from altitude
	Altitude  *si.Length                              `yaml:"altitude" least:"-1000" most:"20000"`
	Outside   *si.Temperature                         `yaml:"outside" least:"183.15" most:"333.15"`
	Offset    *si.TemperatureDifference               `yaml:"offset" least:"-80" most:"60"` // of the day from standard, instead of outside
	From      Source                                  `yaml:"from"`                         // absent: outside
	Flow      si.MassFlow                             `yaml:"flow" above:"0" most:"20"`
	Available si.Pressure                             `yaml:"available" above:"0" most:"1e5"`
	Ram       *Ram                                    `yaml:"ram"`
	Blower    *bind.Curve[si.VolumeFlow, si.Pressure] `yaml:"blower"`
	Limit     *si.Temperature                         `yaml:"outlet_limit" least:"273.15" most:"573.15"` // absent: [usualOutletLimit]
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
	Speed    si.Velocity  `yaml:"speed" above:"0" most:"250"`  // true airspeed; absent: duty.air.speed
	Recovery *si.Fraction `yaml:"recovery" least:"0" most:"1"` // of the impact pressure; absent: [usualRecovery]
	Exit     si.Fraction  `yaml:"exit" least:"-3" most:"1"`    // pressure coefficient where the cabin's air leaves
}

// Box is what encloses the core and turns the air.
type Box struct {
	Plenum *si.Length      `yaml:"plenum" least:"0.003" most:"1"` // free depth before and behind the core; absent: as deep as an even flow needs
	Turn   *float64        `yaml:"turn_loss" least:"0" most:"20"` // of a boxed turn, in velocity heads of the plenum; absent: [usualTurn]
	Leak   *si.Fraction    `yaml:"leak" least:"0" most:"0.5"`     // past each separator; absent: [usualLeak]
	Face   *exchanger.Face `yaml:"face"`                          // of the core where it is not known by geometry
	Depth  si.Length       `yaml:"depth" above:"0" most:"0.5"`    // likewise
	Port   si.Length       `yaml:"port" least:"0.01" most:"0.5"`  // bore of way in and way out where no duct is told; absent: as wide as the duct on the other side
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
