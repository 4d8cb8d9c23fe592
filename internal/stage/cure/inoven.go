package cure

import (
	"context"
	"math"

	"laywright/internal/base/num"
	"laywright/internal/base/si"
)

// InOven is what the oven makes of the schedule, and of the part at its coldest
// and hottest place. Times count from the first mixing.
type InOven struct {
	UA       si.Conductance           `json:"UA_W_per_K"`            // from the air to the shop: walls and leaks
	Capacity si.HeatCapacity          `json:"heat_capacity_J_per_K"` // of air and load, without part and mould
	Ceiling  si.Temperature           `json:"ceiling_degC"`          // where it ends with the heater stuck on
	CutOut   si.Temperature           `json:"cut_out_degC"`          // where the second, independent cut-out belongs
	Asked    si.Temperature           `json:"asked_degC"`            // the hottest of the schedule
	Duty     float64                  `json:"duty"`                  // share of the heater that holds that
	Reach    *si.Time                 `json:"reach_s,omitempty"`     // the air first comes within a kelvin of it
	Late     *si.Time                 `json:"late_s,omitempty"`      // after the schedule asks for it
	Behind   si.TemperatureDifference `json:"behind_K"`              // most that the air was below the schedule
	Gave     si.Energy                `json:"heater_J"`
	Lost     si.Energy                `json:"walls_J"`
	On       *si.Time                 `json:"on_s,omitempty"` // the thermostat's heater, at the hottest hold
	Off      *si.Time                 `json:"off_s,omitempty"`
	Swing    si.TemperatureDifference `json:"swing_K"` // of the part about its mean, by the thermostat
	Cold     *Corner                  `json:"coldest,omitempty"`
	Hot      *Corner                  `json:"hottest,omitempty"`
}

// Corner is the part at one place of the oven.
type Corner struct {
	Gel     *si.Time       `json:"gel_s,omitempty"`
	Demould *si.Time       `json:"demould_s,omitempty"`
	Degree  float64        `json:"degree_of_cure"`
	Tg      si.Temperature `json:"tg_degC"`
	Peak    si.Temperature `json:"peak_degC"`

	gelled bool
}

// places are runs of the part at the middle of the oven, and, where they differ, at
// its coldest and hottest place.
type places struct{ mean, cold, hot *watch }

// everywhere runs the schedule at each place of the oven. seen is that run in the
// middle where it was made already.
func everywhere(ctx context.Context, in Input, ps []piece, exact bool, off float64, seen *watch) (p places, err error) {
	if p.mean = seen; seen == nil {
		if p.mean, err = run(ctx, in, ps, exact, off); err != nil {
			return p, err
		}
	}
	p.cold, p.hot = p.mean, p.mean
	if in.box == nil || in.box.Spread == 0 || !(p.mean.box.top > float64(in.Shop)) {
		return p, nil
	}
	in.place = -1
	if p.cold, err = run(ctx, in, ps, exact, off); err != nil {
		return p, err
	}
	in.place = 1
	p.hot, err = run(ctx, in, ps, exact, off)
	return p, err
}

// near is how close to the hottest hold counts as there, K.
const nearHold = 1.0

// see notes when the air is there, and how far it falls behind.
func (x *boxed) see(w *watch, s *num.Step) {
	w.mark(&x.there, s, func(*view) float64 { return x.air - x.top + nearHold })
	x.behind = math.Max(x.behind, x.set(s.T1())-x.air)
}

// asks returns when the schedule first asks for its hottest.
func (x *boxed) asks(ps []piece) float64 {
	for _, p := range ps {
		switch x.top {
		case p.a:
			return p.t0
		case p.b:
			return p.t1
		}
	}
	return 0
}

// inOven gathers what the oven does.
func inOven(in Input, ps []piece, p places) *InOven {
	x := p.mean.box
	if x == nil {
		return nil
	}
	r := &InOven{UA: si.Conductance(x.UA), Capacity: si.HeatCapacity(x.C), Ceiling: kelvin(x.Ceiling()), Asked: kelvin(x.top),
		Duty: x.Duty(x.top), Reach: seconds(x.there), Behind: si.TemperatureDifference(x.behind),
		Gave: si.Energy(x.gave), Lost: si.Energy(x.went), CutOut: kelvin(x.top + x.Band/2 + x.Spread/2 + cutOutHand)}
	if x.there != nil {
		late := math.Max(0, *x.there-x.asks(ps))
		r.Late = seconds(&late)
	}
	if on, off, ok := x.Cycle(x.top); ok {
		r.On, r.Off = seconds(&on), seconds(&off)
		r.Swing = si.TemperatureDifference(x.Swing(lagging(in), on+off))
	}
	if p.cold != p.mean {
		r.Cold, r.Hot = corner(in, p.cold), corner(in, p.hot)
	}
	return r
}

// cutOutHand is how far above all that is meant to be the second cut-out is set, K:
// near enough to save the part, far enough not to trip by itself (judgement).
const cutOutHand = 8

func corner(in Input, w *watch) *Corner {
	a := min(max(w.least(&w.now), 0), 1)
	return &Corner{Gel: seconds(w.gel), Demould: seconds(w.firm), Degree: a, Tg: in.Law.Glass.Transition(a), Peak: kelvin(w.hottest()), gelled: w.gelled != nil}
}

// lagging is the time constant of the whole stack in the oven's air, s; 0 where it
// follows at once.
//
//	τ = Σρct/Σh
func lagging(in Input) float64 {
	if len(in.Mould) == 0 || !reacts(in.Layers) {
		return 0
	}
	b := newSlab(&in.Law, in.Mould, in.Layers, 1, 1)
	sum := 0.0
	for _, c := range b.cells {
		sum += c.heat * c.size
	}
	return sum / (2 * float64(in.Spec.Air))
}
