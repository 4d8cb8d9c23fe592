package si

// Dim is the dimension of a quantity: exponents of length, mass, time,
// temperature, amount and plane angle. Angle counts as a dimension so that
// "45" can't be taken for 45 rad.
type Dim struct{ L, M, T, Th, N, A int8 }

func (d Dim) times(e Dim, power int8) Dim {
	return Dim{d.L + power*e.L, d.M + power*e.M, d.T + power*e.T,
		d.Th + power*e.Th, d.N + power*e.N, d.A + power*e.A}
}

// Kind says what a type of quantity is: its name, dimension, the unit a person
// would write, and the units it is shown in.
type Kind struct {
	Name    string
	Dim     Dim
	Unit    string   // SI unit as text
	Example string   // a well-formed value, for error messages
	Metric  []string // units to show in, small to large
	US      []string
}

type kindIndex int

const (
	length kindIndex = iota
	area
	volume
	mass
	duration
	temperature
	temperatureDifference
	angle
	pressure
	force
	lineLoad
	stiffness
	density
	arealMass
	linearMass
	velocity
	acceleration
	massFlow
	volumeFlow
	viscosity
	kinematicViscosity
	energy
	power
	specificEnergy
	specificHeat
	heatCapacity
	conductivity
	heatTransfer
	thermalResistance
	conductance
	expansion
	rate
	molarEnergy
	molarMass
	curvature
	fraction
)

type list = []string

var kinds = [...]Kind{
	length:                {"length", Dim{L: 1}, "m", "2.5 mm", list{"mm", "m"}, list{"in", "ft"}},
	area:                  {"area", Dim{L: 2}, "m^2", "0.35 m^2", list{"cm^2", "m^2"}, list{"in^2", "ft^2"}},
	volume:                {"volume", Dim{L: 3}, "m^3", "250 mL", list{"mL", "L"}, list{"floz", "gal"}},
	mass:                  {"mass", Dim{M: 1}, "kg", "100 g", list{"g", "kg"}, list{"oz", "lb"}},
	duration:              {"time", Dim{T: 1}, "s", "90 min", list{"s", "min", "h"}, list{"s", "min", "h"}},
	temperature:           {"temperature", Dim{Th: 1}, "K", "61 degF", list{"degC"}, list{"degF"}},
	temperatureDifference: {"temperature difference", Dim{Th: 1}, "K", "30 K or 54 delta_degF", list{"K"}, list{"delta_degF"}},
	angle:                 {"angle", Dim{A: 1}, "rad", "45 deg", list{"deg"}, list{"deg"}},
	pressure:              {"pressure", Dim{L: -1, M: 1, T: -2}, "Pa", "5 kPa", list{"Pa", "kPa", "MPa", "GPa"}, list{"psi", "ksi", "Msi"}},
	force:                 {"force", Dim{L: 1, M: 1, T: -2}, "N", "100 N", list{"N", "kN"}, list{"lbf"}},
	lineLoad:              {"force per width", Dim{M: 1, T: -2}, "N/m", "1000 N/m", list{"N/m", "kN/m"}, list{"lbf/in"}},
	stiffness:             {"stiffness", Dim{M: 1, T: -2}, "N/m", "20 kN/mm", list{"N/mm", "kN/mm"}, list{"lbf/in"}},
	density:               {"density", Dim{L: -3, M: 1}, "kg/m^3", "1150 kg/m^3", list{"kg/m^3"}, list{"lb/ft^3"}},
	arealMass:             {"mass per area", Dim{L: -2, M: 1}, "kg/m^2", "193 g/m^2", list{"g/m^2"}, list{"oz/yd^2"}},
	linearMass:            {"mass per length", Dim{L: -1, M: 1}, "kg/m", "198 tex", list{"tex", "g/m"}, list{"denier", "oz/yd"}},
	velocity:              {"speed", Dim{L: 1, T: -1}, "m/s", "95 kt", list{"m/s"}, list{"kt"}},
	acceleration:          {"acceleration", Dim{L: 1, T: -2}, "m/s^2", "9.81 m/s^2", list{"m/s^2"}, list{"ft/s^2"}},
	massFlow:              {"mass flow", Dim{M: 1, T: -1}, "kg/s", "0.06 kg/s", list{"g/s", "kg/s"}, list{"lb/min"}},
	volumeFlow:            {"volume flow", Dim{L: 3, T: -1}, "m^3/s", "18 L/min", list{"L/min", "L/s"}, list{"gal/min"}},
	viscosity:             {"viscosity", Dim{L: -1, M: 1, T: -1}, "Pa*s", "700 mPa*s", list{"mPa*s", "Pa*s"}, list{"cP"}},
	kinematicViscosity:    {"kinematic viscosity", Dim{L: 2, T: -1}, "m^2/s", "15 cSt", list{"cSt"}, list{"cSt"}},
	energy:                {"energy", Dim{L: 2, M: 1, T: -2}, "J", "45 kJ", list{"J", "kJ", "MJ"}, list{"BTU"}},
	power:                 {"power", Dim{L: 2, M: 1, T: -3}, "W", "2.5 kW", list{"W", "kW"}, list{"BTU/h"}},
	specificEnergy:        {"energy per mass", Dim{L: 2, T: -2}, "J/kg", "450 J/g", list{"J/g"}, list{"BTU/lb"}},
	specificHeat:          {"specific heat", Dim{L: 2, T: -2, Th: -1}, "J/(kg*K)", "1900 J/(kg*K)", list{"J/(kg*K)"}, list{"BTU/(lb*delta_degF)"}},
	heatCapacity:          {"heat capacity", Dim{L: 2, M: 1, T: -2, Th: -1}, "J/K", "90 kJ/K", list{"J/K", "kJ/K"}, list{"BTU/delta_degF"}},
	conductivity:          {"thermal conductivity", Dim{L: 1, M: 1, T: -3, Th: -1}, "W/(m*K)", "0.2 W/(m*K)", list{"W/(m*K)"}, list{"BTU/(h*ft*delta_degF)"}},
	heatTransfer:          {"heat transfer coefficient", Dim{M: 1, T: -3, Th: -1}, "W/(m^2*K)", "15 W/(m^2*K)", list{"W/(m^2*K)"}, list{"BTU/(h*ft^2*delta_degF)"}},
	thermalResistance:     {"thermal resistance", Dim{M: -1, T: 3, Th: 1}, "m^2*K/W", "0.02 m^2*K/W", list{"m^2*K/W"}, list{"h*ft^2*delta_degF/BTU"}},
	conductance:           {"heat conductance", Dim{L: 2, M: 1, T: -3, Th: -1}, "W/K", "65 W/K", list{"W/K"}, list{"BTU/(h*delta_degF)"}},
	expansion:             {"thermal expansion", Dim{Th: -1}, "1/K", "22.5e-6 1/K", list{"1/K"}, list{"1/delta_degF"}},
	rate:                  {"rate", Dim{T: -1}, "1/s", "1.2e3 1/s", list{"1/s"}, list{"1/s"}},
	molarEnergy:           {"molar energy", Dim{L: 2, M: 1, T: -2, N: -1}, "J/mol", "58 kJ/mol", list{"kJ/mol"}, list{"kJ/mol"}},
	molarMass:             {"molar mass", Dim{M: 1, N: -1}, "kg/mol", "190 g/mol", list{"g/mol"}, list{"g/mol"}},
	curvature:             {"curvature", Dim{L: -1}, "1/m", "2 1/m", list{"1/m"}, list{"1/ft"}},
	fraction:              {"fraction", Dim{}, "", "0.45 or 45 %", list{""}, list{""}},
}
