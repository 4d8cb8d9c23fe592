package wetout

import (
	"errors"

	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/resin"
	"laywright/internal/base/si"
)

// Spec is the `wetout` section of a job file.
type Spec struct {
	CupLimit si.Mass                `yaml:"cup_limit" least:"0.005" most:"5"` // most that is mixed in one cup; 0: usual
	Lost     bind.Auto[si.Fraction] `yaml:"lost"`                             // to cup, brush and films, as a share of what stays; auto: reckoned
	Pace     si.Time                `yaml:"pace" above:"0" most:"36000"`      // to wet out and lay one ply; 0: the bench's pace
	Scale    si.Mass                `yaml:"scale" above:"0" most:"0.1"`       // smallest step of the shop's scale; 0: not told
	Film     string                 `yaml:"carrier_film"`                     // that cloth is wetted out between
	Mixed    si.Mass                `yaml:"mix" above:"0" most:"200"`         // resin and hardener together, where there is no laminate
	Resin    string                 `yaml:"resin"`                            // likewise
	Cup      CupSpec                `yaml:"cup"`
}

// Layer is one layer of the stack.
type Layer struct {
	Name   string
	Areal  si.ArealMass // dry cloth; 0 for a core or a cured ply
	Spread float64      // of Areal, as a share; 0: usual
	Ratio  float64      // mass of resin to mass of cloth
	Soaked si.ArealMass // resin that a core's faces take up
	Solid  si.ArealMass // of a core or a cured ply
	Area   si.Area      // 0: the part's
	Work   si.Time      // to wet it out and lay it, by the hands there are
}

// Absorber is cloth over the part that takes resin and is thrown away.
type Absorber struct {
	Name   string
	Uptake si.ArealMass
	Area   si.Area // 0: the part's
}

// Input is what the wet-out stage needs.
type Input struct {
	Spec            Spec
	Area            si.Area // of the part
	Layers          []Layer
	Absorbers       []Absorber // peel ply and the like
	Resin           string     // name, for messages
	Mix             material.Mix
	ResinDensity    si.Density   // 0: not known
	HardenerDensity si.Density   // 0: not known
	Law             *resin.Law   // nil: how it cures is not known
	Ends            []resin.Law  // what its data sheet leaves open; may be empty
	Mixing          si.Time      // to weigh and stir one pot
	FilmUptake      si.ArealMass // of carrier film, a face
	FilmFaces       si.Area      // of carrier film that lie on cloth
	Shop            si.Temperature
	Mould           si.Temperature // of its face; 0: as the shop
	Amine           bool           // the hardener is an amine
	Humidity        float64        // relative, 0 to 1; 0: not known
	MinShop         si.Temperature
	RatioSpread     float64 // of the resin ratio by hand, as a share; 0: usual
}

// usual values of what a job leaves out.
const (
	usualCup = 0.100 // kg: certified light-aircraft manuals tell of pots of about 100 g
	// areal masses of rolls differ by about 3 % and a hand's resin ratio by 10 %
	// (assumed; the shop's own records replace them).
	usualAreal = 0.03
	usualRatio = 0.10
)

func settle(in Input) (Input, error) {
	if in.Spec.CupLimit == 0 {
		in.Spec.CupLimit = usualCup
	}
	if in.Shop == 0 {
		in.Shop = si.Celsius(21)
	}
	if in.Mould == 0 {
		in.Mould = in.Shop
	}
	if in.RatioSpread == 0 {
		in.RatioSpread = usualRatio
	}
	if in.Spec.Mixed > 0 && len(in.Layers) > 0 {
		return in, &fault.Input{Field: "wetout.mix", What: "is given beside a laminate, which says itself what it takes", Do: "keep one of them"}
	}
	if in.Area == 0 && in.Spec.Mixed == 0 {
		return in, &fault.Input{Field: "part.area", What: "is not known",
			Do: "give a mould, or the area as part: {area: \"0.35 m^2\"}"}
	}
	for _, c := range []struct {
		field        string
		x, low, high float64
		unit, why    string
	}{
		{"wetout.cup_limit", float64(in.Spec.CupLimit) * 1e3, 5, 5000, " g", "less can't be weighed, more can't be held"},
		{"wetout.lost", float64(in.Spec.Lost.Value), 0, 2, "", "a share of the resin that stays in the part"},
		{"wetout.pace", float64(in.Spec.Pace) / 60, 0, 600, " min", "the time for one ply"},
		{"wetout.scale", float64(in.Spec.Scale) * 1e3, 0, 100, " g", "the smallest step of a scale"},
		{"shop.temperature", in.Shop.Celsius(), -20, 60, " degC", "-4 to 140 degF: a place where people lay cloth"},
		{"shop.mould_temperature", in.Mould.Celsius(), -20, 80, " degC", "a mould that cloth is laid on"},
		{"shop.humidity", in.Humidity * 100, 0, 100, " %", "relative humidity"},
	} {
		if err := fault.Check(c.field, c.x, c.low, c.high, c.unit, c.why); err != nil {
			return in, err
		}
	}
	if in.Spec.Mixed > 0 {
		return in, errors.Join(checkMix(in), in.Spec.Cup.check())
	}
	return in, errors.Join(fault.Check("part.area", float64(in.Area), 1e-4, 500, " m^2", "a stamp to a wing"), checkLayers(in), in.Spec.Cup.check())
}

func checkLayers(in Input) error {
	if len(in.Layers) == 0 {
		return &fault.Input{Field: "laminate.stack", What: "holds nothing to wet out", Do: "list its plies"}
	}
	for i, l := range in.Layers {
		at := fault.Numbered("laminate.stack", i)
		if err := fault.Check(at+".resin_ratio", l.Ratio, 0, 10, "", "mass of resin to mass of cloth"); err != nil {
			return err
		}
		if err := fault.Check(at+" takes", float64(l.Work)/60, 0, 6000, " min", "the work of one layer"); err != nil {
			return err
		}
		if err := fault.Check(at+".areal_mass", float64(l.Areal)*1e3, 0, 5000, " g/m^2", "cloth"); err != nil {
			return err
		}
	}
	return checkMix(in)
}

func checkMix(in Input) error {
	m := in.Mix
	if m.Resin == 0 && m.Hardener == 0 {
		return nil // told in a finding
	}
	return fault.Check("materials.resins."+in.Resin+".mix.hardener", m.Hardener/m.Resin, 0.01, 2, " parts to one of resin", "epoxies take 0.1 to 1")
}
