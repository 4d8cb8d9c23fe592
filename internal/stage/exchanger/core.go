package exchanger

import (
	"math"

	"laywright/internal/base/air"
	"laywright/internal/base/si"
)

// Core is what is known about a finned core: by geometry, by test or by rating.
type Core interface {
	// Film returns conductance and air pressure loss of one of c.Passes equal
	// parts of the face.
	Film(c Conditions) (Film, error)
}

// Conditions are what one pass of a core meets.
type Conditions struct {
	Passes     int
	AirFlow    si.MassFlow    // through the core in this pass
	LiquidFlow si.MassFlow    // through all tubes together; 0 where it is not known
	LiquidRate si.Conductance // heat capacity rate of the same
	AirIn      si.Temperature
	AirOut     si.Temperature
	Liquid     si.Temperature // mean
	Pressure   si.Pressure    // of the air, absolute
}

func (c Conditions) air() si.Temperature { return (c.AirIn + c.AirOut) / 2 }

// meanDensity returns the mean of air density that friction feels: the inverse
// of the mean specific volume, which is the density at the mean temperature.
func (c Conditions) meanDensity() si.Density { return air.Density(c.Pressure, c.air()) }

// Film is what one pass of a core does. What a kind of core does not know is 0.
type Film struct {
	UA         si.Conductance  `json:"UA_W_per_K"`
	Loss       si.Pressure     `json:"loss_Pa"`
	Reynolds   float64         `json:"reynolds,omitempty"` // of the air, on the correlation's own length
	AirFilm    si.HeatTransfer `json:"air_film_W_per_m2_K,omitempty"`
	LiquidFilm si.HeatTransfer `json:"liquid_film_W_per_m2_K,omitempty"`
	Surface    float64         `json:"surface_efficiency,omitempty"`
	Velocity   si.Velocity     `json:"velocity_m_per_s,omitempty"` // between the fins
	Residence  si.Time         `json:"time_s,omitempty"`           // of the air between the fins
	LiquidLoss si.Pressure     `json:"-"`                          // of the whole tube length, not of this pass's share
}

// Limits is the range of Reynolds number that a core's correlation was made from.
type Limits struct {
	Name      string
	Low, High float64
}

// coreLoss holds the parts of the pressure loss through a core, Pa.
type coreLoss struct{ entrance, acceleration, friction, exit float64 }

func (l coreLoss) total() float64 { return l.entrance + l.acceleration + l.friction + l.exit }

// lossThrough returns the air's pressure loss through a finned core.
//
//	Δp = G²/(2ρ_i)·[(1 − σ² + K_c) + 2(ρ_i/ρ_o − 1) + f·(A/A_c)·ρ_i/ρ_m − (1 − σ² − K_e)·ρ_i/ρ_o]
//
// G is the mass flux in the narrowest section, σ that section over the face,
// f the Fanning factor, A/A_c wetted over narrowest area; i inlet, o outlet,
// m mean. The four terms are entrance, acceleration, friction and (given back) exit.
//
// Source: [kays-london1984] chapter 2.
func lossThrough(flux, sigma, fanning, areaRatio float64, c Conditions) coreLoss {
	in, out := float64(air.Density(c.Pressure, c.AirIn)), float64(air.Density(c.Pressure, c.AirOut))
	head := flux * flux / (2 * in)
	kc, ke := abrupt(sigma)
	return coreLoss{
		entrance:     head * (1 - sigma*sigma + kc),
		acceleration: head * 2 * (in/out - 1),
		friction:     head * fanning * areaRatio * in / float64(c.meanDensity()),
		exit:         -head * (1 - sigma*sigma - ke) * in / out,
	}
}

// abrupt returns the coefficients of the sudden narrowing into the core and the
// widening behind it, on the head in the core.
//
//	K_c = (1 − 1/C)²    C = 0.621 + 4.374·10⁻⁴·e^(6.737√σ)
//	K_e = (1 − σ)²
//
// They hold for a flat velocity profile, as between louvres and strips. Between
// plain fins the change of profile is in the friction factor ([channel]).
//
// Source: [kays-london1984], C from memory as a fit to its charts.
func abrupt(sigma float64) (contraction, expansion float64) {
	vena := 0.621 + 4.374e-4*math.Exp(6.737*math.Sqrt(sigma))
	return (1 - 1/vena) * (1 - 1/vena), (1 - sigma) * (1 - sigma)
}

// FinEfficiency returns the heat of a straight fin over that of one at its
// root's temperature throughout.
//
//	η = tanh(mL)/(mL)    m = √(2h/(k·t))
//
// h film coefficient, k and t conductivity and thickness of the fin, L its
// length from root to tip or, between two tubes, to the middle.
//
// Source: [incropera2007] eq. 3.89 and following, tip without loss.
func FinEfficiency(h si.HeatTransfer, k si.Conductivity, t, l si.Length) float64 {
	x := math.Sqrt(2*float64(h)/(float64(k)*float64(t))) * float64(l)
	if x < 1e-6 {
		return 1
	}
	return math.Tanh(x) / x
}
