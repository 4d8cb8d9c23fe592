package cure

import (
	"context"
	"fmt"
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/resin"
	"laywright/internal/base/si"
)

// Caps on heat. A hot laminate of an ordinary epoxy discolours and cracks past
// some 110 degC; limits of moulds and cores are held with 10 K in hand (judgement).
const (
	resinCap  = 273.15 + 110
	limitHand = 10.0
)

// findings judges the run.
func findings(ctx context.Context, in Input, ps []piece, at places, r *Result, exact bool) ([]fault.Finding, error) {
	w := at.mean
	var out []fault.Finding
	add := func(fs ...fault.Finding) {
		for _, f := range fs {
			if f.Code != "" {
				f.Stage = "cure"
				out = append(out, f)
			}
		}
	}
	add(notGelled(w), notFirm(w, r), softens(in, ps, w), takenOffSoft(w, r), service(in, r), unmeasured(in, r), disagrees(in, r), tooCold(in, w), tooFast(in, ps))
	add(heat(r.Limits)...)
	hot, err := inGoes(ctx, in, ps, exotherm(at.hot), exact, r)
	if err != nil {
		return nil, err
	}
	add(hot)
	add(ovenFindings(in, ps, w, r)...)
	add(traced(in), oddConstants(in.Law), beyondSheet(in, w), misfit(in.Law.Fit), assumed(in.Law.Fit), simple(in, exact, r.swing()))
	return out, nil
}

func celsius(t float64) float64 { return t - 273.15 }

func notGelled(w *watch) fault.Finding {
	if w.gelled != nil {
		return fault.Finding{}
	}
	return fault.Finding{Severity: fault.Stop, Code: "not-gelled",
		What: "The resin has not gelled everywhere when the schedule ends.",
		Why:  "Below the gel point it is still a liquid.",
		Do:   "Hold longer or warmer."}.Against(w.least(&w.now), w.law.Gel, "")
}

func notFirm(w *watch, r *Result) fault.Finding {
	if w.gelled == nil || w.firm != nil {
		return fault.Finding{}
	}
	return fault.Finding{Severity: fault.Caution, Code: "not-demouldable",
		What: "At no time does the part hold its shape without the mould.",
		Why:  fmt.Sprintf("Its glass transition must lie %.0f K above its temperature.", float64(w.law.Firm)),
		Do:   "Hold longer, or let it cool on the mould before it is taken off."}.
		Against(r.Tg.Celsius(), celsius(w.now.temp[w.middle()])+float64(w.law.Firm), "degC")
}

// softens tells where the oven overtakes the glass transition of a part that had
// been firm.
func softens(in Input, ps []piece, w *watch) fault.Finding {
	if w.firm == nil || !(w.lead < 0) {
		return fault.Finding{}
	}
	f := fault.Finding{Severity: fault.Caution, Code: "oven-ahead-of-tg",
		What: fmt.Sprintf("%s overtakes the glass transition %.1f h after mixing: the part goes soft.", heats[in.Spec.In], w.leadAt/3600),
		Why:  "Cure can't keep up with so fast or so hot a rise.",
		Do:   slower(in, ps, w) + ", or leave the part on its mould and under the bag."}
	if w.bare {
		f.Severity, f.What = fault.Stop, f.What[:len(f.What)-1]+", with no mould to hold it."
	}
	return f.Against(w.lead, 0, "K")
}

// heats is what warms the part.
var heats = map[Place]string{Room: "The room's warmth", Oven: "The oven", Lamps: "The lamps' heat"}

// takenOffSoft tells of a part that leaves its mould before it stands by itself.
func takenOffSoft(w *watch, r *Result) fault.Finding {
	if r.OffMould == nil || w.firm != nil && *w.firm <= float64(*r.OffMould) {
		return fault.Finding{}
	}
	return fault.Finding{Severity: fault.Stop, Code: "taken-off-soft",
		What: "The part is taken off its mould before it stands by itself.",
		Why:  "Until then it creeps under its own weight.",
		Do:   "Leave it on the mould until the demould time."}
}

func service(in Input, r *Result) fault.Finding {
	if in.Service == nil || *in.Service <= r.ServiceLimit {
		return fault.Finding{}
	}
	need := float64(*in.Service) + ServiceMargin + float64(in.WetDrop)
	do := fmt.Sprintf("Post-cure to a glass transition of %.0f degC.", celsius(need))
	if float64(in.Law.Glass.Full) < need {
		do = fmt.Sprintf("Choose a resin that reaches %.0f degC; this one ends at %.0f degC however it is cured.", celsius(need), in.Law.Glass.Full.Celsius())
	}
	return fault.Finding{Severity: fault.Stop, Code: "too-hot-in-service",
		What: "In service the part gets warmer than its glass transition allows.",
		Why:  fmt.Sprintf("%s, less %d K of margin, the rule of MIL-HDBK-17.", basis(in, r), ServiceMargin),
		Do:   do}.Against(in.Service.Celsius(), r.ServiceLimit.Celsius(), "degC")
}

// tooCold looks at the wet laminate until all of it has gelled, a cold night among it.
func tooCold(in Input, w *watch) fault.Finding {
	low := math.Inf(1)
	for i, t := range w.history.time {
		if t > float64(in.Before) && (w.gelled == nil || t <= *w.gelled) {
			low = math.Min(low, w.history.air[i])
		}
	}
	if in.MinShop == 0 || !(low < float64(in.MinShop)-1e-9) {
		return fault.Finding{}
	}
	return fault.Finding{Severity: fault.Caution, Code: "shop-too-cold",
		What: "The wet laminate stands colder than the resin may be worked.",
		Why:  "It flows badly, cures for days, and its surface takes up moisture from the air.",
		Do:   "Warm the resin and the shop, or put part and mould under a heated tent."}.
		Against(celsius(low), in.MinShop.Celsius(), "degC")
}

func tooFast(in Input, ps []piece) fault.Finding {
	fastest := 0.0
	for _, p := range ps {
		fastest = math.Max(fastest, p.slope()*3600)
	}
	if len(in.Trace.X) > 0 || !(fastest > 1.01*float64(in.Ramp)) {
		return fault.Finding{}
	}
	f := fault.Finding{Severity: fault.Caution, Code: "ramp-too-fast",
		What: "The schedule heats faster than the resin's data sheet allows.",
		Why:  "The glass transition must stay ahead of the oven, and a thick wet laminate heats itself.",
		Do:   "Ramp slower."}
	if in.rampUsual {
		f.What = "The schedule heats faster than laminating epoxies usually may."
		f.Why = "The resin's record gives no limit of its own; the glass transition must stay ahead of the oven."
		f.Do = "Ramp slower, or put the resin's own limit into its record as ramp_per_hour."
	}
	return f.Against(fastest, float64(in.Ramp), "K/h")
}

// heat holds what each thing in the stack sees against what it stands.
func heat(ls []Limit) (out []fault.Finding) {
	for _, l := range ls {
		if l.Limit == nil || float64(*l.Margin) >= limitHand-0.5 {
			continue
		}
		name := l.Name
		if l.Of == "mould" {
			name = "The mould (" + name + ")"
		}
		f := fault.Finding{Severity: fault.Caution, Code: "near-heat-limit",
			What: fmt.Sprintf("%s gets within %.0f K of what it stands.", name, limitHand),
			Why:  "An oven swings, and a laminate heats itself.",
			Do:   "Keep some way below the limit, and measure at this place."}
		if *l.Margin < 0 {
			f.Severity, f.Code = fault.Stop, "heat-limit"
			f.What = fmt.Sprintf("%s gets hotter than it stands.", name)
			f.Do = "Gel at room temperature before heating, hold cooler, or use another material."
		}
		out = append(out, f.Against(l.Seen.Celsius(), l.Limit.Celsius(), "degC"))
	}
	return out
}

// exotherm tells of a laminate that runs ahead of the air by itself.
func exotherm(w *watch) fault.Finding {
	peak, hottestAir := w.hottest(), 0.0
	for _, t := range w.history.air {
		hottestAir = math.Max(hottestAir, t)
	}
	const own = 15.0 // K above the air: heat of the reaction, not of the oven
	if peak <= hottestAir+own {
		return fault.Finding{}
	}
	f := fault.Finding{Severity: fault.Caution, Code: "exotherm", What: "The laminate heats itself well above the air.",
		Why: "The resin reacts faster than its heat leaves through the mould and the bag.",
		Do:  "Lay it in two goes, or let it gel at room temperature before heating."}
	if peak > resinCap {
		f.Severity = fault.Stop
	}
	return f.Against(celsius(peak), math.Max(celsius(hottestAir)+own, celsius(resinCap)), "degC")
}

// traced says how a measured trace and a schedule share the time.
func traced(in Input) fault.Finding {
	if len(in.Trace.X) == 0 || !in.Spec.Schedule.Given {
		return fault.Finding{}
	}
	schedule, last := in.Spec.Schedule.Value, len(in.Trace.X)-1
	end := in.Trace.X[last]
	f := fault.Finding{Severity: fault.Note, Code: "trace-before-schedule",
		What: fmt.Sprintf("The measured trace is followed to its end at %.3g h, and from there the schedule.", end/3600),
		Why:  "What was measured counts for more than what was meant.",
		Do:   "Take the trace out to see the schedule alone."}
	if schedule.X[len(schedule.X)-1] <= end {
		f.What = fmt.Sprintf("Only the measured trace is followed: at its end, at %.3g h, the schedule is over.", end/3600)
		return f
	}
	const apart = 5 // K
	if meant := reading(schedule, end); math.Abs(float64(meant-in.Trace.Y[last])) > apart {
		f.Severity = fault.Caution
		f.Why = fmt.Sprintf("There the part is at %.0f degC and the schedule at %.0f degC: the temperature jumps.", in.Trace.Y[last].Celsius(), meant.Celsius())
		f.Do = "Begin the rest of the schedule where the trace ends."
		return f.Against(in.Trace.Y[last].Celsius(), meant.Celsius(), "degC")
	}
	return f
}

// oddConstants tells of activation energies that no cure has: mostly a slip of
// the unit. Epoxies with amine lie at 45 to 80 kJ/mol, hot-curing ones to 120
// (from memory).
func oddConstants(law resin.Law) fault.Finding {
	const low, high = 20e3, 200e3
	k := law.Kinetics
	for _, c := range []struct {
		name string
		a    float64
		e    float64
	}{{"E1", float64(k.A1), float64(k.E1)}, {"E2", float64(k.A2), float64(k.E2)}} {
		if c.a == 0 || low <= c.e && c.e <= high {
			continue
		}
		limit := low
		if c.e > high {
			limit = high
		}
		return fault.Finding{Severity: fault.Caution, Code: "odd-resin-constants",
			What: "The resin's " + c.name + " is no usual activation energy.",
			Why:  "Cure of epoxies has 40 to 120 kJ/mol; with such a value the times at other temperatures go wrong.",
			Do:   "Look at its unit, kJ or J or kcal a mole, and at its source."}.Against(c.e/1e3, limit/1e3, "kJ/mol")
	}
	return fault.Finding{}
}

func beyondSheet(in Input, w *watch) fault.Finding {
	coldest := math.Inf(1)
	for _, t := range w.history.temp {
		coldest = math.Min(coldest, t)
	}
	for _, t := range []float64{coldest, w.hottest()} {
		if in.Law.Extrapolates(kelvin(t)) {
			return fault.Finding{Severity: fault.Note, Code: "beyond-measured-range",
				What: fmt.Sprintf("At %.0f degC the cure is extrapolated.", celsius(t)),
				Why:  fmt.Sprintf("The resin's numbers were taken from %.0f to %.0f degC.", in.Law.Kinetics.Min.Celsius(), in.Law.Kinetics.Max.Celsius()),
				Do:   "Trust the times less, and check hardness before demoulding."}
		}
	}
	return fault.Finding{}
}

func misfit(fit *resin.Fit) fault.Finding {
	if fit == nil {
		return fault.Finding{}
	}
	for _, x := range fit.Readings {
		if x.Off() && !x.Shop && fit.Shop == nil { // a law that follows the shop may leave the sheet
			return fault.Finding{Severity: fault.Caution, Code: "data-sheet-misfit",
				What: "The data sheet's " + x.What + " does not fit its other numbers.",
				Why:  "One law of cure can't give them all.",
				Do:   "Look at what the sheet means by it, or time a gel in a cup and use that."}.
				Against(x.Model, x.Sheet, x.Unit)
		}
	}
	return fault.Finding{}
}

func assumed(fit *resin.Fit) fault.Finding {
	if fit == nil || len(fit.Assumed) == 0 {
		return fault.Finding{}
	}
	what := "Not in the data sheet and taken as usual: " + fit.Assumed[0]
	for _, a := range fit.Assumed[1:] {
		what += "; " + a
	}
	return fault.Finding{Severity: fault.Note, Code: "cure-assumed", What: what + ".",
		Why: "A data sheet's few numbers leave part of the law open.",
		Do:  "Time the gel of a cup and of a film at your own temperature."}
}

// simple says what the model leaves out.
func simple(in Input, exact bool, swing si.TemperatureDifference) fault.Finding {
	f := fault.Finding{Severity: fault.Note, Code: "cure-model",
		What: "Heat is followed through the thickness only, and the air keeps to the schedule.",
		Why:  "Edges, thick places and the oven's own warm and cold corners are not seen.",
		Do:   "Put a probe at the coldest and at the hottest place."}
	if exact {
		f.What, f.Why = "The laminate is taken to have the temperature of the schedule at once.",
			"Mould and laminate are not both given, so lag and self-heating are not computed."
	}
	switch {
	case len(in.Trace.X) > 0:
		f.What, f.Why = "The cure follows the measured temperature.", "Places warmer or colder than the probe cure differently."
	case in.box != nil:
		boxModel(in, exact, swing, &f)
	case in.Spec.In == Room && !in.Spec.Schedule.Given:
		f.Do = "If the shop cools at night, give its temperature over time as cure.schedule."
	case in.Spec.In == Lamps && !exact:
		f.What = "Lamps are taken for warm air over the bag, and heat is followed through the thickness only."
		f.Why = "What a face takes from a lamp hangs on distance, angle and colour, and the mould's back stays as cold as the shop."
		f.Do = "Put probes in the middle and at the rim of each lamp's field, and steer by the hottest."
	}
	return f
}

// boxModel says it of a described oven.
func boxModel(in Input, exact bool, swing si.TemperatureDifference, f *fault.Finding) {
	f.What = "Heat is followed through the thickness, the oven is one lump of air and load, and its thermostat is averaged."
	if exact {
		f.What = "The laminate is taken to have the temperature of the oven's air at once; the oven is one lump of air and load, and its thermostat is averaged."
	}
	f.Why = fmt.Sprintf("A sensor in still air, shelves that shade each other and heat that radiates straight from the element are not seen. The part swings by up to %.2g K with the thermostat.", float64(swing))
	if in.box.Spread == 0 {
		f.Why += " The job does not say how far the oven's places differ (cure.oven.spread)."
	}
	f.Do = "Measure the air at the coldest and hottest place of the loaded oven once, and put a probe at both."
}
