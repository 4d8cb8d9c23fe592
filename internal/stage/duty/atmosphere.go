package duty

import (
	"laywright/internal/base/air"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

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
