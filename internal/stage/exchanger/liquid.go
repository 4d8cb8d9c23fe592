package exchanger

import (
	"go.yaml.in/yaml/v4"

	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// LiquidFlow is a flow given by volume or by mass. A volume flow is one at the
// heater's inlet temperature.
type LiquidFlow struct {
	ByVolume si.VolumeFlow
	ByMass   si.MassFlow
}

// Zero tells whether no flow was given.
func (f LiquidFlow) Zero() bool { return f.ByVolume == 0 && f.ByMass == 0 }

// Mass returns the mass flow of a liquid of that density.
func (f LiquidFlow) Mass(rho si.Density) si.MassFlow {
	if f.ByMass != 0 {
		return f.ByMass
	}
	return si.MassFlow(float64(f.ByVolume) * float64(rho))
}

// Forms are a volume flow and a mass flow.
func (LiquidFlow) Forms() []any { return []any{si.VolumeFlow(0), si.MassFlow(0)} }

// Bind reads "18 L/min" or "0.3 kg/s". A flow of nothing or backwards is refused
// here: later it could not be told from one that was left out.
func (f *LiquidFlow) Bind(b *bind.Binder, path string, n *yaml.Node) {
	before := len(b.Problems)
	if _, err := si.Parse[si.MassFlow](n.Value); err == nil {
		b.Into(&f.ByMass, path, n)
	} else {
		b.Into(&f.ByVolume, path, n)
	}
	if len(b.Problems) == before && !(f.ByMass > 0 || f.ByVolume > 0) {
		b.Fail(path, n, "the liquid's flow is %s; it must be more than 0", n.Value)
	}
}

// Liquid is what comes into the core: a fluid with its flow, or a heat capacity rate.
type Liquid struct {
	Inlet si.Temperature
	Rate  si.Conductance // ṁ·c_p; used where there is no fluid
	Flow  si.MassFlow
	Fluid *Fluid
}

// NewLiquid checks a liquid and turns its flow into mass. field is its path.
func NewLiquid(inlet si.Temperature, rate si.Conductance, flow LiquidFlow, fluid *Fluid, field string) (Liquid, error) {
	l := Liquid{Inlet: inlet, Rate: rate, Fluid: fluid}
	if err := fault.Check(field+".inlet", inlet.Celsius(), -60, 300, " degC", "-76 to 572 degF: coolant or oil"); err != nil {
		return l, err
	}
	if fluid == nil {
		return l, fault.Check(field+".heat_capacity_rate", float64(rate), 0.1, 1e6, " W/K", "flow times specific heat; or give fluid and flow")
	}
	p, err := fluid.At(inlet, field+".inlet")
	if err != nil {
		return l, err
	}
	l.Flow = flow.Mass(p.Density)
	return l, fault.Check(field+".flow", float64(l.Flow), 1e-4, 100, " kg/s", "liquid through the core, as mass flow")
}

// Span returns the part of the temperatures from low to high that the liquid's
// table holds.
func (l Liquid) Span(low, high si.Temperature) (si.Temperature, si.Temperature) {
	if l.Fluid == nil {
		return low, high
	}
	return max(low, l.Fluid.rows[0].T), min(high, l.Fluid.rows[len(l.Fluid.rows)-1].T)
}

// capacity returns the heat capacity rate at mean temperature t, W/K.
func (l Liquid) capacity(t si.Temperature) (float64, error) {
	if l.Fluid == nil {
		return float64(l.Rate), nil
	}
	p, err := l.Fluid.At(t, "duty.heater.liquid (its mean temperature in the core)")
	return float64(l.Flow) * float64(p.Cp), err
}
