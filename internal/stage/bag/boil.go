package bag

import (
	"fmt"
	"math"

	"laywright/internal/base/air"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// Vapour is what is known of the lightest parts of a resin. The zero Vapour is not
// known, and [assumedVapour] is taken.
type Vapour struct {
	Pressure si.Pressure
	At       si.Temperature
	Energy   si.MolarEnergy
}

// assumedVapour is on the safe side of thin laminating resins: practice degasses them
// at 5 to 10 kPa and 25 degC, and sees them foam below about 1 kPa. The heat of
// boiling is that of common solvents. Assumed.
var assumedVapour = Vapour{Pressure: 1000, At: si.Celsius(25), Energy: 50e3}

const gasConstant = 8.314462618 // J/(mol K), exact by the definition of the SI (2019)

// at returns the vapour pressure at a temperature.
//
//	p = p₁·exp( H/R·(1/T₁ − 1/T) )
//
// with a constant heat of boiling H, within some tens of kelvin. Source: [clausius1850].
func (v Vapour) at(t si.Temperature) si.Pressure {
	return v.Pressure * si.Pressure(math.Exp(float64(v.Energy)/gasConstant*(1/float64(v.At)-1/float64(t))))
}

// Boiling is how little pressure wet resin bears at a temperature, absolute.
type Boiling struct {
	Temperature si.Temperature `json:"temperature_degC"`
	Water       si.Pressure    `json:"water_Pa"`              // free water boils
	Moisture    *si.Pressure   `json:"moisture_Pa,omitempty"` // water that the resin took up from the shop's air grows bubbles
	Light       si.Pressure    `json:"light_parts_Pa"`        // the resin's own light parts boil
	Deepest     si.Pressure    `json:"vacuum_Pa"`             // gauge: the deepest vacuum that none of them minds
}

// growsVoids returns the pressure below which moisture in the resin grows bubbles:
//
//	p = 4962·exp(−4892/T)·RH   in atm, T in K, RH in percent
//
// where RH is what the resin stood in equilibrium with. Source: [kardos1986].
func growsVoids(t si.Temperature, humidity float64) si.Pressure {
	const atmosphere = 101325
	return si.Pressure(atmosphere * 4962 * math.Exp(-4892/float64(t)) * 100 * humidity)
}

// boils lists the limits at a temperature. Where the humidity is not known the resin
// counts as wet.
func (in Input) boils(t si.Temperature, barometer si.Pressure) Boiling {
	v := in.LightParts
	if v.Pressure == 0 {
		v = assumedVapour
	}
	b := Boiling{Temperature: t, Water: air.Saturation(t), Light: v.at(t)}
	if in.Humidity > 0 {
		p := growsVoids(t, in.Humidity)
		b.Moisture = &p
	}
	_, worst := b.worst()
	b.Deepest = max(0, barometer-worst)
	return b
}

// worst is the highest of the limits, and whether moisture sets it.
func (b Boiling) worst() (moist bool, p si.Pressure) {
	wet := b.Water
	if b.Moisture != nil {
		wet = *b.Moisture
	}
	return wet >= b.Light, max(wet, b.Light)
}

// boiling compares the bag's pressure with what wet resin bears at its warmest before
// it gels, and at other temperatures for the table. It takes the resin to carry no
// more than the bag's own pressure, which is the worst case: the cloth carries the rest.
func boiling(in Input, r *Result) {
	if in.Warmest <= 0 {
		return
	}
	for c := 20.0; c <= 80; c += 10 {
		r.Boiling = append(r.Boiling, in.boils(si.Celsius(c), r.Barometer))
	}
	b := in.boils(in.Warmest, r.Barometer)
	r.Warmest, r.VoidPressure = &in.Warmest, b.Moisture
	moist, least := b.worst()
	if r.Absolute >= least {
		return
	}
	f := fault.Finding{Severity: fault.Caution, Code: "moisture-boils",
		What: "Moisture can boil in the warm wet resin under this vacuum.",
		Why:  "the bag's pressure is below the vapour pressure of the water that the resin has taken up",
		Do:   "let the resin gel at shop temperature before heating, dry the air, or " + ease(b.Deepest)}
	if in.Humidity <= 0 {
		f.Why = "the shop's humidity is not in the job, so the resin counts as wet, and water boils at this pressure"
	}
	if !moist {
		f.Code, f.What = "light-parts-boil", "The resin's light parts can boil and make foam under this vacuum."
		f.Why = "warm, their vapour pressure is above the bag's own pressure"
		if in.LightParts.Pressure == 0 {
			f.Why += "; the resin's record does not give it, and 1 kPa at 25 degC is assumed"
		}
		f.Do = "let the resin gel at shop temperature before heating, or " + ease(b.Deepest)
	}
	r.tell(f.Against(float64(r.Absolute)/1000, float64(least)/1000, "kPa"))
}

// ease says how far to ease the vacuum off, to the half inch below.
func ease(deepest si.Pressure) string {
	step := math.Floor(2*float64(deepest)/inHg) / 2
	return fmt.Sprintf("ease the vacuum off to %.1f inHg (%.0f kPa) until it gels", step, step*inHg/1000)
}
