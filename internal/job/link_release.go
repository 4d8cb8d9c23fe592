package job

import (
	"laywright/internal/base/si"
	"laywright/internal/stage/cure"
	"laywright/internal/stage/laminate"
	"laywright/internal/stage/mould"
	"laywright/internal/stage/mould/release"
)

// warmth is how the wall grows and shrinks, and how warm it gets on its mould, as
// far as the job says before the cure is worked out; nil where the stack says
// nothing.
func (l link) warmth(in laminate.Input, w laminate.Result) *mould.Warmth {
	if w.AlphaX == nil || in.Resin == nil {
		return nil
	}
	out := &mould.Warmth{Gel: l.spec.Shop.temperature(), Room: l.spec.Shop.temperature(), Hottest: l.hottest(),
		Wall: release.Wall{Alpha: (*w.AlphaX + *w.AlphaY) / 2, Fibre: usualResinGrowth, Resin: in.Resin.Alpha.Or(usualResinGrowth)}}
	if w.Ex != nil && w.Ey != nil {
		out.Wall.Stiffness = float64(*w.Ex+*w.Ey) / 2 * float64(w.Thickness)
	}
	for _, layer := range w.Layers { // of several fibres the one that grows least, which carries most
		if f, ok := l.records.Fibres[l.records.Fabrics[layer.Name].Fibre]; ok && layer.Kind == laminate.Cloth {
			out.Wall.Fibre = min(out.Wall.Fibre, f.Alpha1.Or(0))
		}
	}
	return out
}

// usualResinGrowth is that of epoxies below their glass transition (handbook typical).
const usualResinGrowth si.Expansion = 60e-6

// hottest is how warm the part gets on its mould, as far as the job says: by its
// schedule, or what the oven holds, or else the shop; never above what the mould
// stands.
func (l link) hottest() si.Temperature {
	t := l.spec.Shop.temperature()
	c := l.spec.Cure
	switch {
	case c == nil:
	case c.Schedule.Given:
		for _, y := range c.Schedule.Value.Y {
			t = max(t, y)
		}
	case c.In != cure.Room && c.In != "":
		t = max(t, c.Hottest)
	}
	for _, name := range l.spec.Mould.Materials {
		if limit := l.records.Moulds[name].Limit; limit.Known {
			t = min(t, limit.Value)
		}
	}
	return max(t, l.spec.Shop.temperature())
}
