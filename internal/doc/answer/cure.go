package answer

import (
	"errors"
	"fmt"

	"laywright/internal/base/si"
	"laywright/internal/stage/cure"
)

var errNoCure = errors.New("the plan has no cure: the resin's record must tell its kinetics or a data sheet's times")

// gel answers whether the shop is warm enough.
func gel(a *Answer, t teller) error {
	c := t.plan.Cure
	if c == nil {
		return errNoCure
	}
	shop := t.warm(c.Schedule.Temperature[0])
	switch {
	case c.Gel != nil:
		a.Says = append(a.Says, fmt.Sprintf("Yes: at %s it gels after %s%s.", shop, span(*c.Gel), rangeOf(c)))
	case c.Left != nil && c.Left.Gel != nil:
		a.Says = append(a.Says, fmt.Sprintf("No: at %s it is still liquid after %s and gels only after %s.", shop, span(c.Total), span(*c.Left.Gel)))
	default:
		a.Says = append(a.Says, fmt.Sprintf("No: at %s it is still liquid after %s, and will not gel in 60 days.", shop, span(c.Total)))
	}
	a.Says = append(a.Says, fmt.Sprintf("After %s it is cured to %s, glass transition %s. %s", span(c.Total), percent(c.Degree), t.warm(c.Tg), t.stands(c)))
	return a.lawRows(t)
}

func rangeOf(c *cure.Result) string {
	if c.GelLow == nil || c.GelHigh == nil {
		return ""
	}
	return fmt.Sprintf(" (%s to %s)", span(*c.GelLow), span(*c.GelHigh))
}

// stands says when it stands by itself.
func (t teller) stands(c *cure.Result) string {
	switch {
	case c.Demould != nil:
		return fmt.Sprintf("It stands by itself from %s on.", span(*c.Demould))
	case c.Left != nil && c.Left.Demould != nil:
		return fmt.Sprintf("Left at %s it stands by itself after %s.", t.warm(c.Left.Air), span(*c.Left.Demould))
	}
	return fmt.Sprintf("Left at %s it does not come to stand by itself in 60 days.", t.warm(c.Left.Air))
}

// demould answers whether the part may come out.
func demould(a *Answer, t teller) error {
	c := t.plan.Cure
	if c == nil {
		return errNoCure
	}
	_, _, law, err := t.plan.Resin()
	if err != nil {
		return err
	}
	last := c.Schedule.Temperature[len(c.Schedule.Temperature)-1]
	if c.Demould != nil {
		a.Says = append(a.Says, fmt.Sprintf("Yes, from %s after mixing on.", span(*c.Demould)))
	} else {
		a.Says = append(a.Says, fmt.Sprintf("Not after %s. %s", span(c.Total), t.stands(c)))
	}
	a.Says = append(a.Says, fmt.Sprintf("At the end: cured to %s, glass transition %s, part %s.", percent(c.Degree), t.warm(c.Tg), t.warm(last)))
	a.row("rule", "all has gelled (%s), and the glass transition is %s above the part: what the data sheet's demould time comes to, 5 K where it has none", percent(law.Gel), t.apart(law.Firm))
	a.row("here", "%s − %s = %s, wanted %s", t.warm(c.Tg), t.warm(last), t.apart(si.TemperatureDifference(c.Tg-last)), t.apart(law.Firm))
	a.Minds = append(a.Minds, "MIND: Try a witness of the same cup with a fingernail before you pull: a part taken off soft creeps and stays bent.")
	return a.lawRows(t)
}

// lawRows are rate and glass transition with the resin's numbers.
func (a *Answer) lawRows(t teller) error {
	_, record, law, err := t.plan.Resin()
	if err != nil {
		return err
	}
	k, c := law.Kinetics, t.plan.Cure
	slowed := ""
	if law.Diffusion != nil {
		slowed = ", slowed near the glass transition"
	}
	a.row("rate of cure", "dα/dt = (k₁ + k₂·%s)·%s%s, k = A·exp(−E/RT), E %.0f kJ/mol [kamal-sourour1973]", power("α", k.M), power("(1−α)", k.N), slowed, float64(max(k.E1, k.E2))/1e3)
	a.row("pace", "%s", t.pace())
	g := law.Glass
	a.row("glass transition", "%.0f + %.0f·λα/(1−(1−λ)α) = %.0f °C, λ %.2g, α %.2f [pascault-williams1990]; full %.0f °C (%s)",
		g.Start.Celsius(), float64(g.Full-g.Start), c.Tg.Celsius(), g.Lambda, c.Degree, g.Full.Celsius(), known(record.Tg.Full))
	return nil
}

func power(base string, n float64) string {
	if n == 1 {
		return base
	}
	return fmt.Sprintf("%s^%.3g", base, n)
}

// pace is what the law's speed comes from.
func (t teller) pace() string {
	name, r, law, err := t.plan.Resin()
	switch {
	case err != nil || law == nil:
		return "not known"
	case r.Sheet == nil:
		return name + ": constants of its record"
	case r.Sheet.FilmGel.Known:
		return fmt.Sprintf("%s: a film gels in %s at %s (%s)", name, span(r.Sheet.FilmGel.Value), t.warm(r.Sheet.FilmAt.Value), known(r.Sheet.FilmGel))
	case r.Sheet.PotLife.Known:
		return fmt.Sprintf("%s: a pot lives %s at %s (%s)", name, span(r.Sheet.PotLife.Value), t.warm(r.Sheet.PotAt.Value), known(r.Sheet.PotLife))
	}
	return fmt.Sprintf("%s: off the mould after %s at %s (%s)", name, span(r.Sheet.Demould.Value), t.warm(r.Sheet.DemouldAt.Value), known(r.Sheet.Demould))
}

// hot answers whether it survives a temperature in service.
func hot(a *Answer, t teller) error {
	c, d := t.plan.Cure, t.plan.Duty
	if c == nil || d == nil || d.Loads == nil || d.Loads.Wall == nil {
		return errNoCure
	}
	name, r, law, err := t.plan.Resin()
	if err != nil {
		return err
	}
	wall := *d.Loads.Wall
	spare := si.TemperatureDifference(c.ServiceLimit - wall)
	if spare >= 0 {
		a.Says = append(a.Says, fmt.Sprintf("Yes: %s may see %s after this cure, %s more than %s.", name, t.warm(c.ServiceLimit), t.apart(spare), t.warm(wall)))
	} else {
		a.Says = append(a.Says, fmt.Sprintf("No: %s may see no more than %s after this cure, %s less than %s.", name, t.warm(c.ServiceLimit), t.apart(-spare), t.warm(wall)))
	}
	if c.Chosen != "" {
		a.Says = append(a.Says, "Cure: "+c.Chosen+".")
	}
	drop := si.TemperatureDifference(c.Tg - c.TgWet)
	a.row("limit", "%s = %s dry after this cure − %s when moist − %s margin [mil-hdbk-17-1f]", t.warm(c.ServiceLimit), t.warm(c.Tg), t.apart(drop), t.apart(cure.ServiceMargin))
	a.row("when moist", "%s lower (%s)", t.apart(drop), known(r.WetDrop))
	a.row("cured through", "%s at most (%s): limit %s", t.warm(law.Glass.Full), known(r.Tg.Full), t.warm(law.Glass.Full-si.Temperature(drop+cure.ServiceMargin)))
	a.row("pace", "%s", t.pace())
	why := "these are values of a class of resin, not of your cup"
	if x := t.plan.Job.Consequence; x != "" {
		why = "here it means: " + x
	}
	a.Minds = append(a.Minds, "MEASURE IT: have the wet glass transition of a coupon measured that was cured beside the part, and the temperature at its place after shut-down, before it flies; "+why+".")
	return nil
}
