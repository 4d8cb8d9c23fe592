package wetout

import (
	"fmt"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

func findings(in Input, r *Result) []fault.Finding {
	var out []fault.Finding
	for _, f := range []fault.Finding{slowPot(in, r), standing(r), film(in, r), cold(in), warm(in), humid(in), blush(in), dew(in, r), scale(in, r), littleLost(in, r), far(in, r), noLaw(in), noRatio(in)} {
		if f.Code != "" {
			f.Stage = "wetout"
			out = append(out, f)
		}
	}
	return out
}

func slowPot(in Input, r *Result) fault.Finding {
	if len(r.Pots) == 0 || r.Pots[0].Life == nil {
		return fault.Finding{}
	}
	need, life := laying(in)/float64(len(r.Pots)), float64(*r.Pots[0].Life)
	if need <= inHand*life {
		return fault.Finding{}
	}
	f := fault.Finding{Severity: fault.Caution, Code: "pot-gels-early",
		What: "Even the smallest cups are hardly down before they gel.",
		Why:  fmt.Sprintf("One pot takes %.0f min to lay, and lives %.0f min in its cup.", need/60, life/60),
		Do:   "Take a slower hardener or a cooler shop, pour each pot into a flat tray, or lay with more hands."}
	if need > life {
		f.Severity = fault.Stop
	}
	return f.Against(need, inHand*life, "s")
}

// How hot a cup may get: harmless burns no one and fumes little, smoking melts the
// cup. Common practice, no source.
const (
	harmless si.Temperature = 273.15 + 60
	smoking  si.Temperature = 273.15 + 150
)

// standing warns of the cup that is forgotten.
func standing(r *Result) fault.Finding {
	if len(r.Pots) == 0 || r.Pots[0].Peak == nil || r.Pots[0].Life == nil {
		return fault.Finding{}
	}
	peak, life := *r.Pots[0].Peak, float64(*r.Pots[0].Life)
	if peak <= harmless {
		return fault.Finding{}
	}
	how := fmt.Sprintf("to some %.0f degC", peak.Celsius())
	if peak > smoking {
		how = "past 150 degC: it smokes and melts its cup"
	}
	return fault.Finding{Severity: fault.Note, Code: "cup-runs-off",
		What: fmt.Sprintf("A pot left standing heats itself %s, from about %.0f min after mixing.", how, life/60),
		Why:  "In a cup the heat of reaction can't leave.",
		Do:   "Spread it or pour it into a tray at once" + tame(r) + "; put what is left outside on stone, never into a bin."}.
		Against(peak.Celsius(), harmless.Celsius(), "degC")
}

// tame says what may stand.
func tame(r *Result) string {
	c := r.Cup
	if c == nil || c.Tray == nil || c.Kind == tray {
		return ""
	}
	text := fmt.Sprintf(", up to %.0f mm deep", 1e3*float64(c.Tray.Depth))
	if c.SafeMass != nil {
		text += fmt.Sprintf("; up to %.0f g may stand in the cup", 1e3*float64(*c.SafeMass))
	}
	return text
}

func film(in Input, r *Result) fault.Finding {
	if r.FilmGel == nil || float64(r.Total) <= inHand*float64(*r.FilmGel) {
		return fault.Finding{}
	}
	f := fault.Finding{Severity: fault.Caution, Code: "first-ply-gels",
		What: "The first ply is near its gel before the last one is wet.",
		Why:  "Spread resin gels too, only later than in the cup, and the bag must press it while it flows.",
		Do:   "Take a slower hardener, more hands, or lay in two goes with peel ply between."}
	if r.Total > *r.FilmGel {
		f.Severity, f.What = fault.Stop, "The first ply has gelled before the last one is wet."
	}
	return f.Against(float64(r.Total), inHand*float64(*r.FilmGel), "s")
}

func cold(in Input) fault.Finding {
	if in.MinShop == 0 || in.Shop >= in.MinShop {
		return fault.Finding{}
	}
	return fault.Finding{Severity: fault.Caution, Code: "shop-too-cold",
		What: "The shop is colder than the resin may be worked at.",
		Why:  "Cold resin is thick, wets cloth badly, mixes badly and takes up moisture before it gels.",
		Do:   "Warm the shop, or keep resin, cloth and mould warm."}.Against(in.Shop.Celsius(), in.MinShop.Celsius(), "degC")
}

// warmest is where a shop gets uncomfortable for laminating resins: 15 to 25
// degC is the usual rule, 30 degC its end.
const warmest = 273.15 + 30

func warm(in Input) fault.Finding {
	if float64(in.Shop) <= warmest {
		return fault.Finding{}
	}
	return fault.Finding{Severity: fault.Caution, Code: "shop-too-warm", What: "The shop is warm for laying by hand.",
		Why: "Every 10 K halve the time there is.", Do: "Work in the morning, cool the resin, mix smaller pots."}.
		Against(in.Shop.Celsius(), warmest-273.15, "degC")
}

// Errors of hardener to resin: makers ask for half a percent, 2 % is felt in the glass
// transition, and a mix that is 5 % off is thrown away (common practice, no source).
const wantedError, worstError, spoiled = 0.005, 0.02, 0.05

// scale tells how finely the hardener must be weighed.
func scale(in Input, r *Result) fault.Finding {
	if r.Hardener == nil || len(r.Pots) == 0 {
		return fault.Finding{}
	}
	each := float64(*r.Hardener) / float64(len(r.Pots))
	step := float64(in.Spec.Scale)
	if step == 0 {
		return fault.Finding{Severity: fault.Note, Code: "scale",
			What: fmt.Sprintf("Weigh the hardener to %.2g g.", each*1e3*worstError),
			Why:  fmt.Sprintf("A pot takes %.1f g; 2 percent of it is felt in the cured part.", each*1e3),
			Do:   "Use a scale that shows 0.1 g, check it with a known mass, and weigh each pot by itself."}
	}
	if *r.IndexError <= wantedError {
		return fault.Finding{}
	}
	off := 100 * *r.IndexError
	f := fault.Finding{Severity: fault.Note, Code: "scale",
		What: fmt.Sprintf("Half a step of the scale at each weighing puts the hardener of a pot off by up to %.1f percent.", off),
		Why:  fmt.Sprintf("A pot takes %.1f g of it. Off by 2 percent is felt in the cured part, off by 5 percent is thrown away.", each*1e3),
		Do:   "Use a finer scale or fewer, larger pots."}
	if *r.IndexError > worstError {
		f.Severity = fault.Caution
	}
	if *r.IndexError > spoiled {
		f.Severity = fault.Stop
	}
	return f.Against(off, 100*worstError, "%")
}

// littleLost tells where a job counts on losing much less than pots, brush and films keep.
func littleLost(in Input, r *Result) fault.Finding {
	const much = 0.6
	lost := sumLosses(r.Losses)
	if !in.Spec.Lost.Given || lost >= much*float64(r.Usual) {
		return fault.Finding{}
	}
	return fault.Finding{Severity: fault.Note, Code: "lost-little",
		What: fmt.Sprintf("The job counts on losing %.0f g; cups, brush and films of such a part usually keep %.0f g.", 1e3*lost, 1e3*float64(r.Usual)),
		Why:  "What sticks to a cup and a brush hardly grows with the part, so a small part loses a larger share.",
		Do:   "Mix that much more, or leave out wetout.lost and let it be reckoned; weigh cup, brush and films afterwards."}.
		Against(1e3*lost, 1e3*float64(r.Usual), "g")
}

// far tells how far the shop is from where the resin was timed.
func far(in Input, r *Result) fault.Finding {
	const near = 5.0 // K: it moves a time by a third to a half, and the range of E by 4 %
	if r.Cup == nil || r.Cup.Away == nil || float64(*r.Cup.Away) <= near || len(r.Pots) == 0 || r.Pots[0].LifeLow == nil {
		return fault.Finding{}
	}
	p := r.Pots[0]
	return fault.Finding{Severity: fault.Note, Code: "times-extrapolated",
		What: fmt.Sprintf("The shop is %.0f K from the temperatures this resin was timed at.", float64(*r.Cup.Away)),
		Why:  fmt.Sprintf("A pot's life of %.0f min may be %.0f to %.0f min.", float64(*p.Life)/60, float64(*p.LifeLow)/60, float64(*p.LifeHigh)/60),
		Do:   "Time the gel of a cup and of a film in your shop, and write them down under shop: gel_cups."}.
		Against(float64(*r.Cup.Away), near, "K")
}

func noLaw(in Input) fault.Finding {
	if in.Law != nil {
		return fault.Finding{}
	}
	return fault.Finding{Severity: fault.Note, Code: "pots-without-clock",
		What: "How long a pot lives is not known.",
		Why:  "The resin's record has neither kinetics nor a data sheet's times.",
		Do:   "Add the pot life and the film's gel time from its data sheet."}
}

func noRatio(in Input) fault.Finding {
	if in.Mix.Resin > 0 {
		return fault.Finding{}
	}
	return fault.Finding{Severity: fault.Note, Code: "no-mixing-ratio",
		What: "Resin and hardener are not told apart.", Why: "The resin's record has no mixing ratio.",
		Do: "Add mix: {resin: 100, hardener: ...}, parts by mass, from its data sheet."}
}
