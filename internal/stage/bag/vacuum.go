package bag

import (
	"fmt"
	"math"

	"laywright/internal/base/air"
	"laywright/internal/base/fault"
)

const (
	inHg = 3386.388640341 // Pa, as si.InchOfMercury
	// A sound vane pump and bag leave this much, where the job says nothing of the
	// pump. Common practice, no source.
	usualLeft = 1 * inHg
	// A barometer this far from the standard air of the elevation was set to
	// sea level: weather moves it by 3 % at most.
	barometerRoom = 0.04
	// The least vacuum for a laminate. Source: [ac43.13-1b] 3-4(l), 22 inHg.
	leastVacuum = 22 * inHg
)

// vacuum finds what the pump can pull here and what the plan counts on.
func vacuum(in Input, r *Result) error {
	s := in.Spec
	if err := fault.Check("shop.elevation", float64(in.Elevation), -500, 6000, " m", "shops stand there"); err != nil {
		return err
	}
	standard, _ := air.Standard(in.Elevation)
	r.Barometer = in.Barometer
	if r.Barometer == 0 {
		r.Barometer = standard
	}
	if err := fault.Check("shop.barometer", float64(r.Barometer)/1000, 45, 110, " kPa", "air pressure at the shop"); err != nil {
		return err
	}
	if in.Barometer > 0 && in.Elevation > 0 && math.Abs(float64(in.Barometer/standard)-1) > barometerRoom {
		r.Findings = append(r.Findings, fault.Finding{Stage: "bag", Severity: fault.Caution, Code: "barometer-elevation",
			What: "The barometer does not fit the shop's elevation.",
			Why:  "weather reports give the pressure as it would be at sea level; the pump feels the pressure at the shop",
			Do:   "read a barometer in the shop, or leave shop.barometer out"}.
			Against(float64(in.Barometer)/inHg, float64(standard)/inHg, "inHg"))
	}
	r.Available = r.Barometer
	leaves := s.Pump.leaves()
	switch {
	case s.Vacuum > 0 && s.Absolute > 0:
		return &fault.Input{Field: "bag.absolute", What: "vacuum and absolute are both given", Do: "keep one"}
	case s.Absolute > 0:
		r.Used = r.Barometer - s.Absolute
	case s.Vacuum > 0:
		r.Used = s.Vacuum
	default:
		r.Used = r.Barometer - leaves
	}
	if r.Used <= 0 {
		return &fault.Input{Field: "bag.absolute", What: "the bag's pressure is not below the shop's air pressure", Do: "give a smaller absolute pressure"}
	}
	if most := r.Barometer - leaves; r.Used > most {
		r.Findings = append(r.Findings, fault.Finding{Stage: "bag", Severity: fault.Stop, Code: "vacuum-not-there",
			What: "That much vacuum can't be had at this shop.",
			Why:  fmt.Sprintf("the gauge reads against the air outside, and there is less of it here than at sea level; the pump leaves %.2g inHg in the bag", float64(leaves)/inHg),
			Do:   "plan on less: the result below counts on the most that is there"}.
			Against(float64(r.Used)/inHg, float64(most)/inHg, "inHg"))
		r.Used = most
	}
	r.Absolute = r.Barometer - r.Used
	if float64(r.Used) < leastVacuum*(1-1e-6) { // "22 inHg" is enough
		r.Findings = append(r.Findings, fault.Finding{Stage: "bag", Severity: fault.Note, Code: "low-vacuum",
			What: "The vacuum is below the 22 inHg that repair practice asks for.",
			Why:  "less pressure leaves thicker, wetter cloth; the loss below 20 inHg is small for thin parts",
			Do:   "check pump and bag for leaks; at a high shop it may be all there is"}.
			Against(float64(r.Used)/inHg, leastVacuum/inHg, "inHg"))
	}
	return nil
}
