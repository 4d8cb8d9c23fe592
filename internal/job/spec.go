// Package job turns one job file into one plan: [Read] reads the file, [Make]
// runs the stages in their order, and one function an arrow in link.go maps what
// a stage needs from those before it. The package is pure: meshes and traces
// that a job names are read by the caller and come in as values.
package job

import (
	"laywright/internal/base/material"
	"laywright/internal/base/si"
	"laywright/internal/stage/bag"
	"laywright/internal/stage/bench"
	"laywright/internal/stage/cure"
	"laywright/internal/stage/duty"
	"laywright/internal/stage/laminate"
	"laywright/internal/stage/mould"
	"laywright/internal/stage/nest"
	"laywright/internal/stage/plies"
	"laywright/internal/stage/strength"
	"laywright/internal/stage/wetout"
)

// Spec is what a person decides: the job file. A section that is left out is nil.
type Spec struct {
	Version   int             `yaml:"laywright"`
	Job       Header          `yaml:"job"`
	Show      si.System       `yaml:"show"`
	Shop      Shop            `yaml:"shop"`
	Materials material.Set    `yaml:"materials"`
	Duty      *duty.Spec      `yaml:"duty"`
	Mould     *mould.Spec     `yaml:"mould"`
	Part      *mould.PartSpec `yaml:"part"`
	Laminate  *laminate.Spec  `yaml:"laminate"`
	Plies     *plies.Spec     `yaml:"plies"`
	Strength  *strength.Spec  `yaml:"strength"`
	Roll      *nest.Spec      `yaml:"roll"`
	Wetout    *wetout.Spec    `yaml:"wetout"`
	Bag       *bag.Spec       `yaml:"bag"`
	Cure      *cure.Spec      `yaml:"cure"`
	Bench     *bench.Spec     `yaml:"bench"`
}

// Header names the part.
type Header struct {
	Name        string `yaml:"name" json:"name,omitempty"`
	Aircraft    string `yaml:"aircraft" json:"aircraft,omitempty"`
	Part        string `yaml:"part" json:"part,omitempty"`
	Revision    string `yaml:"revision" json:"revision,omitempty"`
	Quantity    int    `yaml:"quantity" least:"1" most:"1000" json:"quantity,omitempty"`
	Consequence string `yaml:"consequence" json:"consequence,omitempty"` // what happens if the part fails
	Seed        uint64 `yaml:"seed" json:"seed,omitempty"`               // of every search
}

// Shop is the air that the work is done in.
type Shop struct {
	Temperature si.Temperature `yaml:"temperature" least:"253.15" most:"333.15"` // 0: 20 °C is taken
	Humidity    si.Fraction    `yaml:"humidity" least:"0" most:"1"`
	Elevation   si.Length      `yaml:"elevation" least:"-500" most:"6000"`
	Barometer   si.Pressure    `yaml:"barometer" least:"45000" most:"110000"`          // as read in the shop
	Mould       si.Temperature `yaml:"mould_temperature" least:"253.15" most:"353.15"` // of the mould's face as cloth goes on; 0: as the shop
	GelCups     []GelCup       `yaml:"gel_cups"`
}

// usualShop is taken where a job does not say. A note tells so.
const usualShop si.Temperature = 293.15

func (s Shop) temperature() si.Temperature {
	if s.Temperature == 0 {
		return usualShop
	}
	return s.Temperature
}

// system is how the job's documents show quantities.
func (s Spec) system() si.System {
	if s.Show == "" {
		return si.Metric
	}
	return s.Show
}
