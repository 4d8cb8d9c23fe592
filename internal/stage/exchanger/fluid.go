package exchanger

import (
	"fmt"
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/si"
)

// Fluid gives a liquid's properties within its table, and nowhere else.
type Fluid struct {
	name string
	rows []material.FluidPoint
}

// Properties of a liquid at one temperature.
type Properties struct {
	Density   si.Density
	Cp        si.SpecificHeat
	K         si.Conductivity
	Viscosity si.Viscosity
}

// Prandtl returns c_p·μ/k.
func (p Properties) Prandtl() float64 {
	return float64(p.Cp) * float64(p.Viscosity) / float64(p.K)
}

// NewFluid checks a liquid's record. field is where the job file names it.
func NewFluid(name, field string, record material.Fluid) (*Fluid, error) {
	if len(record.Table) < 2 {
		return nil, &fault.Input{Field: field, What: name + " has fewer than two rows of properties", Do: "give its table: at, density, specific_heat, conductivity, viscosity"}
	}
	for i, r := range record.Table {
		positive := r.T > 0 && r.Density > 0 && r.Cp > 0 && r.K > 0 && r.Viscosity > 0
		if !positive || i > 0 && !(r.T > record.Table[i-1].T) {
			return nil, &fault.Input{Field: field, What: fault.Numbered(name+" table", i) + " is not usable", Do: "rows rise in temperature and every value is above 0"}
		}
	}
	return &Fluid{name, record.Table}, nil
}

// At returns the properties at t. Density, specific heat and conductivity lie on
// straight lines between the table's rows; viscosity follows [between].
// A temperature outside the table is refused; field says whose it is.
func (f *Fluid) At(t si.Temperature, field string) (Properties, error) {
	first, last := f.rows[0].T, f.rows[len(f.rows)-1].T
	if !(first <= t && t <= last) {
		return Properties{}, &fault.Range{Field: field, Value: t.Celsius(), Min: first.Celsius(), Max: last.Celsius(), Unit: " degC",
			Why: fmt.Sprintf("%.0f to %.0f degF: the table of %s goes no further", fahrenheit(first), fahrenheit(last), f.name)}
	}
	i := 1
	for t > f.rows[i].T {
		i++
	}
	a, b := f.rows[i-1], f.rows[i]
	s := float64((t - a.T) / (b.T - a.T))
	return Properties{
		Density:   a.Density + si.Density(s)*(b.Density-a.Density),
		Cp:        a.Cp + si.SpecificHeat(s)*(b.Cp-a.Cp),
		K:         a.K + si.Conductivity(s)*(b.K-a.K),
		Viscosity: between(a, b, t, s),
	}, nil
}

func fahrenheit(t si.Temperature) float64 { return 1.8*t.Celsius() + 32 }

// thickEnough is the kinematic viscosity above which Walther's line holds, m²/s.
const thickEnough = 2e-6

// between returns the viscosity between two rows. Oils follow Walther's line
//
//	log₁₀ log₁₀(ν + 0.7) = A − B·log₁₀ T    ν in mm²/s, T in K
//
// above 2 mm²/s; thinner liquids ln μ against 1/T. s is the share of b in T.
//
// Source: [astm-d341].
func between(a, b material.FluidPoint, t si.Temperature, s float64) si.Viscosity {
	na, nb := float64(a.Viscosity)/float64(a.Density), float64(b.Viscosity)/float64(b.Density)
	if na > thickEnough && nb > thickEnough {
		rho := float64(a.Density) + s*float64(b.Density-a.Density)
		return si.Viscosity(rho * walther(float64(a.T), na, float64(b.T), nb, float64(t)))
	}
	inverse := (1/float64(t) - 1/float64(a.T)) / (1/float64(b.T) - 1/float64(a.T))
	return si.Viscosity(math.Exp(math.Log(float64(a.Viscosity)) + inverse*math.Log(float64(b.Viscosity/a.Viscosity))))
}

// walther returns the kinematic viscosity (m²/s) at t from two points.
func walther(t1, nu1, t2, nu2, t float64) float64 {
	line := func(nu float64) float64 { return math.Log10(math.Log10(nu*1e6 + 0.7)) }
	b := (line(nu1) - line(nu2)) / (math.Log10(t2) - math.Log10(t1))
	y := line(nu1) - b*(math.Log10(t)-math.Log10(t1))
	return (math.Pow(10, math.Pow(10, y)) - 0.7) * 1e-6
}
