package duty

import (
	"laywright/internal/base/air"
	"laywright/internal/base/fault"
	"laywright/internal/base/num"
	"laywright/internal/base/si"
	"laywright/internal/stage/cabin"
)

// usualRecovery is the share of impact pressure that a plain forward scoop
// brings to the duct: 0.7 to 0.95 for a good scoop, 0.4 to 0.7 for a flush inlet.
// From memory, no source.
const usualRecovery si.Fraction = 0.6

// supply is what drives the air: a flow, or a pressure that may fall with it.
type supply struct {
	flow     float64 // kg/s; 0: by pressure
	constant float64 // Pa, from available and ram
	exit     float64 // Pa of suction at the cabin's exit
	volume   []float64
	rise     []float64 // the blower's points, m³/s and Pa
	density  float64   // of the air in the blower
}

// supplyOf reads what drives the air. outside is the air outside, in the air
// that comes to the heater.
func supplyOf(a Air, outside AirState, in si.Density) (supply, error) {
	const field = "duty.heater.air"
	driven := a.Available != 0 || a.Ram != nil || a.Blower != nil
	if (a.Flow != 0) == driven {
		return supply{}, &fault.Input{Field: field, What: "needs a flow, or what drives one, not both", Do: "give flow; or any of available, ram and blower"}
	}
	s := supply{flow: float64(a.Flow), constant: float64(a.Available), density: float64(in)}
	if a.Flow != 0 {
		return s, fault.Check(field+".flow", s.flow, 1e-5, 20, " kg/s", "air through the heater")
	}
	if err := fault.Check(field+".available", s.constant, 0, 1e5, " Pa", "pressure difference over ducts and box"); err != nil {
		return s, err
	}
	if a.Ram != nil {
		p, err := a.Ram.pressure(outside)
		if err != nil {
			return s, err
		}
		s.constant += p
		s.exit = max(0, -float64(a.Ram.Exit)) * float64(outside.Impact)
	}
	return s, s.addBlower(a)
}

// pressure returns what the scoop offers: recovery of the impact pressure, less
// what the cabin's exit stands above (or plus what it stands below) static.
func (r Ram) pressure(outside AirState) (float64, error) {
	recovery := usualRecovery
	if r.Recovery != nil {
		recovery = *r.Recovery
	}
	speed := r.Speed
	if speed == 0 {
		speed = outside.Speed
	}
	for _, err := range []error{
		fault.Check("duty.heater.air.ram.speed", float64(speed), 1, 250, " m/s", "true airspeed; without it there is no ram"),
		fault.Check("duty.heater.air.ram.recovery", float64(recovery), 0, 1, "", "share of the impact pressure"),
		fault.Check("duty.heater.air.ram.exit", float64(r.Exit), -3, 1, "", "pressure coefficient at the cabin's exit"),
	} {
		if err != nil {
			return 0, err
		}
	}
	return float64(recovery-r.Exit) * float64(air.Impact(outside.Pressure, outside.Temperature, speed)), nil
}

func (s *supply) addBlower(a Air) error {
	if a.Blower == nil {
		return nil
	}
	const field = "duty.heater.air.blower"
	for i, v := range a.Blower.X {
		s.volume, s.rise = append(s.volume, float64(v)), append(s.rise, float64(a.Blower.Y[i]))
		if v < 0 || i > 0 && !(v > a.Blower.X[i-1] && a.Blower.Y[i] <= a.Blower.Y[i-1]) {
			return &fault.Input{Field: field, What: fault.Numbered("points", i) + " is out of order",
				Do: "list the points by rising flow; pressure falls or stays"}
		}
	}
	if len(s.volume) < 2 {
		return &fault.Input{Field: field, What: "needs two points or more", Do: "give shut-off pressure at no flow and the flow at no pressure"}
	}
	return nil
}

// at returns the pressure offered at a mass flow, Pa.
func (s supply) at(flow float64) float64 {
	p := s.constant
	if s.volume != nil {
		p += num.Linear(s.volume, s.rise, flow/s.density)
	}
	return p
}

// most returns the greatest flow the supply is known to, kg/s.
func (s supply) most() float64 {
	if s.volume != nil {
		return s.volume[len(s.volume)-1] * s.density
	}
	return 20
}

// shutOff returns the pressure with the valve shut, Pa.
func (s supply) shutOff() float64 { return s.at(0) }

// suction returns what the supply can pull at a part with the way in shut: the
// blower's whole rise, and the suction where the cabin's air leaves.
func (s supply) suction() float64 {
	if s.volume == nil {
		return s.exit
	}
	return s.exit + num.Linear(s.volume, s.rise, 0)
}

// heatedAir returns the air that comes to the heater: absolute pressure and temperature.
func heatedAir(a Air, c *cabin.Spec, outside AirState) (si.Pressure, si.Temperature, error) {
	switch a.From {
	case "", FromOutside:
	case FromCabin:
		if c == nil && a.Inlet == nil {
			return 0, 0, &fault.Input{Field: "duty.heater.air.from", What: "is cabin, but no cabin is described", Do: "give duty.cabin.target, or the inlet's temperature"}
		}
	default:
		return 0, 0, &fault.Input{Field: "duty.heater.air.from", What: "is " + string(a.From), Do: "write outside or cabin"}
	}
	inlet := outside.Temperature
	switch {
	case a.Inlet != nil:
		inlet = *a.Inlet
	case a.From == FromCabin:
		inlet = c.Target
	case a.Ram != nil:
		speed := a.Ram.Speed
		if speed == 0 {
			speed = outside.Speed
		}
		inlet += si.Temperature(air.RamRise(speed))
	}
	return outside.Pressure, inlet, nil
}

// outsideOf returns the air outside that the heater's air keys and duty.air describe.
func outsideOf(a Air, place *Place) (AirState, error) {
	var p Place
	if place != nil {
		p = *place
	}
	if a.Altitude != nil || a.Pressure != nil {
		p.Altitude, p.Pressure = a.Altitude, a.Pressure
	}
	if a.Outside != nil || a.Offset != nil {
		p.Outside, p.Offset = a.Outside, a.Offset
	}
	if p.Outside == nil && p.Offset == nil && a.Inlet != nil && *a.Inlet <= hottestOutside && a.From != FromCabin {
		p.Outside = a.Inlet
	}
	if a.Ram != nil && a.Ram.Speed != 0 {
		p.Speed = a.Ram.Speed
	}
	return stateOf(p, "duty.heater.air")
}

// AirState is the air outside.
type AirState struct {
	Altitude    *si.Length               `json:"altitude_m,omitempty"`
	Pressure    si.Pressure              `json:"pressure_Pa"`
	Temperature si.Temperature           `json:"temperature_degC"`
	Density     si.Density               `json:"density_kg_per_m3"`
	Speed       si.Velocity              `json:"speed_m_per_s,omitempty"`
	Impact      si.Pressure              `json:"impact_pressure_Pa,omitempty"` // total over static
	RamRise     si.TemperatureDifference `json:"ram_rise_K,omitempty"`
}

// hottestOutside is the hottest air outside that is taken for such.
const hottestOutside si.Temperature = 273.15 + 60

// stateOf works out the air outside at a place. field is its path.
func stateOf(p Place, field string) (AirState, error) {
	var s AirState
	if p.Altitude != nil && p.Pressure != nil {
		return s, &fault.Input{Field: field + ".pressure", What: "stands beside an altitude, which has a pressure of its own",
			Do: "keep one of the two"}
	}
	var h si.Length
	if p.Altitude != nil {
		h = *p.Altitude
	}
	if err := fault.Check(field+".altitude", float64(h)/1000, -1, float64(air.Top)/1000, " km", "-3300 to 65600 ft: the standard atmosphere is used to 20 km"); err != nil {
		return s, err
	}
	s.Pressure, s.Temperature = air.Standard(h)
	if p.Pressure == nil {
		s.Altitude = &h
	} else {
		s.Pressure = *p.Pressure
	}
	switch {
	case p.Outside != nil && p.Offset != nil:
		return s, &fault.Input{Field: field + ".offset", What: "stands beside a temperature outside", Do: "keep one of the two"}
	case p.Outside != nil:
		s.Temperature = *p.Outside
	case p.Offset != nil:
		s.Temperature += si.Temperature(*p.Offset)
	}
	for _, err := range []error{
		fault.Check(field+".pressure", float64(s.Pressure)/1000, 5, 120, " kPa", "absolute pressure of the air outside"),
		fault.Check(field+".outside", s.Temperature.Celsius(), -90, hottestOutside.Celsius(), " degC", "-130 to 140 degF: air outside"),
		fault.Check(field+".speed", float64(p.Speed), 0, 250, " m/s", "true airspeed, well below that of sound"),
	} {
		if err != nil {
			return s, err
		}
	}
	s.Density = air.Density(s.Pressure, s.Temperature)
	s.Speed = p.Speed
	s.Impact = air.Impact(s.Pressure, s.Temperature, p.Speed)
	s.RamRise = air.RamRise(p.Speed)
	return s, nil
}
