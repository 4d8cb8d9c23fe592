package duty

import (
	"fmt"
	"strings"

	"laywright/internal/base/fault"
	"laywright/internal/base/num"
	"laywright/internal/base/si"
	"laywright/internal/stage/exchanger"
)

// oilShare is the part of a piston engine's shaft power that goes into its oil:
// 8 kW of 73.5 kW and 33.4 kW of 280 kW are stated in installation manuals.
const oilShare = 0.11

// available returns the heat that the engine puts into the liquid, W; 0 where it
// is not known.
func (l Liquid) available() (float64, error) {
	if l.Shaft == 0 {
		return float64(l.Available), nil
	}
	const field = "duty.heater.liquid.shaft_power"
	switch {
	case l.Available != 0:
		return 0, &fault.Input{Field: field, What: "stands beside the heat available", Do: "keep one of the two"}
	case l.Fluid != "" && !strings.Contains(l.Fluid, "oil"):
		return 0, &fault.Input{Field: field, What: "tells the heat of oil only, and the liquid is " + l.Fluid, Do: "give available: the heat that the engine puts into its coolant"}
	}
	return oilShare * float64(l.Shaft), nil
}

// The temperature at which a liquid settles: tolerance of the search, and how far
// above the air it begins.
const (
	settleTolerance = 1e-4 // K
	settleAbove     = 0.5  // K
	settleMost      = 573.0
)

// settles returns the temperature at which the liquid comes in once engine, box
// and case are in balance at the working's air flow. It is nil where the engine's
// heat is not known, or more than the box takes while another cooler takes the
// rest, or where no such temperature lies in the liquid's table.
//
//	Q_engine = Q_box(T) + UA_case·(T − T_o)
func (p plant) settles(l Liquid, w working) (*si.Temperature, error) {
	heat, err := l.available()
	if err != nil || heat == 0 || !l.Only && float64(w.Heat) <= heat {
		return nil, err
	}
	h := p.heater
	h.Passes = w.passes()
	left := func(t float64) float64 {
		h.Liquid.Inlet = si.Temperature(t)
		perf, err := h.At(w.AirFlow)
		if err != nil {
			return 0
		}
		return heat - float64(perf.Heat) - float64(l.CaseLoss)*float64(h.Liquid.Inlet-p.outside.Temperature)
	}
	low, high := h.Liquid.Span(h.AirIn+settleAbove, settleMost)
	if !(left(float64(low)) > 0 && left(float64(high)) < 0) {
		return nil, nil
	}
	t, err := num.Root(left, float64(low), float64(high), settleTolerance)
	if err != nil {
		return nil, nil
	}
	at := si.Temperature(t)
	return &at, nil
}

// engineFindings says what the balance of engine and box comes to.
func (p plant) engineFindings(l Liquid, w working, settles *si.Temperature) (out []fault.Finding) {
	heat, err := l.available()
	if err != nil || heat == 0 {
		return nil
	}
	if !l.Only && float64(w.Heat) <= heat {
		return nil
	}
	if settles == nil {
		return []fault.Finding{finding(fault.Caution, "bypass-needed", "Engine and box find no balance at any temperature that this liquid is known at.",
			"the box takes "+fmt.Sprintf("%.3g of %.3g W, and what is left heats the liquid on", float64(w.Heat), heat),
			"give the core a second way for full cooling air, open whenever the cabin's valve is not; or look at available and case_loss").Against(float64(w.Heat), heat, "W")}
	}
	at := fmt.Sprintf("engine, box and case are in balance at %.0f degC", settles.Celsius())
	if l.Only && l.Most != nil && *settles > *l.Most {
		out = append(out, finding(fault.Caution, "bypass-needed", "The box alone lets the liquid get too hot.",
			at+"; with the cabin's valve shut there is no cooling at all", "give the core a second way for full cooling air, open whenever the cabin's valve is not").Against(settles.Celsius(), l.Most.Celsius(), "degC"))
	} else if l.Only {
		out = append(out, finding(fault.Caution, "only-cooling", "The cabin's box is all that cools this liquid.",
			at+"; shut the cabin's valve, and nothing does", "give the core a second way for cooling air, open whenever the cabin's valve is not"))
	}
	if l.Least != nil && *settles < *l.Least {
		out = append(out, finding(fault.Caution, "liquid-settles-cold", "The box takes more heat than keeps the liquid warm.",
			at+"; oil that stays cold keeps its water, and coolant below its thermostat starves the heater", "throttle the air, or feed the box behind a thermostat").Against(settles.Celsius(), l.Least.Celsius(), "degC"))
	}
	if q := si.Power(heat); !l.Only && w.Heat > q {
		out = append(out, finding(fault.Caution, "heat-beyond-engine", "The box would take more heat than the engine puts into the liquid.",
			"the liquid then cools, and so does the cabin's air: "+at, "count on the engine's heat, not on the box's").Against(float64(w.Heat), heat, "W"))
	}
	return out
}

// wrongWay returns by how much colder the air leaves where the last air pass is
// at the liquid's outlet instead of at its inlet, K; ok is false where the liquid
// meets no pass before another.
func (p plant) wrongWay(w working) (less float64, ok bool) {
	n := w.passes()
	if n == 1 || p.heater.Arrangement == exchanger.Along {
		return 0, false
	}
	right, wrong := p, p
	right.heater.Arrangement, wrong.heater.Arrangement = exchanger.AcrossCounter, exchanger.AcrossParallel
	a, err := right.at(n, float64(w.AirFlow))
	b, also := wrong.at(n, float64(w.AirFlow))
	return float64(a.AirOut - b.AirOut), firstError(err, also) == nil
}

// entryFindings asks where the liquid enters, and says what the wrong way costs.
func (p plant) entryFindings(h Heater, w working) []fault.Finding {
	less, ok := p.wrongWay(w)
	if !ok {
		return nil
	}
	if p.heater.Arrangement == exchanger.AcrossParallel {
		return []fault.Finding{finding(fault.Caution, "liquid-wrong-way", "The liquid comes in where the air does.",
			fmt.Sprintf("with the last air pass at the liquid's inlet the same flow would leave %.1f K hotter", less),
			"swap the liquid's hoses, or the air's").Against(w.AirOut.Celsius(), w.AirOut.Celsius()+less, "degC")}
	}
	if h.Arrangement != "" {
		return nil
	}
	return []fault.Finding{finding(fault.Caution, "liquid-entry-not-told", "Where does the liquid enter? The job does not say.",
		fmt.Sprintf("it is taken to enter at the last air pass; with the hoses the other way round the air leaves %.1f K colder", less),
		"look at the core, and write arrangement: across-counter, across-parallel, or along where the separators lie along the tubes; a core in which the liquid turns back is one or the other by how they stand")}
}
