package exchanger

import (
	"math"

	"laywright/internal/base/air"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// Point is one test of a core: whole face, one pass.
type Point struct {
	AirFlow    si.MassFlow    `yaml:"air_flow" above:"0" most:"50"`
	AirIn      si.Temperature `yaml:"air_in" least:"200" most:"450"`
	LiquidFlow LiquidFlow     `yaml:"liquid_flow"`
	LiquidRate si.Conductance `yaml:"liquid_capacity_rate" above:"0" most:"1e6"` // instead of liquid_flow
	LiquidIn   si.Temperature `yaml:"liquid_in" least:"213.15" most:"573.15"`
	Heat       si.Power       `yaml:"heat" above:"0"`                          // or one of the outlets
	AirOut     si.Temperature `yaml:"air_out" least:"200" most:"573.15"`       // with heat: a second witness
	LiquidOut  si.Temperature `yaml:"liquid_out" least:"213.15" most:"573.15"` // likewise
	AirLoss    si.Pressure    `yaml:"air_loss" above:"0" most:"1e5"`
	Pressure   si.Pressure    `yaml:"pressure" least:"5000" most:"500000"` // of the air; absent: one standard atmosphere
}

// Residual says how one test point agrees with the fitted core and with itself.
type Residual struct {
	UA      si.Conductance `json:"UA_W_per_K"`
	Fitted  si.Conductance `json:"fitted_W_per_K"`
	Balance *float64       `json:"heat_balance,omitempty"` // largest spread of the heats it states, over their mean
}

// Exponents of the two films on flow: louvred fins, and laminar to turbulated
// liquid. airShare is the air's part of the thermal resistance that is assumed
// where the points can't tell, usual range 0.5 to 0.7.
// Derived for [chang-wang1997]; the liquid's from memory.
const (
	airFilmExponent    = 0.51
	liquidFilmExponent = 0.33
	airShare           = 0.6
)

// Tested is a core fitted to test points:
//
//	1/UA = a·(ṁ_air/ṁ₀)^−0.51 + b·(C_liquid/C₀)^−0.33    Δp·ρ = c·ṁ_air^x
//
// One point gives a and b by [airShare]; several at different air flows give
// both by least squares of relative error.
type Tested struct {
	a, b, air, liquid float64
	loss, exponent    float64
	Residuals         []Residual
	Fitted            bool // the points themselves gave a and b
}

// NewTested fits a core to its points. fluid may be nil where every point has a
// liquid_capacity_rate. field is the path of the list.
func NewTested(points []Point, flow Flow, fluid *Fluid, field string) (*Tested, error) {
	if len(points) == 0 {
		return nil, &fault.Input{Field: field, What: "has no point", Do: "give at least one: air_flow, air_in, liquid_flow, liquid_in, heat"}
	}
	t := &Tested{}
	var ua, air, liquid []float64
	for i, p := range points {
		u, l, r, err := p.conductance(flow, fluid, fault.Numbered(field, i))
		if err != nil {
			return nil, err
		}
		ua, air, liquid = append(ua, u), append(air, float64(p.AirFlow)), append(liquid, l)
		t.Residuals = append(t.Residuals, r)
	}
	t.air, t.liquid = geometricMean(air), geometricMean(liquid)
	t.fit(ua, air, liquid)
	for i := range t.Residuals {
		t.Residuals[i].Fitted = si.Conductance(1 / t.resistance(air[i], liquid[i]))
	}
	t.fitLoss(points)
	return t, nil
}

// conductance returns UA of one point and the heat capacity rate of its liquid, W/K.
func (p Point) conductance(flow Flow, fluid *Fluid, field string) (ua, rate float64, r Residual, err error) {
	if err := p.check(field); err != nil {
		return 0, 0, r, err
	}
	rate = float64(p.LiquidRate)
	if rate == 0 {
		if fluid == nil {
			return 0, 0, r, &fault.Input{Field: field, What: "the liquid of the test is not known", Do: "give liquid_capacity_rate, or duty.heater.liquid.fluid"}
		}
		props, err := fluid.At(p.LiquidIn, field+".liquid_in")
		if err != nil {
			return 0, 0, r, err
		}
		rate = float64(p.LiquidFlow.Mass(props.Density)) * float64(props.Cp)
	}
	span := float64(p.LiquidIn - p.AirIn)
	heat, balance, err := p.heat(rate, field)
	if err != nil {
		return 0, 0, r, err
	}
	capacity := float64(p.AirFlow) * float64(air.SpecificHeat(p.AirIn+si.Temperature(min(heat/float64(p.AirFlow)/2010, span/2))))
	if most := min(capacity, rate) * span; !(heat > 0 && heat < most) {
		return 0, rate, r, &fault.Range{Field: field + p.told(), Value: heat, Min: 0, Max: most, Unit: " W",
			Why: "heat between nothing and all that air and liquid could exchange at these flows and inlets"}
	}
	ua, err = flow.conductance(heat/(capacity*span), capacity, rate, field+p.told())
	return ua, rate, Residual{UA: si.Conductance(ua), Balance: balance}, err
}

// told is the key that states the heat, the first of them where there are several.
func (p Point) told() string {
	switch {
	case p.Heat > 0:
		return ".heat"
	case p.AirOut > 0:
		return ".air_out"
	}
	return ".liquid_out"
}

// heat returns the mean of the heats that the point states, and their spread.
func (p Point) heat(rate float64, field string) (float64, *float64, error) {
	var all []float64
	if p.Heat > 0 {
		all = append(all, float64(p.Heat))
	}
	if p.AirOut > 0 {
		all = append(all, float64(p.AirFlow)*float64(air.SpecificHeat((p.AirIn+p.AirOut)/2))*float64(p.AirOut-p.AirIn))
	}
	if p.LiquidOut > 0 {
		all = append(all, rate*float64(p.LiquidIn-p.LiquidOut))
	}
	if len(all) == 0 {
		return 0, nil, &fault.Input{Field: field, What: "says nothing about the heat", Do: "give heat, air_out or liquid_out"}
	}
	low, high, sum := math.Inf(1), math.Inf(-1), 0.0
	for _, q := range all {
		low, high, sum = min(low, q), max(high, q), sum+q
	}
	mean := sum / float64(len(all))
	if len(all) == 1 {
		return mean, nil, nil
	}
	spread := (high - low) / mean
	return mean, &spread, nil
}

func (p Point) check(field string) error {
	if err := fault.Check(field+".air_flow", float64(p.AirFlow), 1e-4, 50, " kg/s", "the air through the core in the test"); err != nil {
		return err
	}
	if err := fault.Check(field+".air_in", p.AirIn.Celsius(), air.Coldest.Celsius(), air.Hottest.Celsius(), " degC", "-100 to 350 degF: air properties are known here"); err != nil {
		return err
	}
	if !(p.LiquidIn > p.AirIn) {
		return &fault.Range{Field: field + ".liquid_in", Value: p.LiquidIn.Celsius(), Min: p.AirIn.Celsius(), Max: 400, Unit: " degC", Why: "the liquid heats the air"}
	}
	if p.LiquidRate == 0 && p.LiquidFlow.Zero() {
		return &fault.Input{Field: field + ".liquid_flow", What: "is missing", Do: "give it, or liquid_capacity_rate"}
	}
	return nil
}

// fit sets a and b. Unknowns scale so that each equation is 1 = UA·(a·x + b·y).
func (t *Tested) fit(ua, air, liquid []float64) {
	var xx, xy, yy, sx, sy float64
	for i, u := range ua {
		x := u * math.Pow(air[i]/t.air, -airFilmExponent)
		y := u * math.Pow(liquid[i]/t.liquid, -liquidFilmExponent)
		xx, xy, yy, sx, sy = xx+x*x, xy+x*y, yy+y*y, sx+x, sy+y
	}
	const distinct = 1e-4 // of the determinant: flows closer than some per cent can't part the films
	if det := xx*yy - xy*xy; det > distinct*xx*yy {
		a, b := (sx*yy-sy*xy)/det, (sy*xx-sx*xy)/det
		if a > 0 && b >= 0 {
			t.a, t.b, t.Fitted = a, b, true
			return
		}
	}
	// One unknown: the whole resistance r, shared out as assumed.
	a, b := airShare, 1-airShare
	r := (a*sx + b*sy) / (a*a*xx + 2*a*b*xy + b*b*yy)
	t.a, t.b = a*r, b*r
}

func (t *Tested) resistance(air, liquid float64) float64 {
	return t.a*math.Pow(air/t.air, -airFilmExponent) + t.b*math.Pow(liquid/t.liquid, -liquidFilmExponent)
}

// fitLoss sets the loss law from the points that have a loss: a line through
// the logarithms, or the usual exponent where there is one flow only.
func (t *Tested) fitLoss(points []Point) {
	t.exponent = usualLossExponent
	var n, sx, sy, xx, xy float64
	for _, p := range points {
		if p.AirLoss <= 0 {
			continue
		}
		pressure := p.Pressure
		if pressure == 0 {
			pressure = 101325
		}
		out := p.AirIn + si.Temperature(float64(p.Heat)/(1007*float64(p.AirFlow)))
		if p.AirOut > 0 {
			out = p.AirOut
		}
		x := math.Log(float64(p.AirFlow) / t.air)
		y := math.Log(float64(p.AirLoss) * float64(air.Density(pressure, (p.AirIn+out)/2)))
		n, sx, sy, xx, xy = n+1, sx+x, sy+y, xx+x*x, xy+x*y
	}
	if n == 0 {
		return
	}
	if det := n*xx - sx*sx; det > 1e-4*n {
		t.exponent = min(max((n*xy-sx*sy)/det, 1), 2)
	}
	t.loss = math.Exp((sy - t.exponent*sx) / n)
}

// Film returns conductance and loss of one pass: 1/n of the face at n times the
// mass flux, the liquid in the tubes as fast as before.
func (t *Tested) Film(c Conditions) (Film, error) {
	n := float64(c.Passes)
	whole := n * float64(c.AirFlow)
	return Film{
		UA:   si.Conductance(1 / (n * t.resistance(whole, float64(c.LiquidRate)))),
		Loss: si.Pressure(t.loss * math.Pow(whole/t.air, t.exponent) / float64(c.meanDensity())),
	}, nil
}

func geometricMean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += math.Log(v)
	}
	return math.Exp(sum / float64(len(x)))
}

// HasLoss tells whether any point stated an air-side loss.
func (t *Tested) HasLoss() bool { return t.loss > 0 }
