// Package material holds what is known about fibres, fabrics, resins, cores,
// consumables, mould materials, fluids and fins. Each value carries the
// temperature it holds at, how it is known, where from, and its spread.
//
// The same shape is read from the library and from a job file's `materials:`
// section. The package computes nothing.
package material

import (
	"go.yaml.in/yaml/v4"
	"laywright/internal/base/bind"
	"laywright/internal/base/si"
)

// Origin is how a value is known.
type Origin string

// The origins, best first. Given is a plain value of a job file.
const (
	Given     Origin = "given"
	Measured  Origin = "measured"
	DataSheet Origin = "data sheet class"
	Handbook  Origin = "handbook"
	Practice  Origin = "common practice"
	Assumed   Origin = "assumed"
)

// Datum is one value with its provenance. The zero Datum is not known.
type Datum[Q si.Quantity] struct {
	Value  Q
	Known  bool
	At     si.Temperature // 0: not stated
	Origin Origin
	Source string // key in docs/sources.md, or the person's own words
	Spread Q      // half-width of the usual range; 0: not stated
}

// Or returns the value, or the other where it is not known.
func (d Datum[Q]) Or(other Q) Q {
	if d.Known {
		return d.Value
	}
	return other
}

// Exactly returns a known datum, for tests and computed records.
func Exactly[Q si.Quantity](v Q) Datum[Q] {
	return Datum[Q]{Value: v, Known: true, Origin: Given}
}

// written is a datum as a record writes it.
type written[Q si.Quantity] struct {
	Value  Q              `yaml:"value"`
	At     si.Temperature `yaml:"at"`
	Origin Origin         `yaml:"origin"`
	Source string         `yaml:"source"`
	Spread string         `yaml:"spread"`
}

// Forms are a plain value and a value with its provenance.
func (Datum[Q]) Forms() []any { return []any{*new(Q), written[Q]{}} }

// Bind reads "2.5 mm", "2.5 mm ± 0.1 mm" or {value, at, origin, source, spread}.
func (d *Datum[Q]) Bind(b *bind.Binder, path string, n *yaml.Node) {
	d.Known, d.Origin = true, Given
	if n.Kind != yaml.MappingNode {
		b.Into(&d.Value, path, n)
		d.Spread = Q(b.Tolerances[path])
		return
	}
	var in written[Q]
	b.Into(&in, path, n)
	d.Value, d.At, d.Source = in.Value, in.At, in.Source
	switch in.Origin {
	case Given, Measured, DataSheet, Handbook, Practice, Assumed:
		d.Origin = in.Origin
	case "":
	default:
		b.Fail(path+".origin", n, "origin is %q; write measured, data sheet class, handbook, common practice or assumed", in.Origin)
	}
	if in.Spread != "" {
		d.readSpread(b, path, n, in.Spread)
	}
}

func (d *Datum[Q]) readSpread(b *bind.Binder, path string, n *yaml.Node, text string) {
	v, err := si.ParseKind(si.Text(d.Value, d.Value.Kind().Unit)+" ± "+text, d.Value.Kind())
	if err != nil {
		b.Fail(path+".spread", n, "spread: %v", err)
	}
	d.Spread = Q(v.Tolerance)
}

// Fibre is the bare filament.
type Fibre struct {
	Note    string                 `yaml:"note"`
	Density Datum[si.Density]      `yaml:"density"`
	E1      Datum[si.Pressure]     `yaml:"E1"`
	E2      Datum[si.Pressure]     `yaml:"E2"`
	G12     Datum[si.Pressure]     `yaml:"G12"`
	Nu12    Datum[si.Fraction]     `yaml:"nu12"`
	Xt      Datum[si.Pressure]     `yaml:"Xt"` // tensile strength of the filament
	Alpha1  Datum[si.Expansion]    `yaml:"alpha1"`
	Alpha2  Datum[si.Expansion]    `yaml:"alpha2"`
	Radius  Datum[si.Length]       `yaml:"radius"`
	K1      Datum[si.Conductivity] `yaml:"conductivity_along"`
	K2      Datum[si.Conductivity] `yaml:"conductivity_across"`
	Cp      Datum[si.SpecificHeat] `yaml:"specific_heat"`
	Limit   Datum[si.Temperature]  `yaml:"limit"`
}

// Weave is how the yarns cross. Trade words.
type Weave string

// The weaves known here.
const (
	Plain          Weave = "plain"
	Twill          Weave = "twill"
	Satin          Weave = "satin" // 5- or 8-harness
	Crowfoot       Weave = "crowfoot"
	SpreadTow      Weave = "spread-tow"
	Unidirectional Weave = "unidirectional"
)

// Bind reads one of the weaves' names.
func (w *Weave) Bind(b *bind.Binder, path string, n *yaml.Node) {
	switch *w = Weave(n.Value); *w {
	case Plain, Twill, Satin, Crowfoot, SpreadTow, Unidirectional:
	default:
		b.Fail(path, n, "weave is %q; write plain, twill, satin, crowfoot, spread-tow or unidirectional", n.Value)
	}
}

// Forms are the weaves' names.
func (Weave) Forms() []any {
	return []any{string(Plain), string(Twill), string(Satin), string(Crowfoot), string(SpreadTow), string(Unidirectional)}
}

// Fabric is a cloth on its roll. Ply strengths hold for a cured ply of this
// cloth in laminating epoxy at StrengthAt fibre fraction, dry, room temperature.
type Fabric struct {
	Note        string              `yaml:"note"`
	ArealMass   Datum[si.ArealMass] `yaml:"areal_mass"`
	Fibre       string              `yaml:"fibre"`
	Second      string              `yaml:"second_fibre"` // hybrid cloth: the other fibre
	SecondShare Datum[si.Fraction]  `yaml:"second_share"` // its share of the mass
	Weave       Weave               `yaml:"weave"`
	WarpShare   Datum[si.Fraction]  `yaml:"warp_share"` // share of the fibre that runs along the warp; 0.5 is balanced
	Crimp       Datum[si.Fraction]  `yaml:"crimp"`      // modulus kept along a yarn, against straight yarns
	Width       Datum[si.Length]    `yaml:"width"`
	Selvedge    Datum[si.Length]    `yaml:"selvedge"` // unusable strip at each edge
	DryThick    Datum[si.Length]    `yaml:"dry_thickness"`
	ShearWarn   Datum[si.Angle]     `yaml:"shear_warning"`      // where care begins
	Locking     Datum[si.Angle]     `yaml:"locking"`            // where cloth buckles
	MinRadius   Datum[si.Length]    `yaml:"min_radius"`         // tightest hollow radius it goes into by hand
	MinOuter    Datum[si.Length]    `yaml:"min_outer_radius"`   // tightest outer edge it goes round without lifting or breaking
	MayFlip     bool                `yaml:"may_flip"`           // both faces alike
	OneWay      bool                `yaml:"one_way"`            // a nap or a tracer: all pieces lie the same way round
	Vf1         Datum[si.Fraction]  `yaml:"compacted_fraction"` // fibre fraction under 1 bar
	CompactB    Datum[si.Fraction]  `yaml:"compaction_exponent"`
	StrengthAt  Datum[si.Fraction]  `yaml:"strength_at_fraction"`
	Xt          Datum[si.Pressure]  `yaml:"Xt"`
	Xc          Datum[si.Pressure]  `yaml:"Xc"`
	Yt          Datum[si.Pressure]  `yaml:"Yt"`
	Yc          Datum[si.Pressure]  `yaml:"Yc"`
	S           Datum[si.Pressure]  `yaml:"S"`
	ResinRatio  Datum[si.Fraction]  `yaml:"resin_ratio"` // usual mass of resin to mass of cloth, wet lay-up
	CostPerM2   float64             `yaml:"cost_per_m2"` // in the shop's own money
}

// Mix is how resin and hardener are measured, parts by mass.
type Mix struct {
	Resin    float64 `yaml:"resin"`
	Hardener float64 `yaml:"hardener"`
}

// KineticModel names a law of cure.
type KineticModel string

// The laws of cure a record may name.
const (
	Kamal     KineticModel = "kamal"
	NthOrder  KineticModel = "nth-order"
	FromSheet KineticModel = "data-sheet"
)

// Kinetics holds either the constants of a rate law or a data sheet's few numbers.
type Kinetics struct {
	Model KineticModel          `yaml:"model"`
	A1    Datum[si.Rate]        `yaml:"A1"`
	E1    Datum[si.MolarEnergy] `yaml:"E1"`
	A2    Datum[si.Rate]        `yaml:"A2"`
	E2    Datum[si.MolarEnergy] `yaml:"E2"`
	M     Datum[si.Fraction]    `yaml:"m"`
	N     Datum[si.Fraction]    `yaml:"n"`
	Min   Datum[si.Temperature] `yaml:"from"` // range the constants hold in
	Max   Datum[si.Temperature] `yaml:"to"`
}

// Sheet is what a resin's data sheet says about its pace. It calibrates the rate law.
type Sheet struct {
	PotLife     Datum[si.Time]        `yaml:"pot_life"`
	PotMass     Datum[si.Mass]        `yaml:"pot_mass"`
	PotAt       Datum[si.Temperature] `yaml:"pot_temperature"`
	PotEnds     string                `yaml:"pot_ends"` // gel | 40 degC | 50 degC | viscosity doubled: what the sheet calls the end
	FilmGel     Datum[si.Time]        `yaml:"film_gel"` // a thin film, at FilmAt
	FilmAt      Datum[si.Temperature] `yaml:"film_temperature"`
	Demould     Datum[si.Time]        `yaml:"demould"`
	DemouldAt   Datum[si.Temperature] `yaml:"demould_temperature"`
	ActivationE Datum[si.MolarEnergy] `yaml:"activation_energy"`
	AfterCure   []CureTg              `yaml:"after_cure"`
}

// CureTg is a glass transition measured after one or more holds.
type CureTg struct {
	Holds []Hold                `yaml:"holds"`
	Tg    Datum[si.Temperature] `yaml:"tg"`
}

// Hold is a time at a temperature.
type Hold struct {
	For si.Time        `yaml:"for"`
	At  si.Temperature `yaml:"at"`
}

// DiBenedetto holds the constants of the glass transition against degree of cure.
type DiBenedetto struct {
	Start  Datum[si.Temperature] `yaml:"start"`
	Full   Datum[si.Temperature] `yaml:"full"`
	Lambda Datum[si.Fraction]    `yaml:"lambda"`
}

// Diffusion slows the rate near and below the glass transition. Only where it is given.
type Diffusion struct {
	Shift Datum[si.TemperatureDifference] `yaml:"shift"` // Dd
	Width Datum[si.TemperatureDifference] `yaml:"width"` // w
}

// Resin is a resin with its hardener.
type Resin struct {
	Note            string                          `yaml:"note"`
	Class           Class                           `yaml:"class"`
	Density         Datum[si.Density]               `yaml:"density"` // cured
	ResinDensity    Datum[si.Density]               `yaml:"resin_density"`
	HardenerDensity Datum[si.Density]               `yaml:"hardener_density"`
	Mix             Mix                             `yaml:"mix"`
	Kinetics        *Kinetics                       `yaml:"kinetics"`
	Sheet           *Sheet                          `yaml:"data_sheet"`
	Diffusion       *Diffusion                      `yaml:"diffusion"`
	HeatOfReaction  Datum[si.SpecificEnergy]        `yaml:"heat_of_reaction"`
	GelConversion   Datum[si.Fraction]              `yaml:"gel_conversion"`
	Tg              DiBenedetto                     `yaml:"tg"`
	WetDrop         Datum[si.TemperatureDifference] `yaml:"wet_drop"`  // loss of Tg when moist
	Viscosity       Datum[si.Viscosity]             `yaml:"viscosity"` // mixed, fresh; `at` says where
	ViscosityE      Datum[si.MolarEnergy]           `yaml:"viscosity_energy"`
	ViscosityRise   Datum[si.Fraction]              `yaml:"viscosity_rise"` // κ, where rheometry gave exp(κα) up to gel
	Cp              Datum[si.SpecificHeat]          `yaml:"specific_heat"`
	K               Datum[si.Conductivity]          `yaml:"conductivity"`
	E               Datum[si.Pressure]              `yaml:"E"`
	Nu              Datum[si.Fraction]              `yaml:"nu"`
	Alpha           Datum[si.Expansion]             `yaml:"alpha"`
	Shrinkage       Datum[si.Fraction]              `yaml:"shrinkage"` // linear, after gel
	MinShop         Datum[si.Temperature]           `yaml:"min_shop"`
	RampLimit       Datum[si.TemperatureDifference] `yaml:"ramp_per_hour"`
	Vapour          Datum[si.Pressure]              `yaml:"vapour_pressure"` // of its lightest parts; `at` says where
	VapourE         Datum[si.MolarEnergy]           `yaml:"vapour_energy"`   // heat of their boiling
	ShelfLife       Datum[si.Time]                  `yaml:"shelf_life"`
	CostPerKg       float64                         `yaml:"cost_per_kg"`
}

// Ply is a measured cured ply. Material axes: 1 along the warp or fibre, 2 across.
type Ply struct {
	Note      string              `yaml:"note"`
	E1        Datum[si.Pressure]  `yaml:"E1"`
	E2        Datum[si.Pressure]  `yaml:"E2"`
	G12       Datum[si.Pressure]  `yaml:"G12"`
	Nu12      Datum[si.Fraction]  `yaml:"nu12"`
	Thickness Datum[si.Length]    `yaml:"thickness"`
	Density   Datum[si.Density]   `yaml:"density"`
	Alpha1    Datum[si.Expansion] `yaml:"alpha1"`
	Alpha2    Datum[si.Expansion] `yaml:"alpha2"`
	Xt        Datum[si.Pressure]  `yaml:"Xt"`
	Xc        Datum[si.Pressure]  `yaml:"Xc"`
	Yt        Datum[si.Pressure]  `yaml:"Yt"`
	Yc        Datum[si.Pressure]  `yaml:"Yc"`
	S         Datum[si.Pressure]  `yaml:"S"`
	CostPerM2 float64             `yaml:"cost_per_m2"`
}

// Core is what stands between two skins.
type Core struct {
	Note        string                 `yaml:"note"`
	Density     Datum[si.Density]      `yaml:"density"`
	E           Datum[si.Pressure]     `yaml:"E"`
	G           Datum[si.Pressure]     `yaml:"G"`
	Nu          Datum[si.Fraction]     `yaml:"nu"`
	Compression Datum[si.Pressure]     `yaml:"compression"`
	Tension     Datum[si.Pressure]     `yaml:"tension"`
	Shear       Datum[si.Pressure]     `yaml:"shear"`
	Alpha       Datum[si.Expansion]    `yaml:"alpha"`
	Cp          Datum[si.SpecificHeat] `yaml:"specific_heat"`
	K           Datum[si.Conductivity] `yaml:"conductivity"`
	Limit       Datum[si.Temperature]  `yaml:"limit"`
	Uptake      Datum[si.ArealMass]    `yaml:"resin_uptake"`           // a face
	LeftAtLimit Datum[si.Fraction]     `yaml:"strength_left_at_limit"` // share of the compression strength
	Lasting     Datum[si.Fraction]     `yaml:"lasting_share"`          // of it, borne for hours without creep worth a word
	CostPerM2   float64                `yaml:"cost_per_m2"`
}

// Use is what a consumable is for.
type Use string

// The uses of consumables.
const (
	PeelPly     Use = "peel ply"
	ReleaseFilm Use = "release film"
	Bleeder     Use = "bleeder" // and breather: the same nonwoven
	BagFilm     Use = "bag film"
	SealantTape Use = "sealant tape"
	FlashTape   Use = "flash tape"
	Carrier     Use = "carrier film" // cloth is wet out between two
)

// Consumable is what lies over the part and is thrown away.
type Consumable struct {
	Note       string                      `yaml:"note"`
	Use        Use                         `yaml:"use"`
	ArealMass  Datum[si.ArealMass]         `yaml:"areal_mass"`
	Thickness  Datum[si.Length]            `yaml:"thickness"`
	Width      Datum[si.Length]            `yaml:"width"`
	RollLength Datum[si.Length]            `yaml:"roll_length"`
	Uptake     Datum[si.ArealMass]         `yaml:"resin_uptake"` // resin it holds when full, under vacuum
	Locking    Datum[si.Angle]             `yaml:"locking"`
	Stretch    Datum[si.Fraction]          `yaml:"stretch"`       // strain that a film or a felt takes without a pleat
	Permeable  Datum[si.Area]              `yaml:"permeability"`  // of peel ply to resin, through and along it
	Hole       Datum[si.Length]            `yaml:"hole_diameter"` // of release film; 0 mm: it has none
	HoleApart  Datum[si.Length]            `yaml:"hole_spacing"`  // in a square pattern
	Resistance Datum[si.ThermalResistance] `yaml:"thermal_resistance"`
	Limit      Datum[si.Temperature]       `yaml:"limit"`
	CostPerM2  float64                     `yaml:"cost_per_m2"`
	CostPerM   float64                     `yaml:"cost_per_m"`
}

// MouldMaterial is what a mould is carved from or faced with.
type MouldMaterial struct {
	Note        string                 `yaml:"note"`
	Density     Datum[si.Density]      `yaml:"density"`
	Alpha       Datum[si.Expansion]    `yaml:"alpha"`
	Cp          Datum[si.SpecificHeat] `yaml:"specific_heat"`
	K           Datum[si.Conductivity] `yaml:"conductivity"`
	Limit       Datum[si.Temperature]  `yaml:"limit"`
	Compression Datum[si.Pressure]     `yaml:"compression"`
	Board       Datum[si.Length]       `yaml:"board_thickness"`
	SheetLong   Datum[si.Length]       `yaml:"sheet_length"` // along the grain where there is one
	SheetWide   Datum[si.Length]       `yaml:"sheet_width"`
	Grain       bool                   `yaml:"grain"`  // its boards are laid crosswise
	Filler      bool                   `yaml:"filler"` // put on with a knife, to fill and to smooth
	Porous      bool                   `yaml:"porous"` // must be sealed: leaks air, takes up resin
	Sealer      int                    `yaml:"sealer_coats"`
	SealerDry   Datum[si.Time]         `yaml:"sealer_drying"` // a coat
	Dry         Datum[si.Time]         `yaml:"hardening"`     // of filler or primer, before release goes on
	Solvent     string                 `yaml:"attacked_by"`
	CostPerKg   float64                `yaml:"cost_per_kg"`

	E            Datum[si.Pressure] `yaml:"E"` // in bending, along the weaker way of a board
	Nu           Datum[si.Fraction] `yaml:"nu"`
	Bending      Datum[si.Pressure] `yaml:"bending_strength"`
	LeftAtLimit  Datum[si.Fraction] `yaml:"strength_left_at_limit"` // share of the strength at room temperature that is left at the limit
	Lasting      Datum[si.Fraction] `yaml:"lasting_share"`          // share of the short-time strength that is borne without creep worth a word
	Permeability Datum[si.Area]     `yaml:"air_permeability"`       // Darcy's, unsealed, through the face of a board
	Lost         string             `yaml:"lost"`                   // dissolve | dig | break | melt: how a plug of it can be got out of a part that it is locked in
}
