package wetout

import (
	"fmt"

	"laywright/internal/base/air"
	"laywright/internal/base/fault"
)

// Limits of the air. Ground nearer than 3 K to the dew point takes up water
// [iso8502-4]. Amines draw water and carbon dioxide below 20 degC or above 70 %
// humidity (trade guides to laying epoxies).
const (
	dewRoom    = 3.0
	blushBelow = 273.15 + 20
	dampest    = 0.70
)

// damp notes the dew point.
func (r *Result) damp(in Input) {
	if in.Humidity > 0 {
		dew := air.DewPoint(in.Shop, in.Humidity)
		r.DewPoint = &dew
	}
}

func humid(in Input) fault.Finding {
	if in.Humidity <= dampest {
		return fault.Finding{}
	}
	return fault.Finding{Severity: fault.Caution, Code: "shop-too-humid", What: "The air is too damp for an amine-cured resin.",
		Why: "Hardener takes up water and carbon dioxide: a greasy film forms, and bonds to it fail.",
		Do:  "Heat or dry the air; burn no gas or paraffin in the shop; wash the cured face with water before bonding."}.
		Against(100*in.Humidity, 100*dampest, "%")
}

// blush warns of the greasy film in a cool shop; in a damp one [humid] does.
func blush(in Input) fault.Finding {
	if !in.Amine || float64(in.Shop) >= blushBelow || in.Humidity > dampest {
		return fault.Finding{}
	}
	return fault.Finding{Severity: fault.Note, Code: "amine-blush", What: "In so cool a shop a greasy film may form on the resin.",
		Why: "Slow resin has time to take up water and carbon dioxide from the air, and bonds to the film fail.",
		Do:  "Warm the shop, or wash the cured face with water and an abrasive pad before anything is bonded to it; burn no gas or paraffin in the shop."}.
		Against(in.Shop.Celsius(), blushBelow-273.15, "degC")
}

// dew tells of a mould on which water stands, or soon will.
func dew(in Input, r *Result) fault.Finding {
	if r.DewPoint == nil {
		return fault.Finding{}
	}
	room := float64(in.Mould - *r.DewPoint)
	if room >= dewRoom {
		return fault.Finding{}
	}
	f := fault.Finding{Severity: fault.Caution, Code: "near-dew-point",
		What: fmt.Sprintf("The mould's face is only %.1f K above the dew point.", room),
		Why:  fmt.Sprintf("Air of %.0f %% humidity at %.0f degC lays water on what is colder than %.0f degC: it spoils the resin and keeps it off release film and cloth.", 100*in.Humidity, in.Shop.Celsius(), r.DewPoint.Celsius()),
		Do:   "Warm the mould and keep it overnight in the shop, or dry the air; wet nothing out before it is 3 K warmer than the dew point."}
	if room <= 0 {
		f.Severity, f.What = fault.Stop, "Water settles on the mould's face: it is colder than the dew point."
	}
	return f.Against(in.Mould.Celsius(), r.DewPoint.Celsius()+dewRoom, "degC")
}
