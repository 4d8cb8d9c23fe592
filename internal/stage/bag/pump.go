package bag

import (
	"fmt"
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// Pump is the vacuum pump.
type Pump struct {
	Limit si.Pressure   `yaml:"limit" above:"0" most:"60000"` // absolute, the least that it leaves
	Speed si.VolumeFlow `yaml:"speed" above:"0" most:"0.1"`   // of air as it is at the pump's mouth
}

// leaves is the least that stays in the bag, absolute.
func (p *Pump) leaves() si.Pressure {
	if p == nil || p.Limit == 0 {
		return usualLeft
	}
	return p.Limit
}

// Leak is a leak check as read from the gauge with the valve shut.
type Leak struct {
	Rise *si.Pressure `yaml:"rise" least:"0" most:"110000"`
	Over si.Time      `yaml:"over" above:"0" most:"86400"`
}

// Acceptance of the leak check: at most 1 inHg in one minute with the valve
// shut. Source: [tm1-1500-204-23-11].
const (
	leakLimit         = si.InchOfMercury
	leakTime  si.Time = 60
	fiveMin   si.Time = 300
	// soundLeak is what a sound bag stays below: 1 inHg in five minutes. Common
	// practice, no source.
	soundLeak = leakLimit / 5
)

// What the air in a bag is counted from, where the job does not give bag.volume.
// Assumed.
const (
	hoseLong                = 3.0   // m
	hoseBore                = 0.008 // m
	catchPot                = 0.5e-3
	looseFilm               = 0.010    // m, the mean height of the film over the breather before the pump runs
	polyester               = 1380.0   // kg/m³
	oneAtm                  = 101325.0 // Pa
	usualFelt  si.Length    = 0.0006
	usualFeltM si.ArealMass = 0.15
)

// nearly is how near to what the plan counts on a bag is drawn down: to get all the
// way takes for ever.
const nearly si.Pressure = si.InchOfMercury / 2

// hoses is the volume of the hose and the catch pot.
const hoses = si.Volume(hoseLong*math.Pi/4*hoseBore*hoseBore + catchPot)

// drawn finds what it takes to draw the bag down, and what it may leak.
func drawn(in Input, r *Result) error {
	r.LeakLimit, r.LeakTime = leakLimit, leakTime
	r.Leak5Min = leakLimit * si.Pressure(fiveMin/leakTime)
	if r.Volume = in.Spec.Volume; r.Volume == 0 && in.Area > 0 {
		r.Volume = in.felt(r) + hoses
	}
	r.LeakFlow = leakFlow(r.Volume, r.LeakLimit, r.LeakTime)
	if p := in.Spec.Pump; p != nil && p.Speed > 0 && r.Volume > 0 {
		t := p.drawsDown(si.Volume(r.BreatherArea)*looseFilm, r.Volume, r.Barometer, r.Absolute+nearly)
		r.PumpDown = &t
	}
	if l := in.Spec.Leak; l != nil {
		return judgeLeak(*l, r)
	}
	return nil
}

// felt is the volume of the air between the fibres of bleeder and breather.
func (in Input) felt(r *Result) (v si.Volume) {
	add := func(areal si.ArealMass, thick si.Length, area si.Area) {
		v += si.Volume(area) * max(0, si.Volume(thick)-si.Volume(areal/polyester))
	}
	add(in.Bleeder.ArealMass.Or(usualFeltM), in.Bleeder.Thickness.Or(usualFelt), r.BleederArea)
	add(in.Breather.ArealMass.Or(usualFeltM), in.Breather.Thickness.Or(usualFelt), r.BreatherArea)
	return v
}

// drawsDown returns how long a pump takes from the barometer p₀ to a pressure p.
//
//	t = V₀/S + V/S·ln( (p₀ − pu)/(p − pu) )
//
// V₀ is the loose air under the film, which goes at p₀ as the film comes down, V the
// air that stays between the fibres, S the pump's speed and pu the least it leaves.
// The temperature stays; S is the same at all pressures, and hose and leaks take
// nothing of it: a lower bound.
//
// Source: [ohanlon2003] for the logarithm.
func (p Pump) drawsDown(loose, v si.Volume, from, to si.Pressure) si.Time {
	least := min(p.Limit, to-nearly)
	return si.Time((float64(loose) + float64(v)*math.Log(float64((from-least)/(to-least)))) / float64(p.Speed))
}

// leakFlow returns the air that a rise of pressure in a volume comes from, as it is
// at one atmosphere.
//
//	Q = V·Δp/Δt / 101325 Pa
//
// The bag keeps its volume and its temperature. Source: [boyle1662].
func leakFlow(v si.Volume, rise si.Pressure, over si.Time) si.VolumeFlow {
	return si.VolumeFlow(float64(v) * float64(rise) / float64(over) / oneAtm)
}

// leastOver is the shortest leak check that a gauge can be read in.
const leastOver = 20 // s

// judgeLeak holds a measured leak against the acceptance. It takes the leak to flow
// evenly, which it does while the bag is far below the air outside; a rise of more
// than half of the vacuum hides how fast it began, and is refused.
func judgeLeak(l Leak, r *Result) error {
	if l.Rise == nil {
		return &fault.Input{Field: "bag.leak.rise", What: "is missing", Do: "write how far the gauge fell, as 0.4 inHg"}
	}
	rise := *l.Rise
	if err := fault.Check("bag.leak.over", float64(l.Over), leastOver, 86400, " s", "long enough to read a gauge"); err != nil {
		return err
	}
	if most := float64(r.Used) / 2; float64(rise) > most {
		return &fault.Range{Field: "bag.leak.rise", Value: float64(rise) / inHg, Min: 0, Max: most / inHg, Unit: " inHg",
			Why: "more than half of the vacuum is lost, which hides how fast it began; read over a shorter time"}
	}
	perMin := rise * si.Pressure(leakTime/l.Over)
	flow := leakFlow(r.Volume, rise, l.Over)
	what := fmt.Sprintf("The bag loses %.2g inHg a minute", float64(perMin)/inHg)
	if r.Volume > 0 {
		r.Leaks = &flow
		what += fmt.Sprintf(", %.2g mL of outside air a minute", 6e7*float64(flow))
	}
	f := fault.Finding{Severity: fault.Note, Code: "leak-passes", What: what + ": it passes.",
		Why: "a bag that loses less than 1 inHg in a minute with the valve shut is accepted (TM 1-1500-204-23-11)",
		Do:  "go on; read it once more before the heat goes on"}
	switch {
	case perMin > leakLimit:
		f.Severity, f.Code, f.What = fault.Stop, "leak-fails", what+": it fails."
		f.Why = "a bag that loses more than 1 inHg in a minute with the valve shut draws air through the laminate (TM 1-1500-204-23-11)"
		f.Do = "listen along tape, pleats, wires and ports, press the tape down, patch the film, and check again before resin is mixed or while it still flows"
	case perMin > soundLeak:
		f.Do = "go on if the gel clock presses; a sound bag loses less than 1 inHg in five minutes, so look for the leak while there is time"
	}
	r.tell(f.Against(float64(perMin)/inHg, float64(leakLimit)/inHg, "inHg"))
	return nil
}
