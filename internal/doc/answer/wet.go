package answer

import (
	"errors"
	"fmt"
	"strings"

	"laywright/internal/base/fault"
	base "laywright/internal/base/resin"
	"laywright/internal/base/si"
	"laywright/internal/stage/laminate"
	"laywright/internal/stage/wetout"
)

var errNoWetout = errors.New("the plan has no wet-out: tell an area and its cloth")

// resin answers how much to mix and where it goes.
func resin(a *Answer, t teller) error {
	p := t.plan
	w := p.Wetout
	if w == nil || p.Laminate == nil || p.Mould == nil {
		return errNoWetout
	}
	mix := "Mix " + t.weight(w.ToMix)
	if w.Hardener != nil {
		mix += fmt.Sprintf(": %s of resin and %s of hardener", grams(*w.Resin), grams(*w.Hardener))
	}
	if w.HardenerVol != nil {
		mix += fmt.Sprintf(" (%s and %s)", millilitres(*w.ResinVolume), millilitres(*w.HardenerVol))
	}
	a.Says = append(a.Says, mix+".", fmt.Sprintf("For %s of %s, in %s of %s.", t.area(p.Mould.Area), t.stack(),
		fault.Count(len(w.Pots), "pot", "pots"), grams(w.Pots[0].Mass)))
	a.clothRows(t)
	taken := w.ResinInPart + w.Absorbed
	if w.Absorbed > 0 {
		a.row("peel ply", "%s = area · %.0f g/m²", grams(w.Absorbed), 1000*float64(w.Absorbed)/float64(p.Mould.Area))
	}
	a.row("cup, brush, films", "%s = %s of both", grams(w.ToMix-taken), percent(float64(w.ToMix/taken-1)))
	a.row("to mix", "%s = %s + %s + %s", grams(w.ToMix), grams(w.ResinInPart), grams(w.Absorbed), grams(w.ToMix-taken))
	if w.Hardener != nil {
		a.row("hardener", "%s = %s · %.3g/(100 + %.3g), by volume %s", grams(*w.Hardener), grams(w.ToMix), 100*float64(*w.Hardener / *w.Resin), 100*float64(*w.Hardener / *w.Resin), parts(w.ByVolume))
	}
	a.bleederRow(t)
	return nil
}

func parts(byVolume *float64) string {
	if byVolume == nil {
		return "not known"
	}
	return fmt.Sprintf("100:%.3g", *byVolume)
}

func millilitres(v si.Volume) string { return fmt.Sprintf("%.0f mL", 1e6*float64(v)) }

// stack names the plies, equal neighbours together.
func (t teller) stack() string {
	var words []string
	layers := t.plan.Laminate.Layers
	for i := 0; i < len(layers); {
		n := 1
		for i+n < len(layers) && layers[i+n].Name == layers[i].Name {
			n++
		}
		words = append(words, fmt.Sprintf("%d × %s", n, layers[i].Name))
		i += n
	}
	return strings.Join(words, ", ")
}

// clothRows are the cloth and the resin that stays in it.
func (a *Answer) clothRows(t teller) {
	p := t.plan
	dry, wet := si.ArealMass(0), si.ArealMass(0)
	ratios := map[string]bool{}
	var origins []string
	for _, l := range p.Laminate.Layers {
		dry, wet = dry+l.Fibre, wet+l.Resin
		if l.Kind == laminate.Cloth && !ratios[l.Name] {
			ratios[l.Name] = true
			origins = append(origins, fmt.Sprintf("%.2f for %s (%s)", float64(l.Resin/l.Fibre), l.Name, t.ratioFrom(l.Name)))
		}
	}
	a.row("cloth", "%s = %s · %s", grams(p.Wetout.Cloth), t.area(p.Mould.Area), show(t, dry, 3))
	a.row("resin in it", "%s = %s · %.2f; resin to cloth %s", grams(p.Wetout.ResinInPart), grams(p.Wetout.Cloth), float64(wet/dry), short(origins, 2))
}

// ratioFrom is how the resin that goes with a cloth is known.
func (t teller) ratioFrom(cloth string) string {
	if s := t.plan.Spec.Laminate; s.ResinRatio != nil || s.FibreFraction != nil {
		return "told"
	}
	return known(t.plan.Fabric(cloth).ResinRatio)
}

// short joins the first words of a list and counts the rest.
func short(list []string, most int) string {
	if len(list) <= most {
		return strings.Join(list, ", ")
	}
	return strings.Join(list[:most], ", ") + fmt.Sprintf(" and %d more", len(list)-most)
}

func (a *Answer) bleederRow(t teller) {
	b := t.plan.Bag
	if b == nil || b.Fraction == 0 {
		return
	}
	a.row("bleeder takes", "%s of it out again: under %s the cloth is pressed to %s fibre [gutowski1987]", grams(b.Bled), gauge(b.Used), percent(b.Fraction))
}

func (a *Answer) row(name, format string, x ...any) {
	a.Working = append(a.Working, Row{name, fmt.Sprintf(format, x...)})
}

// mass answers what the part weighs.
func mass(a *Answer, t teller) error {
	p := t.plan
	if p.Mass == nil || p.Laminate == nil {
		return errNoWetout
	}
	thick := p.Laminate.Thickness
	if p.Bag != nil && p.Bag.Thickness > 0 {
		thick = p.Bag.Thickness
	}
	a.Says = append(a.Says, fmt.Sprintf("The part weighs %s, from %s to %s, and is %s thick.", t.weight(*p.Mass), grams(*p.MassLow), grams(*p.MassHigh), show(t, thick, 2)),
		fmt.Sprintf("%s of %s.", t.area(p.Mould.Area), t.stack()))
	a.clothRows(t)
	bled := si.Mass(0)
	if p.Bag != nil {
		bled = p.Bag.Bled
	}
	a.row("part", "%s = %s + %s − %s bled", grams(*p.Mass), grams(p.Wetout.Cloth), grams(p.Wetout.PartMass-p.Wetout.Cloth), grams(bled))
	a.bleederRow(t)
	a.row("thickness", "%s as laid, %s pressed: cloth mass over fibre density and fibre share, the sum of the plies", show(t, p.Laminate.Thickness, 2), show(t, thick, 2))
	a.row("range", "cloth differs by its record's spread, a hand's resin ratio by 10 %% (assumed); squares add")
	a.row("left out", "filler, paint, inserts, fasteners")
	return nil
}

// cups answers how many pots, or what one cup does.
func cups(a *Answer, t teller) error {
	w := t.plan.Wetout
	if w == nil || len(w.Pots) == 0 {
		return errNoWetout
	}
	if w.Cup == nil {
		return errors.New("the resin's record does not say how fast it cures; add its data sheet's pot life")
	}
	name, record, law, err := t.plan.Resin()
	if err != nil {
		return err
	}
	s := w.Cup
	if w.Cloth > 0 {
		a.potsOf(t)
	} else {
		a.Says = append(a.Says, t.smokes(*s)+fmt.Sprintf(" It is %s of %s in air of %s.", t.weight(s.Mass), name, t.warm(s.Air)))
		switch life := w.Pots[0].Life; {
		case life == nil:
		case *life == 0:
			a.Says = append(a.Says, "It is at "+t.warm(si.Celsius(40))+" from the start: there is no time in a cup.")
		default:
			a.Says = append(a.Says, fmt.Sprintf("Have it out of the cup within %s: %s of the %s to gel or %s.", span(*w.Pots[0].UseBefore), percent(float64(*w.Pots[0].UseBefore / *life)), span(*life), t.warm(si.Celsius(40))))
		}
	}
	a.Says = append(a.Says, t.harmless(*s))
	marks := fmt.Sprintf("peak %s after %s", t.hottest(s.Peak), span(s.PeakAt))
	if s.Gel != nil {
		marks = fmt.Sprintf("gels after %s, ", span(*s.Gel)) + marks
	}
	if s.To50 != nil {
		marks = fmt.Sprintf("passes %s after %s, ", t.warm(si.Celsius(50)), span(*s.To50)) + marks
	}
	a.row("left standing", "%s", marks)
	a.row("heat balance", "m·c·dT/dt = m·H·dα/dt − UA·(T − T air), one lump [semenov1928]")
	a.row("with", "m %s, H %.0f J/g (%s), c %.0f J/(kg·K) (%s), UA 0.11·(m/100 g)^⅔ = %.2g W/K ±35 %%", grams(s.Mass), float64(law.Heat)/1000, known(record.HeatOfReaction),
		float64(law.Cp), known(record.Cp), float64(base.CupLoss(s.Mass)))
	a.row("pace", "%s", t.pace())
	return nil
}

// potsOf tells the pots of a part and when each is mixed and empty.
func (a *Answer) potsOf(t teller) {
	w := t.plan.Wetout
	a.Says = append(a.Says, fmt.Sprintf("%s of %s each, %s in all, at %s.", fault.Count(len(w.Pots), "pot", "pots"), t.weight(w.Pots[0].Mass), grams(w.ToMix), t.warm(w.Cup.Air)))
	first := w.Pots[0]
	if first.Life != nil {
		a.Says = append(a.Says, fmt.Sprintf("A pot lives %s in its cup, to gel or %s; have it out within %s.", span(*first.Life), t.warm(si.Celsius(40)), span(*first.UseBefore)))
	}
	const most = 4
	if n := len(w.Pots); n > most {
		a.row(fmt.Sprintf("pots 1 to %d", n), "mix one every %s", span(w.Pots[1].At))
		return
	}
	for i, pot := range w.Pots {
		text := "mix at once"
		if pot.At > 0 {
			text = "mix after " + span(pot.At)
		}
		if pot.UseBefore != nil {
			text += ", out of the cup by " + span(*pot.UseBefore)
		}
		a.row(fmt.Sprintf("pot %d", i+1), "%s", text)
	}
}

// smoke is where a cup smokes and melts, as [wetout] has it.
const smoke = 150

func (t teller) smokes(s wetout.Cup) string {
	switch {
	case s.Peak.Celsius() > smoke:
		return fmt.Sprintf("Yes, it will smoke: left standing it passes %s.", t.warm(si.Celsius(smoke)))
	case s.RunsOff != nil:
		return fmt.Sprintf("It runs hot, to some %s, short of smoking.", t.warm(s.Peak))
	}
	return fmt.Sprintf("No: left standing it peaks at some %s.", t.warm(s.Peak))
}

// hottest does not print a peak that no cup reaches: it boils and chars first.
func (t teller) hottest(peak si.Temperature) string {
	if peak.Celsius() > smoke {
		return "past " + t.warm(si.Celsius(smoke))
	}
	return "some " + t.warm(peak)
}

// harmless says what may stand, in a cup and in a tray.
func (t teller) harmless(s wetout.Cup) string {
	text := "No cup of it may be left alone in air this warm"
	switch {
	case s.SafeAny:
		return "No cup of it runs off in air this cool."
	case s.SafeMass != nil && *s.SafeMass >= s.Mass:
		return fmt.Sprintf("Up to some %s may stand in one cup and will not run off.", grams(*s.SafeMass))
	case s.SafeMass != nil:
		text = fmt.Sprintf("Sure not to run off: some %s in a cup", grams(*s.SafeMass))
	}
	if s.Tray == nil {
		return text + ", nor a tray of it: cool the shop."
	}
	text += fmt.Sprintf("; poured into a tray it may lie up to %s deep, %s for this pot", show(t, s.Tray.Depth, 2), t.area(s.Tray.Area))
	if s.Tray.Life != nil {
		text += ", and lives " + span(*s.Tray.Life)
	}
	return text + "."
}
