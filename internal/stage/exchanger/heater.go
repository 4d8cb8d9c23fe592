package exchanger

import (
	"math"

	"laywright/internal/base/air"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// Heater is a core with its separators, its liquid and the air at its inlet.
type Heater struct {
	Core        Core
	Flow        Flow
	Arrangement Arrangement
	Passes      int
	Leak        si.Fraction // of the air, past each separator: it misses that pass
	Liquid      Liquid
	AirIn       si.Temperature
	Pressure    si.Pressure // of the air, absolute
}

// Pass is what happens in one pass.
type Pass struct {
	AirIn     si.Temperature `json:"air_in_degC"`
	AirOut    si.Temperature `json:"air_out_degC"`
	LiquidIn  si.Temperature `json:"liquid_in_degC"`
	LiquidOut si.Temperature `json:"liquid_out_degC"`
	Film
}

// Performance is what a heater does at one air flow.
type Performance struct {
	AirFlow       si.MassFlow
	Heat          si.Power
	AirOut        si.Temperature
	LiquidOut     si.Temperature
	CoreLoss      si.Pressure
	LiquidLoss    si.Pressure
	Residence     si.Time // of the air between the fins, all passes
	UA            si.Conductance
	NTU           float64 // UA over the air's heat capacity rate
	Effectiveness float64 // heat over C_min times the difference of the inlets
	Best          float64 // what counterflow would give with the same UA
	AirRate       si.Conductance
	LiquidRate    si.Conductance
	Passes        []Pass
}

// The fixed point of temperature and properties: tolerance and limit. Properties
// move by parts in a thousand per kelvin, so each round gains two digits.
const (
	settled     = 1e-8 // K
	mostRounds  = 60
	mostLeak    = 0.5
	startingGap = 0.6 // first guess of the air's effectiveness
)

// MostPasses is the greatest number of passes that is looked at.
const MostPasses = 6

// Check refuses a heater that can't be worked out.
func (h Heater) Check() error {
	for _, err := range []error{
		fault.Check("duty.heater.passes", float64(h.Passes), 1, MostPasses, "", "separators narrower than a sixth of the face choke the air"),
		fault.Check("duty.heater.box.leak", float64(h.Leak), 0, mostLeak, "", "share of the air that slips past one separator"),
		fault.Check("duty.heater.air.inlet", h.AirIn.Celsius(), air.Coldest.Celsius(), air.Hottest.Celsius(), " degC", "-100 to 350 degF: air properties are known here"),
		fault.Check("duty.heater.air.pressure", float64(h.Pressure)/1000, 5, 500, " kPa", "absolute pressure of the air"),
	} {
		if err != nil {
			return err
		}
	}
	if !(h.Liquid.Inlet > h.AirIn) {
		return &fault.Range{Field: "duty.heater.air.inlet", Value: h.AirIn.Celsius(), Min: air.Coldest.Celsius(), Max: h.Liquid.Inlet.Celsius(),
			Unit: " degC", Why: "the air must be colder than the liquid that heats it"}
	}
	if !h.Flow.Divisible() && h.Passes > 1 {
		return &fault.Input{Field: "duty.heater.passes", What: "a core of flow " + string(h.Flow) + " has no face to divide", Do: "write passes: 1"}
	}
	return nil
}

// At returns what the heater does at an air flow. Temperatures and properties
// are iterated until they agree; heat leaves the liquid and enters the air alone.
func (h Heater) At(flow si.MassFlow) (Performance, error) {
	if err := h.Check(); err != nil {
		return Performance{}, err
	}
	if !(flow > 0) {
		return Performance{}, &fault.Range{Field: "duty.heater.air.flow", Value: float64(flow), Min: 1e-6, Max: 50, Unit: " kg/s", Why: "air must flow"}
	}
	span := h.Liquid.Inlet - h.AirIn
	guess := make([]ends, h.Passes)
	for k := range guess {
		a := startingGap * float64(k) / float64(h.Passes)
		guess[k] = ends{a, a + startingGap/float64(h.Passes), 1, 1}
	}
	miss := math.Inf(1)
	for range mostRounds {
		p, next, err := h.round(flow, guess)
		if err != nil {
			return Performance{}, err
		}
		miss = apart(guess, next) * float64(span)
		guess = next
		if miss < settled {
			h.keepLayers(&p, next)
			return p, nil
		}
	}
	return Performance{}, &fault.NoSolution{What: "temperatures in the heater", Steps: mostRounds, Residual: miss, Limit: settled, Do: "check the core's figures and the flows"}
}

// round takes properties at the temperatures of `at` and returns the heater's
// figures and temperatures for them.
func (h Heater) round(flow si.MassFlow, at []ends) (Performance, []ends, error) {
	span, n := float64(h.Liquid.Inlet-h.AirIn), len(at)
	temperature := func(x float64) si.Temperature { return h.AirIn + si.Temperature(x*span) }
	mean := temperature((1 + liquidOut(h.Arrangement, at)) / 2)
	liquidRate, err := h.Liquid.capacity(mean)
	if err != nil {
		return Performance{}, nil, err
	}
	airRate := float64(flow) * float64(air.SpecificHeat(temperature(at[n-1].airOut/2)))
	through := 1.0
	if n > 1 {
		through -= float64(h.Leak)
	}
	perPass := liquidRate
	if h.Arrangement == Along {
		perPass /= float64(n)
	}
	p := Performance{AirFlow: flow, AirRate: si.Conductance(airRate), LiquidRate: si.Conductance(liquidRate), Passes: make([]Pass, n)}
	effectiveness := make([]float64, n)
	for k, e := range at {
		film, err := h.Core.Film(Conditions{Passes: n, AirFlow: si.MassFlow(through) * flow,
			LiquidFlow: h.Liquid.Flow, LiquidRate: si.Conductance(liquidRate),
			AirIn: temperature(e.airIn), AirOut: temperature(e.airOut), Liquid: mean, Pressure: h.Pressure})
		if err != nil {
			return Performance{}, nil, err
		}
		p.Passes[k].Film = film
		p.UA += film.UA
		p.CoreLoss += film.Loss
		p.LiquidLoss = film.LiquidLoss
		p.Residence += film.Residence
		effectiveness[k] = through * h.Flow.AirEffectiveness(float64(film.UA), through*airRate, perPass)
	}
	next := join(h.Arrangement, effectiveness, airRate/perPass)
	p.summarise(h, next)
	return p, next, nil
}

// keepLayers corrects a settled performance for liquid that does not mix between
// passes. Properties stay: the correction moves temperatures by parts in a hundred.
func (h Heater) keepLayers(p *Performance, at []ends) {
	if h.Flow != Cross || h.Arrangement == Along || len(at) == 1 {
		return
	}
	through := 1 - float64(h.Leak)
	passes := make([]crossing, len(at))
	for k, w := range p.Passes {
		rate := through * float64(p.AirRate)
		passes[k] = crossing{units: float64(w.UA) / rate, ratio: rate / float64(p.LiquidRate), through: through}
	}
	p.summarise(h, unmixed(h.Arrangement, passes, at))
}

// summarise writes down temperatures and totals.
func (p *Performance) summarise(h Heater, at []ends) {
	span, out := float64(h.Liquid.Inlet-h.AirIn), at[len(at)-1].airOut
	airRate, liquidRate := float64(p.AirRate), float64(p.LiquidRate)
	temperature := func(x float64) si.Temperature { return h.AirIn + si.Temperature(x*span) }
	for k, e := range at {
		w := &p.Passes[k]
		w.AirIn, w.AirOut, w.LiquidIn, w.LiquidOut = temperature(e.airIn), temperature(e.airOut), temperature(e.liquidIn), temperature(e.liquidOut)
	}
	least := math.Min(airRate, liquidRate)
	p.Heat = si.Power(airRate * out * span)
	p.AirOut = h.AirIn + si.Temperature(out*span)
	p.LiquidOut = h.AirIn + si.Temperature(liquidOut(h.Arrangement, at)*span)
	p.NTU = float64(p.UA) / airRate
	p.Effectiveness = airRate * out / least
	p.Best = CounterFlow(float64(p.UA)/least, least/math.Max(airRate, liquidRate))
}

// liquidOut returns the temperature at which the liquid leaves the core, on the
// scale of ends: the mixed outlet of all sections where each has its own share.
func liquidOut(a Arrangement, at []ends) float64 {
	switch a {
	case AcrossParallel:
		return at[len(at)-1].liquidOut
	case Along:
		sum := 0.0
		for _, e := range at {
			sum += e.liquidOut
		}
		return sum / float64(len(at))
	}
	return at[0].liquidOut
}

func apart(a, b []ends) float64 {
	most := 0.0
	for k := range a {
		most = max(most, math.Abs(a[k].airIn-b[k].airIn), math.Abs(a[k].airOut-b[k].airOut), math.Abs(a[k].liquidOut-b[k].liquidOut))
	}
	return most
}
