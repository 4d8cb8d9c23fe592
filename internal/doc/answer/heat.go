package answer

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"laywright/internal/base/si"
)

// heat answers how warm a heater's air gets.
func heat(a *Answer, t teller) error {
	d := t.plan.Duty
	if d == nil || d.Heater == nil {
		return errors.New("the plan has no heater")
	}
	h, in := d.Heater, t.plan.Spec.Duty.Heater.Liquid.Inlet
	a.Says = append(a.Says, fmt.Sprintf("The air leaves at %s: %s of heat (%s to %s), the liquid at %s.", t.warm(h.AirOut), t.power(h.Heat), kilowatts(h.HeatLow), kilowatts(h.HeatHigh), t.warm(h.LiquidOut)))
	var table []string
	for _, r := range h.PassTable[:min(4, len(h.PassTable))] {
		text := fmt.Sprintf("%d: %s", r.Passes, t.warm(r.AirOut))
		if r.Loss != nil {
			text += fmt.Sprintf(" for %.0f Pa", float64(*r.Loss))
		}
		table = append(table, text)
	}
	a.Says = append(a.Says, "By passes through the core: "+strings.Join(table, ", ")+".")
	rise := float64(h.AirOut - h.AirIn)
	a.row("heat", "%s = %.3g kg/s · %.4g J/(kg·K) · %.1f K", kilowatts(h.Heat), float64(h.AirFlow), float64(h.Heat)/float64(h.AirFlow)/rise, rise)
	a.row("effectiveness", "%.3f of the most that could pass from %s to %s; no arrangement betters %.3f", h.Effectiveness, t.warm(in), t.warm(h.AirIn), h.Best)
	core := "by its fins' published j and f [chang-wang1997]; ± 20 %"
	if t.plan.Spec.Duty.Heater.Core.Rated != nil {
		core = "as told, for this air flow"
	}
	a.row("core", "UA %.3g W/K, NTU %.2f [kays-london1984]; %s", float64(h.UA), h.NTU, core)
	if h.Loss != nil {
		a.row("air pressure", "%.0f Pa (%.2g inH2O) through box and core is what ram or a blower must give", float64(*h.Loss), si.In(*h.Loss, "inH2O"))
	}
	return nil
}

// power is in kilowatts, and in BTU an hour where the flags were US.
func (t teller) power(p si.Power) string {
	text := kilowatts(p)
	if t.system == si.US {
		text += fmt.Sprintf(" or %.0f BTU/h", 100*math.Round(si.In(p, "BTU/h")/100))
	}
	return text
}

func kilowatts(p si.Power) string { return fmt.Sprintf("%.2f kW", float64(p)/1000) }
