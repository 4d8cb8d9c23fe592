package duty

import (
	"math"

	"laywright/internal/base/air"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/exchanger"
)

// Constants of air. Source: [us-std-atm-1976].
const (
	gasConstant = 287.05287 // J/(kg K)
	gammaAir    = 1.4
)

// AirState is the air outside.
type AirState struct {
	Altitude    *si.Length     `json:"altitude_m,omitempty"`
	Pressure    si.Pressure    `json:"pressure_Pa"`
	Temperature si.Temperature `json:"temperature_degC"`
	Density     si.Density     `json:"density_kg_per_m3"`
	Speed       si.Velocity    `json:"speed_m_per_s,omitempty"`
	Impact      si.Pressure    `json:"impact_pressure_Pa,omitempty"` // total over static
	RamRise     float64        `json:"ram_rise_K,omitempty"`
}

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
	if p.Outside != nil {
		s.Temperature = *p.Outside
	}
	for _, err := range []error{
		fault.Check(field+".pressure", float64(s.Pressure)/1000, 5, 120, " kPa", "absolute pressure of the air outside"),
		fault.Check(field+".outside", s.Temperature.Celsius(), -90, 60, " degC", "-130 to 140 degF: air outside"),
		fault.Check(field+".speed", float64(p.Speed), 0, 250, " m/s", "true airspeed, well below that of sound"),
	} {
		if err != nil {
			return s, err
		}
	}
	s.Density = exchanger.AirDensity(s.Pressure, s.Temperature)
	s.Speed = p.Speed
	s.Impact = impact(s.Pressure, s.Temperature, p.Speed)
	s.RamRise = ramRise(p.Speed)
	return s, nil
}

// impact returns the impact pressure of air brought to rest without loss.
//
//	q_c = p·[(1 + 0.2·M²)^3.5 − 1]    M = V/√(γRT)
//
// Source: isentropic flow of air, [us-std-atm-1976] for γ and R.
func impact(p si.Pressure, t si.Temperature, v si.Velocity) si.Pressure {
	mach := float64(v) / math.Sqrt(gammaAir*gasConstant*float64(t))
	return p * si.Pressure(math.Pow(1+(gammaAir-1)/2*mach*mach, gammaAir/(gammaAir-1))-1)
}

// ramRise returns the warming of air brought to rest, V²/(2c_p) in K, with the
// c_p = γR/(γ−1) that belongs to [impact].
func ramRise(v si.Velocity) float64 {
	return float64(v) * float64(v) * (gammaAir - 1) / (2 * gammaAir * gasConstant)
}
