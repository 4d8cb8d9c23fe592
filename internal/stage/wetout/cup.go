package wetout

import (
	"strings"

	"go.yaml.in/yaml/v4"
	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/num"
	"laywright/internal/base/resin"
	"laywright/internal/base/si"
)

// CupKind is what resin is mixed and stands in.
type CupKind string

// kinds of cups; the first is taken where a job does not say.
var kinds = []struct {
	name  CupKind
	shape resin.Shape
}{{"plastic cup", resin.PlasticCup}, {"paper cup", resin.PaperCup}, {"foam cup", resin.FoamCup}, {"tin", resin.Tin}, {tray, resin.Tray}}

const tray CupKind = "tray"

// Bind reads one of the kinds' names.
func (k *CupKind) Bind(b *bind.Binder, path string, n *yaml.Node) {
	var names []string
	for _, x := range kinds {
		if names = append(names, string(x.name)); n.Value == string(x.name) {
			*k = x.name
			return
		}
	}
	b.Fail(path, n, "kind is %q; write %s", n.Value, strings.Join(names, ", "))
}

// Forms are the kinds' names.
func (CupKind) Forms() (out []any) {
	for _, x := range kinds {
		out = append(out, string(x.name))
	}
	return out
}

// CupSpec says what resin is mixed in.
type CupSpec struct {
	Kind     CupKind        `yaml:"kind"`
	Diameter si.Length      `yaml:"diameter" least:"0.02" most:"0.6"`  // of a cup, inside; 0: the resin stands two thirds as deep as it is wide
	Depth    si.Length      `yaml:"depth" least:"0.001" most:"0.2"`    // of the resin in a tray; 0: usual
	Start    si.Temperature `yaml:"start" least:"273.15" most:"313.1"` // of the mix; 0: as the shop
}

// usualTray is how deep resin is poured into a tray (common practice, no source).
const usualTray si.Length = 0.005

func (c CupSpec) check() error {
	switch {
	case c.Kind == tray && c.Diameter > 0:
		return &fault.Input{Field: "wetout.cup.diameter", What: "is of a cup, and a tray stands there", Do: "give the depth of the resin in the tray, like depth: \"10 mm\""}
	case c.Kind != tray && c.Depth > 0:
		return &fault.Input{Field: "wetout.cup.depth", What: "is of a tray; in a cup it follows from the mass", Do: "write kind: tray, or give the cup's diameter"}
	}
	return nil
}

func (c CupSpec) vessel() resin.Vessel {
	v := resin.Vessel{Diameter: c.Diameter, Depth: c.Depth}
	for _, k := range kinds {
		if k.name == c.Kind {
			v.Shape = k.shape
		}
	}
	if v.Shape == resin.Tray && v.Depth == 0 {
		v.Depth = usualTray
	}
	return v
}

// Cup is what becomes of the first pot if it is left standing as mixed, and how
// much may stand at the shop's temperature. What does not come to pass is absent.
type Cup struct {
	Kind     CupKind                   `json:"kind"`
	Mass     si.Mass                   `json:"mass_kg"`
	Air      si.Temperature            `json:"air_degC"`
	Start    si.Temperature            `json:"start_degC"` // of the mix
	Gel      *si.Time                  `json:"gel_s,omitempty"`
	To40     *si.Time                  `json:"until_40_degC_s,omitempty"`
	To50     *si.Time                  `json:"until_50_degC_s,omitempty"`
	Peak     si.Temperature            `json:"peak_degC"` // a warning, not a promise
	PeakAt   si.Time                   `json:"peak_at_s"`
	RunsOff  *si.Time                  `json:"runs_off_s,omitempty"`      // it is 40 K warmer than air and fresh mix
	SafeMass *si.Mass                  `json:"safe_mass_kg,omitempty"`    // the largest that does not run off in this vessel
	SafeAny  bool                      `json:"safe_any_mass,omitempty"`   // SafeMass is the most that was looked at
	Laying   *si.Mass                  `json:"laying_mass_kg,omitempty"`  // the largest pot that is down before its time is over
	Tray     *TrayCup                  `json:"tray,omitempty"`            // in a tray instead of a cup; absent where it runs off however shallow
	Away     *si.TemperatureDifference `json:"from_readings_K,omitempty"` // how far the shop is from the temperatures the resin was timed at
	Trace    resin.Trace               `json:"trace"`                     // as far as 150 degC
}

// TrayCup is resin poured into a tray at once.
type TrayCup struct {
	Depth si.Length `json:"depth_m"` // the deepest that does not run off
	Area  si.Area   `json:"area_m2"` // that the pot covers then
	Life  *si.Time  `json:"life_s,omitempty"`
}

// Ends of what is looked at for a mass and a depth that stays tame.
const (
	leastTame, mostTame si.Mass   = 0.001, 5
	leastDeep, mostDeep si.Length = 0.001, 0.100
	tracePoints                   = 60
)

// stands watches the first pot and looks for what may stand tonight.
func (r *Result) stands(in Input) error {
	if in.Law == nil || len(r.Pots) == 0 {
		return nil
	}
	v, start := in.Spec.Cup.vessel(), in.start()
	out := Cup{Kind: in.Spec.Cup.Kind, Mass: r.Pots[0].Mass, Air: in.Shop, Start: start}
	if out.Kind == "" {
		out.Kind = kinds[0].name
	}
	pot, trace, err := in.Law.Trace(in.cup(out.Mass), tracePoints)
	if err != nil {
		return err
	}
	out.Gel, out.To40, out.To50, out.RunsOff, out.Trace = pot.Gel, pot.To40, pot.To50, pot.RunsAt, trace
	out.Peak, out.PeakAt = pot.Peak, pot.PeakAt
	if v.Shape != resin.Tray {
		safe, err := in.Law.Tame(v, in.Shop, start, leastTame, mostTame)
		if err != nil {
			return err
		}
		if safe > 0 {
			out.SafeMass, out.SafeAny = &safe, safe == mostTame
		}
	}
	if out.Tray, err = in.tray(out.Mass); err != nil {
		return err
	}
	if out.Laying, err = r.laid(in); err != nil {
		return err
	}
	if in.Law.Fit != nil && len(in.Law.Fit.Readings) > 0 {
		away := in.Law.Fit.Away(in.Shop)
		out.Away = &away
	}
	r.Cup = &out
	return r.ranges(in)
}

// ranges puts on the pots' life and on the film's gel what the data sheet leaves open.
// No pot may be used for longer than it is sure to live.
func (r *Result) ranges(in Input) error {
	var lives, gels []si.Time
	for i := range in.Ends {
		pot, err := in.Ends[i].Watch(in.cup(r.Pots[0].Mass))
		if err != nil {
			return err
		}
		if t, ok := pot.Life(); ok {
			lives = append(lives, t)
		}
		t, ok, err := in.Ends[i].GelTime(in.Shop)
		if err != nil {
			return err
		}
		if ok {
			gels = append(gels, t)
		}
	}
	if len(lives) > 0 && r.Pots[0].Life != nil {
		low, high := resin.Span(*r.Pots[0].Life, lives)
		for i := range r.Pots {
			p := &r.Pots[i]
			p.LifeLow, p.LifeHigh = &low, &high
			before := min(*p.UseBefore, p.At+low)
			p.UseBefore = &before
		}
	}
	if len(gels) > 0 && r.FilmGel != nil {
		low, high := resin.Span(*r.FilmGel, gels)
		r.FilmGelLow, r.FilmGelHigh = &low, &high
	}
	return nil
}

// tray is the deepest tray that does not run off, how much of it a pot takes, and how
// long resin lives in it.
func (in Input) tray(pot si.Mass) (*TrayCup, error) {
	deep, err := in.Law.TameDepth(in.Shop, in.start(), leastDeep, mostDeep)
	if err != nil || deep == 0 {
		return nil, err
	}
	const some si.Mass = 0.1 // a wide tray: its mass does not matter
	v := resin.Vessel{Shape: resin.Tray, Depth: deep}
	flat, err := in.Law.Watch(resin.Cup{Mass: some, Air: in.Shop, Start: in.start(), Loss: v.Loss(some, in.Law.Density)})
	out := TrayCup{Depth: deep, Area: si.Area(float64(pot) / float64(in.Law.Density) / float64(deep))}
	if life, ok := flat.Life(); ok {
		out.Life = &life
	}
	return &out, err
}

// cup is a pot of that mass as it is mixed.
func (in Input) cup(m si.Mass) resin.Cup {
	return resin.Cup{Mass: m, Air: in.Shop, Start: in.start(), Loss: in.Spec.Cup.vessel().Loss(m, in.Law.Density)}
}

func (in Input) start() si.Temperature {
	if in.Spec.Cup.Start > 0 {
		return in.Spec.Cup.Start
	}
	return in.Shop
}

// layingWithin is how finely the largest pot is found.
const layingWithin = 0.01

// laid is the largest pot, up to the whole mix, that is down within its share of
// its life: what a gram takes to lay is that of the whole, shared out evenly.
func (r *Result) laid(in Input) (*si.Mass, error) {
	work := laying(in) / float64(r.ToMix)
	m, err := num.Largest(min(smallest, float64(r.ToMix)), float64(r.ToMix), layingWithin, func(m float64) (bool, error) {
		pot, err := in.Law.Watch(in.cup(si.Mass(m)))
		life, ok := pot.Life()
		return !ok || work*m <= inHand*float64(life), err
	})
	if err != nil || m == 0 {
		return nil, err
	}
	mass := si.Mass(m)
	return &mass, nil
}
