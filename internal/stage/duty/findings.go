package duty

import (
	"fmt"
	"math"
	"strings"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/cabin"
	"laywright/internal/stage/exchanger"
)

// usualOutletLimit is where an outlet is too hot to sit beside; 45 to 65 °C is
// aimed at. From memory; skin burns within 5 s at 60 °C metal, [mil-std-1472].
const usualOutletLimit = 273.15 + 70.0

// liquidLossLimit is a loss in the tubes at which bypass valves of oil coolers may
// open; 50 to 350 kPa is met. Common practice, no source.
const liquidLossLimit si.Pressure = 50e3

func finding(s fault.Severity, code, what, why, do string) fault.Finding {
	return fault.Finding{Stage: "duty", Severity: s, Code: code, What: what, Why: why, Do: do}
}

// findings says what to mind about the heater.
func (p plant) findings(in Input, w working, o option) []fault.Finding {
	h := *in.Spec.Heater
	out := p.liquidFindings(in, w, o)
	out = append(out, p.airFindings(h, w, o)...)
	out = append(out, p.entryFindings(h, w)...)
	out = append(out, p.coreFindings(h, w)...)
	out = append(out,
		finding(fault.Caution, "cabin-air-safety", "This box stands between hot liquid and the air people breathe.",
			"a leaking core fills the cabin with mist; a fire forward of the firewall comes through an open duct",
			"draw air from outside and never from the cowl; pressure-test the core; drain and hatch in the box; a fireproof shut-off valve at the firewall; a carbon monoxide detector"),
		finding(fault.Note, "duty-model", "The heat is worked out for steady running with dry air spread evenly over the face.",
			"properties hold at each pass's mean temperature; the box's own heat loss, humidity and icing are left out",
			"measure outlet temperature and flow on the first run and put them in as core.measured"))
	return append(out, p.usual(h)...)
}

// to says where the throttle must stand for the stated limits to hold.
func (p plant) to(o option) string {
	if !o.mends || o.best.AirFlow >= o.open.AirFlow {
		return ""
	}
	out := fmt.Sprintf(" to %.3g kg/s", float64(o.best.AirFlow))
	if open := p.opening(o.best); open != nil {
		out += fmt.Sprintf(", a gate open by %.0f %% of its bore", 100*float64(*open))
	}
	return out
}

func (p plant) liquidFindings(in Input, w working, o option) []fault.Finding {
	h := *in.Spec.Heater
	var out []fault.Finding
	if l := h.Liquid.Least; l != nil && w.LiquidOut < *l {
		out = append(out, finding(fault.Caution, "liquid-overcooled", "The box cools the liquid below what the engine wants.",
			"oil that stays cold keeps its water; coolant below the thermostat's opening starves the heater",
			"throttle the air"+p.to(o)+", take fewer passes, or feed the box behind a thermostat").Against(w.LiquidOut.Celsius(), l.Celsius(), "degC"))
	}
	if w.LiquidLoss > liquidLossLimit {
		out = append(out, finding(fault.Caution, "liquid-loss-high", "The liquid loses much pressure in the core's tubes.",
			"a bypass valve may open and send it round the core, and then no heat comes", "take a core with more or wider tubes, no turbulators, or less flow").
			Against(float64(w.LiquidLoss)/1000, float64(liquidLossLimit)/1000, "kPa"))
	}
	if l := h.Liquid.Most; l != nil && h.Liquid.Inlet > *l {
		out = append(out, finding(fault.Caution, "liquid-too-hot", "The liquid comes in above the engine's limit.",
			"the heater must not be the engine's only cooling", "keep the engine's own cooler, with a bypass to it").Against(h.Liquid.Inlet.Celsius(), l.Celsius(), "degC"))
	}
	if f := in.Fluid; f != nil && f.Limit > 0 && h.Liquid.Inlet > f.Limit {
		out = append(out, finding(fault.Caution, "liquid-beyond-limit", h.Liquid.Fluid+" is hotter than it stands.",
			"it boils unless under pressure, or breaks down", "check the cap's pressure, or the oil's cooling").Against(h.Liquid.Inlet.Celsius(), f.Limit.Celsius(), "degC"))
	}
	if f := in.Fluid; f != nil && len(f.Table) > 0 && p.heater.AirIn < f.Table[0].T {
		out = append(out, finding(fault.Caution, "liquid-may-freeze", h.Liquid.Fluid+" may freeze or go stiff in the core.",
			"the air is colder than the coldest at which this liquid is known; what flows slowly or stands still in a tube comes near the air's temperature, and ice bursts the core",
			"take a liquid that stands the coldest air, and shut the air before the liquid").Against(p.heater.AirIn.Celsius(), f.Table[0].T.Celsius(), "degC"))
	}
	return out
}

// outletFindings says where the air is too hot to meet.
func (p plant) outletFindings(w working) []fault.Finding {
	limit := si.Temperature(usualOutletLimit)
	if p.most != nil {
		limit = *p.most
	}
	if w.AirOut <= limit {
		return nil
	}
	return []fault.Finding{finding(fault.Caution, "outlet-hot", "The air leaves hotter than a person should meet.",
		"it burns at the outlet, and softens a laminate duct", "mix cold air in before the outlet, or let more air through").Against(w.AirOut.Celsius(), limit.Celsius(), "degC")}
}

func (p plant) airFindings(h Heater, w working, o option) []fault.Finding {
	out := p.outletFindings(w)
	if p.cabin == nil {
		out = append(out, finding(fault.Note, "no-cabin-target", "Useful heat is not counted.",
			"no cabin temperature is given; passes are chosen by all heat, which at a given pressure always favours one", "give duty.cabin.target"))
	} else if w.useful <= 0 {
		out = append(out, finding(fault.Caution, "no-useful-heat", "The air comes out no warmer than the cabin is to be.",
			"too much air for the heat there is", "throttle it, or take more passes").Against(w.AirOut.Celsius(), p.cabin.Celsius(), "degC"))
	}
	if !h.Throttle.Search && p.cabin != nil && o.best.useful > o.open.useful+0.01*math.Abs(o.open.useful) {
		out = append(out, finding(fault.Note, "throttle-helps", "Less air brings more useful heat.",
			"the more air comes, the colder it leaves, and fresh air must first be brought to the cabin's temperature",
			"fit a throttle and set it to this flow").Against(float64(o.open.AirFlow), float64(o.best.AirFlow), "kg/s"))
	}
	if !w.turnKnown {
		out = append(out, finding(fault.Note, "turns-not-counted", "The turns between passes are left out of the loss.",
			"the core's face, or its air-side loss, is not known", "give duty.heater.box.face and plenum, and the core's air_loss"))
	}
	if b := p.box; b.plenum > 0 && w.needed > b.plenum {
		open, loss := b.plate(w.Performance, p.heater.Pressure)
		out = append(out, finding(fault.Caution, "plenum-shallow", "The box is too shallow to feed the face evenly.",
			"the air's speed in the plenum is above a tenth of the core's loss, so the far end gets more than the near one",
			fmt.Sprintf("make it deeper, take more passes, or set a plate before the core with holes over %.0f %% of it, which costs up to %.0f Pa a pass", 100*float64(open), loss)).
			Against(b.plenum*1000, w.needed*1000, "mm"))
	}
	return out
}

func (p plant) coreFindings(h Heater, w working) []fault.Finding {
	out := p.farFromKnown(w)
	if l := p.limits; l != nil {
		for _, pass := range w.Passes {
			if re := pass.Reynolds; re < l.Low || re > l.High {
				limit := l.Low
				if re > l.High {
					limit = l.High
				}
				out = append(out, finding(fault.Caution, "core-out-of-range", "The air's flow between the fins lies outside "+l.Name+".",
					fmt.Sprintf("it was made from Reynolds numbers of %.0f to %.0f; below, heat is overstated", l.Low, l.High), "test the core, or bring the flow into range").Against(re, limit, ""))
				break
			}
		}
		for _, m := range p.beyond {
			limit := m.Low
			if m.Value > m.High {
				limit = m.High
			}
			out = append(out, finding(fault.Caution, "core-out-of-range", "The core's "+m.Name+" lies outside "+l.Name+".",
				fmt.Sprintf("it was made from cores of %g to %g %s; heat and loss are carried on from there", m.Low, m.High, m.Unit), "test the core").Against(m.Value, limit, m.Unit))
		}
		what := "The core is known by its fins alone."
		if h.Core.Geometry.Tubes.Film == 0 {
			what = "The core is known by its fins alone and the liquid's film is computed."
		}
		out = append(out, finding(fault.Note, "core-not-tested", what,
			fmt.Sprintf("correlations of fins and of liquid in tubes scatter; the heat is given with %.0f %% of conductance either way", 100*p.spread),
			"measure one point: air flow, air in and out, liquid flow and temperature"))
	}
	if t := p.tested; t != nil {
		for _, r := range t.Residuals {
			if r.Balance != nil && *r.Balance > heatsAgree {
				out = append(out, finding(fault.Caution, "test-out-of-balance", "A test point's heats do not agree.",
					"the heat of the air and of the liquid must be the same", "measure again; mixed outlet temperatures are the usual cause").Against(100**r.Balance, 100*heatsAgree, "%"))
			}
			if off := math.Abs(float64(r.Fitted/r.UA) - 1); off > heatsAgree {
				out = append(out, finding(fault.Caution, "test-off-the-fit", "A test point lies off the line through all.",
					"one of the points is wrong, or the core is no such core", "look for a leak or a wrong flow").Against(100*off, 100*heatsAgree, "%"))
			}
		}
		if !t.Fitted {
			out = append(out, finding(fault.Note, "core-one-flow", "The test does not part the air's film from the liquid's.",
				"all points have about one air flow; 60 % of the resistance is taken as the air's", "add a point at half or double the air flow"))
		}
	}
	return out
}

// farthest is the factor of flow, either way, over which a core's conductance and
// loss are carried from where they are known without a word: the exponents of flow
// hold over one flow regime. Judgement.
const farthest = 2.0

// farFromKnown tells where the air flows through the core much faster or slower
// than where it was rated or tested. A pass of n takes n times the flux.
func (p plant) farFromKnown(w working) []fault.Finding {
	low, high := p.flows[0], p.flows[1]
	if low == 0 {
		return nil
	}
	flow := float64(w.passes()) * float64(w.AirFlow)
	const slack = 1e-9
	limit := high * farthest
	switch {
	case flow > limit*(1+slack):
	case flow < low/farthest*(1-slack):
		limit = low / farthest
	default:
		return nil
	}
	why := fmt.Sprintf("it is known at %.3g kg/s through the whole face", high)
	if low < high {
		why = fmt.Sprintf("it is known from %.3g to %.3g kg/s through the whole face", low, high)
	}
	if n := w.passes(); n > 1 {
		why += fmt.Sprintf(", and %s passes drive the air through as %.3g kg/s would", count(n), flow)
	}
	return []fault.Finding{finding(fault.Caution, "core-far-from-known", "The core runs far from the air flow it is known at.",
		why+"; heat and loss are carried there by powers of the flow, good for a factor of two",
		"rate or test the core near this flow, or bring the flow nearer").Against(flow, limit, "kg/s")}
}

// heatsAgree is how far heats of one test point, or the fit, may lie apart.
// Practice of testing; 5 to 10 % is usual.
const heatsAgree = 0.10

// usual lists what was taken because the job does not say it.
func (p plant) usual(h Heater) []fault.Finding {
	var taken []string
	add := func(absent bool, text string) {
		if absent {
			taken = append(taken, text)
		}
	}
	add(h.Box.Leak == nil, fmt.Sprintf("%g %% of the air slips past each separator", 100*float64(usualLeak)))
	ports := h.portsTaken()
	add(ports != "", ports)
	add(h.Box.Turn == nil, fmt.Sprintf("a boxed turn costs %g velocity heads", usualTurn))
	add(h.Air.Ram != nil && h.Air.Ram.Recovery == nil, fmt.Sprintf("the scoop recovers %g %% of the impact pressure", 100*float64(usualRecovery)))
	add(h.Core.Rated != nil && h.Core.Rated.AirExponent == nil, fmt.Sprintf("UA grows with the flow to the power %g", exchanger.UsualUAExponent))
	add(h.Core.Rated != nil && h.Core.Rated.AirLoss > 0 && h.Core.Rated.Density == 0, "the core's loss is rated in air of 1.225 kg/m^3")
	if len(taken) == 0 {
		return nil
	}
	return []fault.Finding{finding(fault.Note, "usual-values", "Usual values stand where the job is silent.", strings.Join(taken, "; "), "put your own in where you know better")}
}

func cabinFindings(spec cabin.Spec, c cabin.State, r cabin.Result, h *HeaterResult, outside *AirState) []fault.Finding {
	var out []fault.Finding
	if spec.UValue == nil && spec.Skin > 0 {
		out = append(out, finding(fault.Note, "cabin-skin-usual", "The cabin's skin is taken as unlined.",
			"half acrylic, half bare glass skin: 6.5 W/(m^2 K)", "give u_value or walls"))
	}
	if need := c.Need(); need <= 0 {
		out = append(out, finding(fault.Note, "cabin-needs-no-heat", "The cabin needs no heat to hold its temperature.",
			"what comes in from outside, sun, people and instruments is more than what goes out", "give the coldest day that counts as duty.cabin.outside; a heater must shut off on such a day").Against(need, 0, "W"))
	}
	if h == nil {
		return out
	}
	if *r.Margin < 0 {
		out = append(out, finding(fault.Caution, "cabin-short-of-heat", "The heater does not hold the cabin's temperature.",
			"more heat goes out through skin and leaks than comes in", "seal the cabin, line it, or take a larger core").Against(float64(*r.Margin), 0, "W"))
	} else if r.Warmup == nil {
		out = append(out, finding(fault.Caution, "cabin-never-warm", "The cabin never quite comes to its temperature.",
			"what the heater brings only just balances what is lost", "take a larger core or seal the cabin"))
	}
	if float64(h.AirFlow) < c.Fresh {
		out = append(out, finding(fault.Caution, "cabin-fresh-air", "The heater brings less air than the people need.",
			"the rest must come in cold", "open a vent; its air is counted in the need").Against(float64(h.AirFlow), c.Fresh, "kg/s"))
	}
	if outside != nil && math.Abs(float64(outside.Temperature)-c.Outside) > 5 {
		out = append(out, finding(fault.Note, "cabin-outside-differs", "Cabin and heater are worked out for different days.",
			"the temperatures outside differ by more than 5 K", "give both the coldest day that counts").Against(c.Outside-273.15, outside.Temperature.Celsius(), "degC"))
	}
	return out
}

// demistFindings says whether the screen stays clear.
func demistFindings(d *cabin.DemistResult) (out []fault.Finding) {
	if d == nil {
		return nil
	}
	if d.Outlet != "" && !d.Blows {
		out = append(out, finding(fault.Caution, "demist-outlet-unknown", "No branch of a wye is called "+d.Outlet+".",
			"all the heater's air is taken to blow at the screen", "name the branch, or leave duty.cabin.demist.outlet out"))
	}
	switch {
	case d.Clear:
	case d.Needed == nil:
		out = append(out, finding(fault.Caution, "screen-mists", "No flow of this air keeps the screen clear.",
			"the air comes out colder than the pane must be", "take hotter air, or let more air from outside carry the moisture off").Against(d.Pane.Celsius(), d.Limit.Celsius(), "degC"))
	default:
		out = append(out, finding(fault.Caution, "screen-mists", "The screen mists over or frosts.",
			fmt.Sprintf("its inner face comes to %.0f degC and must be %.0f degC to stay clear of the cabin's moisture", d.Pane.Celsius(), d.Limit.Celsius()),
			"send more of the air to the screen, or let more air from outside carry the moisture off").Against(float64(d.Blown), float64(*d.Needed), "kg/s"))
	}
	return out
}
