package cure

import (
	"fmt"
	"slices"

	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/resin"
	"laywright/internal/base/si"
	"laywright/internal/stage/cure/oven"
	"laywright/internal/stage/probes"
)

// Place is where the part hardens.
type Place string

// The places. Under lamps only the bag's face is warmed; in an oven both.
const (
	Room    Place = "room"
	Oven    Place = "box-oven"
	Lamps   Place = "lamps"
	nowhere Place = ""
)

// Curve is a temperature over time.
type Curve = bind.Curve[si.Time, si.Temperature]

// Spec is the `cure` section of a job file.
type Spec struct {
	Resin      string             `yaml:"resin"` // only where there is no laminate
	In         Place              `yaml:"in"`
	Schedule   bind.Auto[Curve]   `yaml:"schedule"`
	Trace      Trace              `yaml:"trace"`                                // a measured temperature
	Start      bind.Auto[si.Time] `yaml:"start"`                                // from the first mixing to the schedule's time 0, at shop temperature
	Hottest    si.Temperature     `yaml:"hottest" least:"253.15" most:"623.15"` // what the oven or the lamps can hold; 0: usual for the place
	Air        si.HeatTransfer    `yaml:"heat_transfer" least:"1" most:"500"`   // from the air to a surface; 0: usual for the place
	Oven       *oven.Spec         `yaml:"oven"`                                 // the box itself; without it the air keeps to the schedule
	MeasuredTg *MeasuredTg        `yaml:"measured_tg"`                          // on a coupon cured with the part
	OffMould   bind.Auto[si.Time] `yaml:"off_mould"`                            // when the part is taken off, on the schedule's clock; auto: at the end, or as the search finds
}

// Layer is one sheet of the stack, a mould's board or skin among them.
type Layer struct {
	Name      string
	Thickness si.Length
	Fraction  float64         // share of the volume that does not react: fibre in cloth; 1 for core and mould
	Density   si.Density      // of that share
	Cp        si.SpecificHeat // of that share
	K         si.Conductivity // of that share, across
	Through   si.Conductivity // of the whole layer; 0: from its parts
	Limit     si.Temperature  // what it stands; 0: not known
}

// Cover is a sheet of the bag stack: too thin to hold heat, thick enough to slow it.
type Cover struct {
	Name       string
	Resistance si.ThermalResistance
	Limit      si.Temperature // 0: not known
}

// Input is what the cure stage needs.
type Input struct {
	Spec    Spec
	Law     resin.Law
	Spread  []resin.Law // what the data sheet leaves open; may be empty
	Mould   []Layer     // from the back; empty: the laminate follows the schedule exactly
	Layers  []Layer     // laminate from the mould face; empty likewise
	Bag     []Cover
	Shop    si.Temperature
	Before  si.Time                  // from the first mixing to the vacuum; Spec.Start stands over it
	Service *si.Temperature          // the wall in service; nil: not known
	WetDrop si.TemperatureDifference // of the glass transition; 0: usual
	Ramp    si.TemperatureDifference // the resin's limit an hour; 0: usual
	MinShop si.Temperature           // coldest the resin may be worked at; 0: not known
	Log     *probes.Log              // as a logger wrote it; nil: none
	Trace   Curve                    // measured on the part, times from the schedule's time 0; where there is no Log

	Matters    bool    // a failure has consequences
	TgMeasured bool    // the record's glass transition was measured, not read off a sheet
	Area       si.Area // of the part: what takes heat from the oven; 0: none worth a word

	rampUsual bool      // Ramp is the usual one, not the record's
	box       *oven.Box // nil: the air keeps to the schedule
	place     float64   // of the part in the box: −1 the coldest, 1 the hottest
}

// usual values of what records leave out.
const (
	// UsualWetDrop is the loss of the glass transition of room-temperature epoxies
	// when moist, 10 to 20 K (from memory).
	UsualWetDrop = 15
	// "10 K an hour, so that the glass transition stays ahead of the oven": data
	// sheets of laminating epoxies.
	usualRamp = 10
	// ServiceMargin is from the wet glass transition to the highest service
	// temperature: 50 degF. Source: [mil-hdbk-17-1f], 2.2.8.
	ServiceMargin = 28
)

// placeUsual holds what a place does where the job does not say.
var placeUsual = map[Place]struct {
	hottest si.Temperature
	// Air to surface by convection and radiation: still air 10, a fan's 15
	// W/(m²K) [churchill-chu1975]; ovens 5 to 25.
	air si.HeatTransfer
}{
	Room:  {0, 9},
	Oven:  {si.Celsius(80), 12},
	Lamps: {si.Celsius(60), 10},
}

// settle checks the input and fills what has a usual value.
func settle(in Input) (Input, error) {
	if in.Spec.In == nowhere {
		in.Spec.In = Room
		if in.Spec.Schedule.Given || in.Spec.Oven != nil {
			in.Spec.In = Oven
		}
	}
	usual, known := placeUsual[in.Spec.In]
	if !known {
		return in, &fault.Input{Field: "cure.in", What: "is " + string(in.Spec.In), Do: "write room, box-oven or lamps"}
	}
	if in.Shop == 0 {
		in.Shop = si.Celsius(21)
	}
	if in.Spec.Air == 0 {
		in.Spec.Air = usual.air
	}
	if in.Spec.Hottest == 0 {
		in.Spec.Hottest = max(usual.hottest, in.Shop)
	}
	if err := in.boxUp(); err != nil {
		return in, err
	}
	if in.WetDrop == 0 {
		in.WetDrop = UsualWetDrop
	}
	if in.Ramp == 0 {
		in.Ramp, in.rampUsual = usualRamp, true
	}
	if in.Spec.Start.Given {
		in.Before = in.Spec.Start.Value
	}
	return in, check(in)
}

// longestWait is how long after the first mixing a cure may begin: ten days, when
// the resin is long gone.
const longestWait si.Time = 240 * 3600

func check(in Input) error {
	if !in.Spec.Start.Given && !(in.Before <= longestWait) {
		return &fault.Input{Field: "bench", What: fmt.Sprintf("laying it takes %.0f h from the first mixing to the vacuum, and the resin is long gone by then", float64(in.Before)/3600),
			Do: "put more hands to it, or make the part in pieces, a job each"}
	}
	for _, c := range []struct {
		field        string
		x, low, high float64
		unit, why    string
	}{
		{"shop.temperature", in.Shop.Celsius(), -20, 60, " degC", "-4 to 140 degF: a place where people lay cloth"},
		{"cure.heat_transfer", float64(in.Spec.Air), 1, 500, " W/(m^2*K)", "still air to an autoclave"},
		{"cure.hottest", in.Spec.Hottest.Celsius(), in.Shop.Celsius(), 350, " degC",
			fmt.Sprintf("%.4g to 662 degF: from the shop's temperature to where epoxy chars", 1.8*in.Shop.Celsius()+32)},
		{"cure.start", float64(in.Before) / 3600, 0, float64(longestWait) / 3600, " h", "ten days after mixing the resin is long gone"},
	} {
		if err := fault.Check(c.field, c.x, c.low, c.high, c.unit, c.why); err != nil {
			return err
		}
	}
	for _, l := range slices.Concat(in.Mould, in.Layers) {
		if err := checkLayer("cure layer "+l.Name, l); err != nil {
			return err
		}
	}
	if in.Spec.Schedule.Given {
		if err := checkCurve("cure.schedule", in.Spec.Schedule.Value); err != nil {
			return err
		}
	}
	if off := in.Spec.OffMould; off.Given {
		if !in.Spec.Schedule.Given {
			return &fault.Input{Field: "cure.off_mould", What: "has a time, but the schedule is left to the program",
				Do: "write off_mould: auto, or give the schedule too"}
		}
		if err := fault.Check("cure.off_mould", float64(off.Value)/3600, 0, longest/3600, " h", "within the schedule"); err != nil {
			return err
		}
	}
	if m := in.Spec.MeasuredTg; m != nil && (m.Value == 0 || m.State == "") {
		return &fault.Input{Field: "cure.measured_tg", What: "lacks its value or its state", Do: `write {value: "84 degC", state: dry}, or wet`}
	}
	if len(in.Trace.X) > 0 {
		return checkCurve("cure.trace", in.Trace)
	}
	return nil
}

func checkLayer(name string, l Layer) error {
	for _, c := range []struct {
		what         string
		x, low, high float64
		unit         string
	}{
		{"thickness", float64(l.Thickness) * 1e3, 1e-3, 2000, " mm"},
		{"fibre fraction", l.Fraction, 0, 1, ""},
		{"density", float64(l.Density), 5, 25e3, " kg/m^3"},
		{"specific heat", float64(l.Cp), 50, 10e3, " J/(kg*K)"},
	} {
		if err := fault.Check(name+" "+c.what, c.x, c.low, c.high, c.unit, "a material's range"); err != nil {
			return err
		}
	}
	k := l.K
	if l.Through > 0 {
		k = l.Through
	}
	return fault.Check(name+" conductivity", float64(k), 5e-3, 1000, " W/(m*K)", "a material's range")
}
