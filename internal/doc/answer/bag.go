package answer

import (
	"errors"
	"fmt"

	"laywright/internal/base/si"
)

// vacuum answers what a gauge's reading means at the shop.
func vacuum(a *Answer, t teller) error {
	b := t.plan.Bag
	if b == nil {
		return errors.New("the plan has no bag: tell the vacuum")
	}
	if s := t.plan.Spec.Bag; s != nil && s.Vacuum > b.Used {
		a.Says = append(a.Says, gauge(s.Vacuum)+" can't be had here; this is the most there is:")
	}
	a.Says = append(a.Says, fmt.Sprintf("%s on the gauge leaves %s in the bag: %s of what a perfect pump could pull here.", gauge(b.Used), gauge(b.Absolute), percent(b.Share)),
		fmt.Sprintf("It presses with %s, %s.", show(t, b.Used, 3), t.weightOf(b.Used)),
		fmt.Sprintf("Water in cloth, core or mould boils above %s under it.", t.warm(b.WaterBoils)),
		fmt.Sprintf("Leak check: with the valve shut the gauge may fall %s in %s.", gauge(b.LeakLimit), span(b.LeakTime)))
	from := "the standard air of sea level [us-std-atm-1976]"
	switch s := t.plan.Spec.Shop; {
	case s.Barometer > 0:
		from = "as read in the shop"
	case s.Elevation != 0:
		from = "the standard air at " + show(t, s.Elevation, 4) + " [us-std-atm-1976]; weather moves it by 3 %"
	}
	a.row("air outside", "%s, %s", gauge(b.Barometer), from)
	a.row("in the bag", "%.1f − %.1f = %.1f inHg absolute", inHg(b.Barometer), inHg(b.Used), inHg(b.Absolute))
	a.row("share", "%.1f/%.1f", inHg(b.Used), inHg(b.Available))
	a.row("water boils", "where its vapour has %.1f kPa [alduchov1996]", float64(b.Absolute)/1000)
	if v := b.VoidPressure; v != nil {
		word := "below the bag's, none grow"
		if *v > b.Absolute {
			word = "above the bag's: they grow"
		}
		a.row("bubbles in resin", "moisture it took up from the air presses with %.1f kPa at %s, %s [kardos1986]", float64(*v)/1000, t.warm(t.plan.Spec.Shop.Temperature), word)
	}
	a.row("leak check", "[tm1-1500-204-23-11]; 22 inHg is the least [ac43.13-1b]")
	return nil
}

func inHg(p si.Pressure) float64 { return float64(p / si.InchOfMercury) }

// weightOf is a pressure as a weight on an area that a person can picture.
func (t teller) weightOf(p si.Pressure) string {
	if t.system == si.US {
		return fmt.Sprintf("%.0f lb on a square foot", 144*si.In(p, "psi"))
	}
	const gravity = 9.80665
	return fmt.Sprintf("%.1f t on a square metre", float64(p)/gravity/1000)
}
