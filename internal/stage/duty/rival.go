package duty

import (
	"fmt"
	"strings"

	"laywright/internal/base/si"
	"laywright/internal/stage/cabin"
	"laywright/internal/stage/exchanger"
)

// usual is a liquid as it comes to a box where the job does not tell it.
type usual struct {
	fluid string
	inlet si.Temperature
	flow  si.MassFlow
}

// oily tells whether the heater's liquid is oil.
func (h Heater) oily() bool { return strings.Contains(h.Liquid.Fluid, "oil") }

// rival is the other liquid: coolant for a box with oil, as much of it as an electric
// pump moves; for any other oil, that of an engine of 75 kW. Assumed; no source.
func (h Heater) rival() usual {
	if h.oily() {
		return usual{"glycol-50", si.Celsius(90), 0.3}
	}
	return usual{"piston-oil-sae50", si.Celsius(90), 0.25}
}

// RivalName returns the name in the library of the liquid that the heater's is
// held against, empty where it is not.
func (s Spec) RivalName() string {
	if s.Heater == nil || s.Cabin == nil {
		return ""
	}
	return s.Heater.rival().fluid
}

// rival works the same core, passes and air flow with the other liquid. A film that
// the job gives is one of the job's liquid, so the other's is computed.
func (in Input) rival(p plant, h HeaterResult) cabin.Rival {
	heater := *in.Spec.Heater
	if in.Spec.Cabin == nil || in.Rival == nil {
		return cabin.Rival{}
	}
	u := heater.rival()
	if heater.Core.Geometry == nil {
		return cabin.Rival{Says: "this core is known with its own liquid only, so its heat with " + u.fluid + " is not: test it so, or give geometry"}
	}
	w, err := in.with(u, p, h)
	if err != nil {
		return cabin.Rival{Says: "the same core with " + u.fluid + " can't be worked out: " + err.Error()}
	}
	useful := si.Power(w.useful)
	says := fmt.Sprintf("the same core, passes and air flow, with %s of %.0f degC at %.2g kg/s, assumed; its film is computed", u.fluid, u.inlet.Celsius(), float64(u.flow))
	if w.LiquidLoss > liquidLossLimit {
		says += fmt.Sprintf("; it loses %.0f kPa in them, and a bypass valve may send it round the core", float64(w.LiquidLoss)/1000)
	}
	return cabin.Rival{Heat: &useful, Says: says}
}

// with works the plant with another liquid in its core.
func (in Input) with(u usual, p plant, h HeaterResult) (working, error) {
	const field = "duty.heater.liquid"
	fluid, err := exchanger.NewFluid(u.fluid, field, *in.Rival)
	if err != nil {
		return working{}, err
	}
	g := *in.Spec.Heater.Core.Geometry
	g.Tubes.Film = 0
	if p.heater.Core, err = exchanger.NewSurface(g, *in.Fins, fluid, "duty.heater.core.geometry"); err != nil {
		return working{}, err
	}
	if p.heater.Liquid, err = exchanger.NewLiquid(u.inlet, 0, exchanger.LiquidFlow{ByMass: u.flow}, fluid, field); err != nil {
		return working{}, err
	}
	return p.at(h.Passes, float64(h.AirFlow))
}
