package loads

import (
	"math"

	"laywright/internal/base/air"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"

	"gonum.org/v1/gonum/spatial/r3"
)

// What is taken where the loads say nothing.
const (
	// usualFactor is the factor of safety from limit to ultimate load. Source: [cfr14-23-303].
	usualFactor = 1.5
	// suctionShare is the suction taken for a part that is loaded by pressure:
	// half of it. Common practice, no source.
	suctionShare = 0.5
)

// Result is what the part must carry. Loads are limit loads; Factor makes
// them ultimate.
type Result struct {
	Pressure   si.Pressure     `json:"pressure_Pa"` // outward
	Suction    si.Pressure     `json:"suction_Pa"`  // inward, as a size
	Wall       *si.Temperature `json:"wall_temperature_degC,omitempty"`
	Inertia    float64         `json:"inertia_g,omitempty"`
	Handling   si.Force        `json:"handling_N,omitempty"`
	At         *r3.Vec         `json:"-"` // where the hand pushes, m; nil: the weakest place
	Patch      si.Length       `json:"-"` // diameter of what pushes; 0: not told
	Engine     *Engine         `json:"-"`
	Deflection *si.Length      `json:"deflection_limit_m,omitempty"`
	Factor     float64         `json:"factor"`
	Clamp      si.Force        `json:"hose_pull_N,omitempty"`          // that pressure puts on each hose's end
	Radiation  *float64        `json:"radiation_W_per_m2,omitempty"`   // from the exhaust pipe, on the wall as hot as it gets
	Radiated   *si.Temperature `json:"wall_by_exhaust_degC,omitempty"` // where radiation and the bay's air balance
	Cases      []Case          `json:"cases"`
}

// Case is one combination that the part must stand.
type Case struct {
	Name     string          `json:"name"`
	Pressure si.Pressure     `json:"pressure_Pa,omitempty"` // outward positive
	Inertia  float64         `json:"inertia_g,omitempty"`
	Handling si.Force        `json:"handling_N,omitempty"`
	Wall     *si.Temperature `json:"wall_temperature_degC,omitempty"` // absent: shop temperature

	Through si.TemperatureDifference `json:"through_K,omitempty"` // by which the side that lay on the mould is warmer
}

// Own is what the duty itself can do to the part. Its zero value: nothing, by
// standard air at sea level.
type Own struct {
	Pressure float64         // with the valve shut, Pa
	Suction  float64         // with the way in shut, Pa
	Soak     *si.Temperature // of the wall with no air moving; nil: there is no heater
	Bore     float64         // area of the widest duct, m²
	Outside  *Air
}

// Air is the air outside.
type Air struct {
	Pressure    si.Pressure
	Temperature si.Temperature
}

// Of works out what the part must carry, and what to mind about it.
func Of(l Spec, own Own) (Result, []fault.Finding, error) {
	if err := l.check(); err != nil {
		return Result{}, nil, err
	}
	var findings []fault.Finding
	r := Result{Inertia: l.Inertia, Factor: usualFactor, Deflection: l.Deflection, Wall: l.Wall, Engine: l.Engine}
	if l.Factor != nil {
		r.Factor = *l.Factor
	}
	needed := math.Max(own.Pressure, l.aerodynamic(own.Outside))
	r.Pressure = si.Pressure(needed)
	if l.Pressure != nil {
		r.Pressure = *l.Pressure
		if needed > float64(*l.Pressure) {
			findings = append(findings, lowPressure(needed, float64(*l.Pressure)))
		}
	}
	r.Suction = si.Pressure(suctionShare) * r.Pressure
	if l.Suction != nil {
		r.Suction = *l.Suction
		if own.Suction > float64(*l.Suction) {
			findings = append(findings, lowSuction(own.Suction, float64(*l.Suction)))
		}
	} else {
		r.Suction = max(r.Suction, si.Pressure(own.Suction))
	}
	if r.Wall == nil && own.Soak != nil {
		r.Wall = own.Soak
		findings = append(findings, soakAssumed(*own.Soak))
	} else if own.Soak != nil && *l.Wall < *own.Soak {
		findings = append(findings, wallTooCool(*l.Wall, *own.Soak))
	}
	findings = append(findings, r.shineOn(l)...)
	if l.Handling != nil {
		r.Handling, r.Patch = l.Handling.Force, l.Handling.Patch
		if l.Handling.At != nil {
			r.At = &l.Handling.At.V
		}
	}
	r.Clamp = si.Force(float64(r.Pressure) * own.Bore)
	r.Cases = r.cases(l.Through)
	if own.Soak != nil {
		findings = append(findings, l.untold(r.Clamp)...)
	}
	return r, findings, nil
}

// aerodynamic returns C_p·q at the speed never exceeded, compressible, Pa.
func (l Spec) aerodynamic(outside *Air) float64 {
	if l.Speed == 0 {
		return 0
	}
	p, t := air.Standard(0)
	if outside != nil {
		p, t = outside.Pressure, outside.Temperature
	}
	c := si.Fraction(1)
	if l.Coefficient != nil {
		c = *l.Coefficient
	}
	return math.Abs(float64(c)) * float64(air.Impact(p, t, l.Speed))
}

func (l Spec) check() error {
	value := func(p *si.Pressure) float64 {
		if p == nil {
			return 0
		}
		return float64(*p) / 1000
	}
	checks := []error{
		fault.Check("duty.loads.pressure", value(l.Pressure), 0, 1000, " kPa", "outward; write an inward pressure as suction"),
		fault.Check("duty.loads.suction", value(l.Suction), 0, 101, " kPa", "inward, as a size; no more than the air there is"),
		fault.Check("duty.loads.speed", float64(l.Speed), 0, 250, " m/s", "never-exceed speed, well below that of sound"),
		l.Exhaust.check(),
		fault.Check("duty.loads.inertia", l.Inertia, 0, 100, "", "in g"),
	}
	if l.Wall != nil {
		checks = append(checks, fault.Check("duty.loads.wall_temperature", l.Wall.Celsius(), -60, 400, " degC", "-76 to 752 degF: wall of a laminate"))
	}
	if l.Handling != nil {
		checks = append(checks, fault.Check("duty.loads.handling.force", float64(l.Handling.Force), 0, 5000, " N", "a person's hand or foot"))
	}
	if e := l.Engine; e != nil {
		checks = append(checks, fault.Check("duty.loads.engine.from", 60*float64(e.From), 1, 60000, " rpm", "turns of the crankshaft at idle"),
			fault.Check("duty.loads.engine.to", 60*float64(e.To), 60*float64(e.From), 60000, " rpm", "at full power, no less than at idle"))
	}
	if l.Coefficient != nil {
		checks = append(checks, fault.Check("duty.loads.coefficient", float64(*l.Coefficient), -5, 1, "", "pressure coefficient"))
	}
	if l.Deflection != nil {
		checks = append(checks, fault.Check("duty.loads.deflection_limit", float64(*l.Deflection)*1000, 0.01, 500, " mm", "how far the wall may move"))
	}
	if l.Factor != nil {
		checks = append(checks, fault.Check("duty.loads.factor", *l.Factor, 1, 10, "", "limit to ultimate; below 1 is no safety"))
	}
	return first(checks...)
}

// cases lists the combinations, the hot ones with the wall's temperature and its
// difference from side to side.
func (r Result) cases(through si.TemperatureDifference) []Case {
	var out []Case
	add := func(c Case, hot bool) {
		if hot {
			c.Wall, c.Through = r.Wall, through
		}
		out = append(out, c)
	}
	if r.Pressure > 0 {
		add(Case{Name: "pressure, hot", Pressure: r.Pressure}, true)
	}
	if r.Suction > 0 {
		add(Case{Name: "suction, hot", Pressure: -r.Suction}, true)
	}
	if r.Inertia > 0 {
		add(Case{Name: "inertia, hot, under pressure", Pressure: r.Pressure, Inertia: r.Inertia}, true)
	}
	if r.Handling > 0 {
		add(Case{Name: "a hand, cold", Handling: r.Handling}, false)
	}
	if len(out) == 0 && (r.Wall != nil || through != 0) {
		add(Case{Name: "heat alone"}, true)
	}
	return out
}

func first(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
