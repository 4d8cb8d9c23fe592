package cure

import (
	"context"
	"fmt"
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/num"
	"laywright/internal/base/si"
)

// InOven is what the oven makes of the schedule, and of the part at its coldest
// and hottest place. Times count from the first mixing.
type InOven struct {
	UA       si.Conductance           `json:"UA_W_per_K"`            // from the air to the shop: walls and leaks
	Capacity si.HeatCapacity          `json:"heat_capacity_J_per_K"` // of air and load, without part and mould
	Ceiling  si.Temperature           `json:"ceiling_degC"`          // where it ends with the heater stuck on
	CutOut   si.Temperature           `json:"cut_out_degC"`          // where the second, independent cut-out belongs
	Asked    si.Temperature           `json:"asked_degC"`            // the hottest of the schedule
	Duty     float64                  `json:"duty"`                  // share of the heater that holds that
	Reach    *si.Time                 `json:"reach_s,omitempty"`     // the air first comes within a kelvin of it
	Late     *si.Time                 `json:"late_s,omitempty"`      // after the schedule asks for it
	Behind   si.TemperatureDifference `json:"behind_K"`              // most that the air was below the schedule
	Gave     si.Energy                `json:"heater_J"`
	Lost     si.Energy                `json:"walls_J"`
	On       *si.Time                 `json:"on_s,omitempty"` // the thermostat's heater, at the hottest hold
	Off      *si.Time                 `json:"off_s,omitempty"`
	Swing    si.TemperatureDifference `json:"swing_K"` // of the part about its mean, by the thermostat
	Cold     *Corner                  `json:"coldest,omitempty"`
	Hot      *Corner                  `json:"hottest,omitempty"`
}

// Corner is the part at one place of the oven.
type Corner struct {
	Gel     *si.Time       `json:"gel_s,omitempty"`
	Demould *si.Time       `json:"demould_s,omitempty"`
	Degree  float64        `json:"degree_of_cure"`
	Tg      si.Temperature `json:"tg_degC"`
	Peak    si.Temperature `json:"peak_degC"`

	gelled bool
}

// places are runs of the part at the middle of the oven, and, where they differ, at
// its coldest and hottest place.
type places struct{ mean, cold, hot *watch }

// everywhere runs the schedule at each place of the oven. seen is that run in the
// middle where it was made already.
func everywhere(ctx context.Context, in Input, ps []piece, exact bool, off float64, seen *watch) (p places, err error) {
	if p.mean = seen; seen == nil {
		if p.mean, err = run(ctx, in, ps, exact, off); err != nil {
			return p, err
		}
	}
	p.cold, p.hot = p.mean, p.mean
	if in.box == nil || in.box.Spread == 0 || !(p.mean.box.top > float64(in.Shop)) {
		return p, nil
	}
	in.place = -1
	if p.cold, err = run(ctx, in, ps, exact, off); err != nil {
		return p, err
	}
	in.place = 1
	p.hot, err = run(ctx, in, ps, exact, off)
	return p, err
}

// nearHold is how close to the hottest hold counts as there, K.
const nearHold = 1.0

// see notes when the air is there, and how far it falls behind.
func (x *boxed) see(w *watch, s *num.Step) {
	w.at(s.T1(), s.End())
	x.behind = math.Max(x.behind, x.set(s.T1())-x.air)
	w.mark(&x.there, s, func(*view) float64 { return x.air - x.top + nearHold })
}

// asks returns when the schedule first asks for its hottest.
func (x *boxed) asks(ps []piece) float64 {
	for _, p := range ps {
		switch x.top {
		case p.a:
			return p.t0
		case p.b:
			return p.t1
		}
	}
	return 0
}

// inOven gathers what the oven does.
func inOven(in Input, ps []piece, p places) *InOven {
	x := p.mean.box
	if x == nil {
		return nil
	}
	r := &InOven{UA: si.Conductance(x.UA), Capacity: si.HeatCapacity(x.C), Ceiling: kelvin(x.Ceiling()), Asked: kelvin(x.top),
		Duty: x.Duty(x.top), Reach: seconds(x.there), Behind: si.TemperatureDifference(x.behind),
		Gave: si.Energy(x.gave), Lost: si.Energy(x.went), CutOut: kelvin(x.top + x.Band/2 + x.Spread/2 + cutOutHand)}
	if x.there != nil {
		late := math.Max(0, *x.there-x.asks(ps))
		r.Late = seconds(&late)
	}
	if on, off, ok := x.Cycle(x.top); ok {
		r.On, r.Off = seconds(&on), seconds(&off)
		r.Swing = si.TemperatureDifference(x.Swing(lagging(in), on+off))
	}
	if p.cold != p.mean {
		r.Cold, r.Hot = corner(in, p.cold), corner(in, p.hot)
	}
	return r
}

// cutOutHand is how far above all that is meant to be the second cut-out is set, K:
// near enough to save the part, far enough not to trip by itself (judgement).
const cutOutHand = 8

func corner(in Input, w *watch) *Corner {
	a := min(max(w.least(&w.now), 0), 1)
	return &Corner{Gel: seconds(w.gel), Demould: seconds(w.firm), Degree: a, Tg: in.Law.Glass.Transition(a), Peak: kelvin(w.hottest()), gelled: w.gelled != nil}
}

// lagging is the time constant of the whole stack in the oven's air, s; 0 where it
// follows at once.
//
//	τ = Σρct/Σh
func lagging(in Input) float64 {
	if len(in.Mould) == 0 || !reacts(in.Layers) {
		return 0
	}
	b := newSlab(&in.Law, in.Mould, in.Layers, 1, 1)
	sum := 0.0
	for _, c := range b.cells {
		sum += c.heat * c.size
	}
	return sum / (2 * float64(in.Spec.Air))
}

// swing is how far the thermostat takes the part above its mean; 0 where it is not known.
func (r *Result) swing() si.TemperatureDifference {
	if r.Oven == nil {
		return 0
	}
	return r.Oven.Swing
}

// ovenFindings judges the oven.
func ovenFindings(in Input, ps []piece, w *watch, r *Result) []fault.Finding {
	if r.Oven == nil || !(w.box.top > w.box.Shop) {
		return nil
	}
	return []fault.Finding{tooWeak(in, w, r.Oven), lags(in, w, r.Oven), cutOut(in, w, r), coldCorner(in, w, r)}
}

// tooWeak tells of a schedule that the heater can't hold.
func tooWeak(in Input, w *watch, o *InOven) fault.Finding {
	if o.Asked <= o.Ceiling {
		return fault.Finding{}
	}
	need := w.box.UA * (w.box.top - w.box.Shop) / ovenHolds
	return fault.Finding{Severity: fault.Stop, Code: "oven-too-weak",
		What: fmt.Sprintf("The oven can't reach the %.0f degC that the schedule asks for.", o.Asked.Celsius()),
		Why:  fmt.Sprintf("Its walls and leaks lose %.3g W a kelvin; all of its %.3g W brings it no higher.", w.box.UA, w.box.Heater),
		Do:   fmt.Sprintf("Take a heater of %.2g W, insulate it better, or hold cooler.", roundUp(need))}.
		Against(o.Asked.Celsius(), o.Ceiling.Celsius(), "degC")
}

// roundUp is the next two-digit number, for heaters are bought in steps.
func roundUp(x float64) float64 {
	unit := math.Pow(10, math.Floor(math.Log10(x))-1)
	return math.Ceil(x/unit) * unit
}

// lags tells of air that falls behind its schedule.
func lags(in Input, w *watch, o *InOven) fault.Finding {
	x := w.box
	if o.Asked > o.Ceiling || x.behind <= math.Max(x.Band/2, nearHold) {
		return fault.Finding{}
	}
	f := fault.Finding{Severity: fault.Note, Code: "oven-lags",
		What: "The oven falls behind its schedule.",
		Why:  fmt.Sprintf("Near %.0f degC its heater warms air, load, mould and part by no more than %.0f K an hour.", o.Asked.Celsius(), 3600*w.steepest(in)),
		Do:   "The times given here allow for it; begin a hold when the part's probe is there, not when the dial is."}
	if o.Reach == nil {
		f.Severity, f.What = fault.Caution, fmt.Sprintf("The oven does not come to the %.0f degC of its schedule before that ends.", o.Asked.Celsius())
		f.Do = "Ramp slower and hold longer, take a stronger heater, or insulate it better."
	}
	return f.Against(x.behind, x.Band/2, "K")
}

// steepest is the ramp that the heater keeps up at the hottest hold with the part
// and its mould in the box, K/s.
func (w *watch) steepest(in Input) float64 {
	x := w.box
	whole := x.C
	if x.slab != nil {
		whole += x.area * lagging(in) * 2 * float64(in.Spec.Air)
	}
	return math.Max(0, x.Heater-x.UA*(x.top-x.Shop)) / whole
}

// cutOut tells where the oven goes if its thermostat sticks.
func cutOut(in Input, w *watch, r *Result) fault.Finding {
	o := r.Oven
	stands := kelvin(math.Min(weakest(in.Mould, in.Layers, in.Bag), float64(scorched)))
	if trips := w.box.top + in.box.Band/2 + in.box.Spread/2; in.box.CutOut > 0 && in.box.CutOut < trips {
		return fault.Finding{Severity: fault.Caution, Code: "oven-trips",
			What: "The oven's second cut-out ends the cure before its hottest hold.",
			Why:  "Thermostat and hottest place go above what the schedule asks for.",
			Do:   fmt.Sprintf("Set it to %.0f degC for this cure, or hold cooler.", o.CutOut.Celsius())}.
			Against(celsius(in.box.CutOut), celsius(trips), "degC")
	}
	if o.Ceiling <= stands || in.box.CutOut > 0 && in.box.CutOut <= float64(max(o.CutOut, stands)) {
		return fault.Finding{}
	}
	f := fault.Finding{Severity: fault.Caution, Code: "oven-cut-out",
		What: fmt.Sprintf("If its thermostat sticks, this oven goes on to %.0f degC.", o.Ceiling.Celsius()),
		Why:  "What is insulated well has nothing else to stop it: mould and bag are lost, foam and resin smoke and can burn.",
		Do: fmt.Sprintf("Fit a second cut-out of its own, with its own probe in the hottest place, set to %.0f degC, that only a hand can set back (cure.oven.cut_out); try it out before the cure, and stay near.",
			o.CutOut.Celsius())}
	if in.box.CutOut > 0 {
		f.What = fmt.Sprintf("The oven's second cut-out, at %.0f degC, is set too high.", celsius(in.box.CutOut))
	}
	return f.Against(o.Ceiling.Celsius(), stands.Celsius(), "degC")
}

// scorched is where cured epoxy begins to smoke and foam behind an oven's lining is
// in danger (judgement; from memory).
const scorched si.Temperature = 273.15 + 150

// coldCorner tells what the coldest place lacks that the middle has.
func coldCorner(in Input, w *watch, r *Result) fault.Finding {
	c := r.Oven.Cold
	if c == nil {
		return fault.Finding{}
	}
	f := fault.Finding{Severity: fault.Stop, Code: "cold-corner",
		Why: fmt.Sprintf("Its air stays %.3g K below the mean.", in.box.Spread/2),
		Do:  "Hold longer or warmer by what the corner lacks, put the part in the middle, or add a fan: the probe belongs at the coldest place."}
	served := c.Tg - si.Temperature(in.WetDrop) - ServiceMargin
	switch {
	case !c.gelled && w.gelled != nil:
		f.What = "At the oven's coldest place the resin has not gelled when the schedule ends."
		return f.Against(c.Degree, in.Law.Gel, "")
	case r.OffMould != nil && (c.Demould == nil || *c.Demould > *r.OffMould) && w.firm != nil && *w.firm <= float64(*r.OffMould):
		f.What = "At the oven's coldest place the part does not yet stand by itself when it is taken off its mould."
		return f
	case in.Service != nil && *in.Service > served && *in.Service <= r.ServiceLimit:
		f.What = "A part cured at the oven's coldest place gets too warm in service."
		return f.Against(in.Service.Celsius(), served.Celsius(), "degC")
	case c.Demould == nil && w.firm != nil:
		f.Severity, f.What = fault.Caution, "At the oven's coldest place the part never stands without its mould."
		return f
	}
	return fault.Finding{}
}
