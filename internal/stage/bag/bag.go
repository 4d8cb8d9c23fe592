// Package bag answers what lies on top of the wet laminate and what the vacuum
// does to it: the vacuum really to be had, how far the cloth is pressed before
// the resin gels, how much resin leaves it, how many bleeder layers take that
// up, whether moisture can boil, and what sizes of film and cloth to cut.
//
// SI units; pressures are absolute unless the name says gauge. The laminate is
// a flat stack: it does not see corners, where the bag bridges. Resin leaves
// through the bag face only, never along the cloth.
package bag

import (
	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

// Spec is the `bag` section of a job file.
type Spec struct {
	Style        string         `yaml:"style"`                            // envelope | one-sided
	Vacuum       si.Pressure    `yaml:"vacuum" above:"0" most:"110000"`   // gauge: below the barometer
	Absolute     si.Pressure    `yaml:"absolute" above:"0" most:"110000"` // or the absolute pressure in the bag
	PeelPly      string         `yaml:"peel_ply"`
	Film         string         `yaml:"film"`
	Bleeder      string         `yaml:"bleeder"`
	BleederPlies bind.Auto[int] `yaml:"bleeder_plies"`
	BagFilm      string         `yaml:"bag_film"`
	Tape         string         `yaml:"tape"`
	Breather     string         `yaml:"breather"` // over the bleeder, to the ports; none
	Pump         *Pump          `yaml:"pump"`
	Volume       si.Volume      `yaml:"volume" above:"0" most:"2"` // of air when drawn down, hoses with it
	Leak         *Leak          `yaml:"leak"`                      // as measured with the valve shut
}

// The styles of bag: over the mould to its flange or a plate, or all round it.
const (
	OneSided = "one-sided"
	Envelope = "envelope"
)

// Cloth is one fabric layer of the stack.
type Cloth struct {
	Areal       si.ArealMass // dry fibre
	FibreRho    si.Density
	Radius      si.Length // of the filament
	Fraction    float64   // fibre volume fraction as laid, wet
	CompactedAt float64   // fraction under one bar, Vf1
	Exponent    float64   // b of the compaction law
}

// Moment is a time with the resin's temperature and viscosity then.
type Moment struct {
	At          si.Time
	Viscosity   si.Viscosity
	Temperature si.Temperature // 0: not known
}

// Input is what the bag stage needs.
type Input struct {
	Spec        Spec
	Barometer   si.Pressure // station pressure; 0: from Elevation
	Elevation   si.Length
	Shop        si.Temperature
	Humidity    float64        // relative, 0 to 1; 0: not known
	Warmest     si.Temperature // before gel, for the boiling of moisture
	Area        si.Area        // laminated
	Rim         si.Length      // length of the part's outer edge
	PlanX       si.Length      // plan size of the mould with its flange
	PlanY       si.Length
	Height      si.Length
	Stack       []Cloth // from the mould face; cores left out
	CoreThick   si.Length
	ResinRho    si.Density
	Viscosity   []Moment // from vacuum-on; empty: not known
	LightParts  Vapour   // of the resin; none: assumed
	PeelPly     material.Consumable
	ReleaseFilm material.Consumable
	Bleeder     material.Consumable
	BagFilm     material.Consumable
	Breather    material.Consumable // no use: none is laid

	Face    *mesh.Mesh // of the mould, its normals to the free side, z away from the mould; nil: not known
	Surface *mesh.Mesh // laminated; nil likewise
	Edge    []int32    // vertices of Surface along the part's outer edge
	Cavity  bool       // the face is a cavity: the bag is taped to its rim
}

// Result is the bag stage's part of the plan.
type Result struct {
	Barometer      si.Pressure          `json:"barometer_Pa"`
	Available      si.Pressure          `json:"available_vacuum_Pa"` // gauge, what a perfect pump would read here
	Used           si.Pressure          `json:"vacuum_Pa"`           // gauge, what the plan counts on
	Absolute       si.Pressure          `json:"absolute_Pa"`
	Fraction       float64              `json:"fibre_fraction,omitempty"`
	Thickness      si.Length            `json:"thickness_m,omitempty"`
	Bled           si.Mass              `json:"bled_kg,omitempty"`
	BledAreal      si.ArealMass         `json:"bled_kg_per_m2,omitempty"`
	PressedIn      *si.Time             `json:"pressed_in_s,omitempty"`          // nine tenths of the bleeding done
	ByPly          []float64            `json:"fraction_by_ply,omitempty"`       // fibre fraction of each cloth at the end, from the mould face
	FaceResistance si.Curvature         `json:"face_resistance_per_m,omitempty"` // of peel ply and film to the resin
	ResinPressure  si.Pressure          `json:"resin_pressure_Pa,omitempty"`     // absolute, at the mould face at the end
	AirGrows       float64              `json:"trapped_air_growth,omitempty"`    // of air shut in there, in volume
	History        *History             `json:"history,omitempty"`
	BleederPlies   int                  `json:"bleeder_plies,omitempty"`
	BleederWhy     string               `json:"bleeder_why,omitempty"`
	BleederFull    float64              `json:"bleeder_full,omitempty"`     // share of what it can hold
	VoidPressure   *si.Pressure         `json:"void_pressure_Pa,omitempty"` // below it moisture grows bubbles
	Warmest        *si.Temperature      `json:"warmest_before_gel_degC,omitempty"`
	Boiling        []Boiling            `json:"boiling,omitempty"` // how deep the vacuum may be in wet resin
	PeelPlyArea    si.Area              `json:"peel_ply_area_m2,omitempty"`
	FilmSheet      si.Area              `json:"release_film_area_m2,omitempty"`
	BleederArea    si.Area              `json:"bleeder_area_m2,omitempty"`
	FilmArea       si.Area              `json:"film_area_m2,omitempty"`
	FilmLong       si.Length            `json:"film_length_m,omitempty"`
	FilmWide       si.Length            `json:"film_width_m,omitempty"`
	Tape           si.Length            `json:"tape_m,omitempty"`
	Pleats         int                  `json:"pleats,omitempty"`
	BreatherArea   si.Area              `json:"breather_area_m2,omitempty"`
	BarrierArea    si.Area              `json:"barrier_film_area_m2,omitempty"` // between bleeder and breather
	PathLong       si.Length            `json:"path_length_m,omitempty"`        // the longest way over the mould's face along the film's length
	PathWide       si.Length            `json:"path_width_m,omitempty"`
	PleatsAt       []Pleat              `json:"pleats_at,omitempty"`
	Hollows        []Hollow             `json:"hollows,omitempty"` // that the bag must reach into
	Ports          []Port               `json:"ports,omitempty"`
	BreatherWay    si.Length            `json:"breather_way_m,omitempty"` // from the farthest place of the part to the nearest port
	Force          si.Force             `json:"force_N,omitempty"`        // the air's weight on the plan area
	LeakLimit      si.Pressure          `json:"leak_limit_Pa"`            // rise allowed in LeakTime
	LeakTime       si.Time              `json:"leak_time_s"`
	Leak5Min       si.Pressure          `json:"leak_rise_5min_Pa"`            // the same leak over five minutes
	LeakFlow       si.VolumeFlow        `json:"leak_flow_m3_per_s,omitempty"` // likewise, as air of one atmosphere into this bag
	Leaks          *si.VolumeFlow       `json:"leaks_m3_per_s,omitempty"`     // as measured
	Volume         si.Volume            `json:"volume_m3,omitempty"`          // of air in the bag and its hoses, drawn down
	PumpDown       *si.Time             `json:"pump_down_s,omitempty"`        // to half an inch of mercury from what the plan counts on
	Resistance     si.ThermalResistance `json:"-"`                            // of all that lies on the laminate
	Findings       []fault.Finding      `json:"-"`
	Share          float64              `json:"share_of_available"`
	WaterBoils     si.Temperature       `json:"water_boils_degC"` // in the bag
}

// Pack works the bag stage out.
func Pack(in Input) (Result, error) {
	var r Result
	switch in.Spec.Style {
	case "", OneSided, Envelope:
	default:
		return r, &fault.Input{Field: "bag.style", What: "style is " + in.Spec.Style, Do: "write one-sided or envelope"}
	}
	if err := vacuum(in, &r); err != nil {
		return r, err
	}
	boiling(in, &r)
	water(&r)
	if in.Area == 0 {
		return r, drawn(in, &r) // only the vacuum was asked for
	}
	if err := press(in, &r); err != nil {
		return r, err
	}
	sheets(in, &r)
	if err := drawn(in, &r); err != nil {
		return r, err
	}
	r.Force = si.Force(float64(r.Used) * float64(in.PlanX) * float64(in.PlanY))
	return r, nil
}
