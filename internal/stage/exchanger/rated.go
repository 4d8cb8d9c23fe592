package exchanger

import (
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// Rated is a core of which a conductance is known for the whole face in one pass.
type Rated struct {
	UA           si.Conductance `yaml:"UA" above:"0"`
	AirExponent  *float64       `yaml:"air_exponent" least:"0" most:"1"`  // of UA on flow; absent: [UsualUAExponent]
	At           si.MassFlow    `yaml:"at" above:"0" most:"50"`           // flow that UA and air_loss hold at
	AirLoss      si.Pressure    `yaml:"air_loss" above:"0" most:"1e5"`    // absent: not known
	LossExponent *float64       `yaml:"loss_exponent" least:"1" most:"2"` // of the loss on flow; absent: [usualLossExponent]
	Density      si.Density     `yaml:"density" least:"0.1" most:"5"`     // of the air in the loss's rating; absent: [standardDensity]
}

// UsualUAExponent and usualLossExponent are those of a louvred core with a turbulated liquid side: h ~ G^0.51 with the
// liquid film in series gives UA ~ flow^0.3; loss ~ flow^1.4 to 1.5. Derived from
// [chang-wang1997] and [chang2000] over the usual range of flow.
const (
	UsualUAExponent   = 0.3
	usualLossExponent = 1.5
	// standardDensity is that of air at 15 °C and sea level, kg/m³. Source: [us-std-atm-1976].
	standardDensity si.Density = 1.225
)

// rating is a core of which UA and loss follow powers of the flow.
type rating struct {
	ua, uaExponent, at    float64
	lossRho, lossExponent float64 // Pa·kg/m³ at `at` over the whole face; 0: not known
}

// NewRated makes a core from a rating. r.At must be set. field is the path of r.
func NewRated(r Rated, field string) (Core, error) {
	x := rating{ua: float64(r.UA), at: float64(r.At), uaExponent: UsualUAExponent, lossExponent: usualLossExponent}
	if r.AirExponent != nil {
		x.uaExponent = *r.AirExponent
	}
	if r.LossExponent != nil {
		x.lossExponent = *r.LossExponent
	}
	rho := r.Density
	if rho == 0 {
		rho = standardDensity
	}
	x.lossRho = float64(r.AirLoss) * float64(rho)
	for _, err := range []error{
		fault.Check(field+".UA", x.ua, 1e-3, 1e5, " W/K", "a core's conductance"),
		fault.Check(field+".at", x.at, 1e-4, 50, " kg/s", "the air flow the rating holds at"),
		fault.Check(field+".air_exponent", x.uaExponent, 0, 1, "", "a film grows with the flow, at most in proportion"),
		fault.Check(field+".loss_exponent", x.lossExponent, 1, 2, "", "laminar to fully rough"),
		fault.Check(field+".air_loss", float64(r.AirLoss), 0, 1e5, " Pa", "an air-side loss"),
		fault.Check(field+".density", float64(rho), 0.1, 5, " kg/m^3", "air"),
	} {
		if err != nil {
			return nil, err
		}
	}
	return x, nil
}

// Film returns conductance and loss of one pass. A pass is 1/n of the face at n
// times the mass flux, so
//
//	UA_n = UA/n·(n·ṁ/ṁ₀)^a    Δp_n = Δp₀·(n·ṁ/ṁ₀)^b·ρ₀/ρ
func (x rating) Film(c Conditions) (Film, error) {
	n := float64(c.Passes)
	r := n * float64(c.AirFlow) / x.at
	return Film{
		UA:   si.Conductance(x.ua / n * math.Pow(r, x.uaExponent)),
		Loss: si.Pressure(x.lossRho * math.Pow(r, x.lossExponent) / float64(c.meanDensity())),
	}, nil
}
