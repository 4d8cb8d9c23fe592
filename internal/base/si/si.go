// Package si holds the quantities that every stage speaks in: one Go type a
// kind of quantity, each a float64 in its coherent SI unit (metre, kilogram,
// second, kelvin, mole, radian and what is made of them).
//
// Text becomes a quantity only in [Parse] and a quantity becomes text only in
// [Text] and [Show]. Whether a pressure is gauge or absolute is not a matter of
// the unit: the field that holds it says so.
package si

import (
	"encoding/json"
	"math"
)

// Quantity is any of this package's types.
type Quantity interface {
	~float64
	Kind() Kind
}

// The kinds of quantity, each in its SI unit.
type (
	Length                float64 // m
	Area                  float64 // m^2
	Volume                float64 // m^3
	Mass                  float64 // kg
	Time                  float64 // s
	Temperature           float64 // K, on the absolute scale
	TemperatureDifference float64 // K
	Angle                 float64 // rad
	Pressure              float64 // Pa; also stress and modulus
	Force                 float64 // N; also moment per width
	LineLoad              float64 // N/m
	Stiffness             float64 // N/m; of a spring
	Density               float64 // kg/m^3
	ArealMass             float64 // kg/m^2
	LinearMass            float64 // kg/m
	Velocity              float64 // m/s
	Acceleration          float64 // m/s^2
	MassFlow              float64 // kg/s
	VolumeFlow            float64 // m^3/s
	Viscosity             float64 // Pa s
	KinematicViscosity    float64 // m^2/s
	Energy                float64 // J
	Power                 float64 // W
	SpecificEnergy        float64 // J/kg
	SpecificHeat          float64 // J/(kg K)
	HeatCapacity          float64 // J/K
	Conductivity          float64 // W/(m K)
	HeatTransfer          float64 // W/(m^2 K)
	ThermalResistance     float64 // m^2 K/W
	Conductance           float64 // W/K
	Expansion             float64 // 1/K
	Rate                  float64 // 1/s; also frequency
	MolarEnergy           float64 // J/mol
	MolarMass             float64 // kg/mol
	Curvature             float64 // 1/m
	Fraction              float64 // pure; text may be in percent
)

func (Length) Kind() Kind                { return kinds[length] }
func (Area) Kind() Kind                  { return kinds[area] }
func (Volume) Kind() Kind                { return kinds[volume] }
func (Mass) Kind() Kind                  { return kinds[mass] }
func (Time) Kind() Kind                  { return kinds[duration] }
func (Temperature) Kind() Kind           { return kinds[temperature] }
func (TemperatureDifference) Kind() Kind { return kinds[temperatureDifference] }
func (Angle) Kind() Kind                 { return kinds[angle] }
func (Pressure) Kind() Kind              { return kinds[pressure] }
func (Force) Kind() Kind                 { return kinds[force] }
func (LineLoad) Kind() Kind              { return kinds[lineLoad] }
func (Stiffness) Kind() Kind             { return kinds[stiffness] }
func (Density) Kind() Kind               { return kinds[density] }
func (ArealMass) Kind() Kind             { return kinds[arealMass] }
func (LinearMass) Kind() Kind            { return kinds[linearMass] }
func (Velocity) Kind() Kind              { return kinds[velocity] }
func (Acceleration) Kind() Kind          { return kinds[acceleration] }
func (MassFlow) Kind() Kind              { return kinds[massFlow] }
func (VolumeFlow) Kind() Kind            { return kinds[volumeFlow] }
func (Viscosity) Kind() Kind             { return kinds[viscosity] }
func (KinematicViscosity) Kind() Kind    { return kinds[kinematicViscosity] }
func (Energy) Kind() Kind                { return kinds[energy] }
func (Power) Kind() Kind                 { return kinds[power] }
func (SpecificEnergy) Kind() Kind        { return kinds[specificEnergy] }
func (SpecificHeat) Kind() Kind          { return kinds[specificHeat] }
func (HeatCapacity) Kind() Kind          { return kinds[heatCapacity] }
func (Conductivity) Kind() Kind          { return kinds[conductivity] }
func (HeatTransfer) Kind() Kind          { return kinds[heatTransfer] }
func (ThermalResistance) Kind() Kind     { return kinds[thermalResistance] }
func (Conductance) Kind() Kind           { return kinds[conductance] }
func (Expansion) Kind() Kind             { return kinds[expansion] }
func (Rate) Kind() Kind                  { return kinds[rate] }
func (MolarEnergy) Kind() Kind           { return kinds[molarEnergy] }
func (MolarMass) Kind() Kind             { return kinds[molarMass] }
func (Curvature) Kind() Kind             { return kinds[curvature] }
func (Fraction) Kind() Kind              { return kinds[fraction] }

// InchOfMercury is the conventional one that "1 inHg" is read as.
const InchOfMercury Pressure = inHg

// zeroCelsius is 0 °C in kelvin, exact by definition of the Celsius scale.
const zeroCelsius = 273.15

// Celsius returns the temperature of t degrees Celsius.
func Celsius(t float64) Temperature { return Temperature(t + zeroCelsius) }

// Celsius returns the temperature in degrees Celsius.
func (t Temperature) Celsius() float64 { return float64(t) - zeroCelsius }

// MarshalJSON writes degrees Celsius: plan keys of temperatures end in _degC.
// Rounding to 1e-9 K takes away the noise of the shift by 273.15.
func (t Temperature) MarshalJSON() ([]byte, error) {
	return json.Marshal(math.Round(t.Celsius()*1e9) / 1e9)
}

// UnmarshalJSON reads degrees Celsius.
func (t *Temperature) UnmarshalJSON(b []byte) error {
	var c float64
	if err := json.Unmarshal(b, &c); err != nil {
		return err
	}
	*t = Celsius(c)
	return nil
}

// Degrees returns the angle of d degrees.
func Degrees(d float64) Angle { return Angle(d * math.Pi / 180) }

// Degrees returns the angle in degrees.
func (a Angle) Degrees() float64 { return float64(a) * 180 / math.Pi }

// MarshalJSON writes degrees: plan keys of angles end in _deg.
func (a Angle) MarshalJSON() ([]byte, error) {
	return json.Marshal(math.Round(a.Degrees()*1e9) / 1e9)
}

// UnmarshalJSON reads degrees.
func (a *Angle) UnmarshalJSON(b []byte) error {
	var d float64
	if err := json.Unmarshal(b, &d); err != nil {
		return err
	}
	*a = Degrees(d)
	return nil
}
