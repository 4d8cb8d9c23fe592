package job

import (
	"fmt"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/bag"
	"laywright/internal/stage/laminate"
	"laywright/internal/stage/mould"
)

// stood holds the mould against the vacuum and the cure, which come after it.
func (p *Plan) stood() {
	if p.Mould == nil || p.Mould.Stand == nil || p.Bag == nil {
		return
	}
	c := mould.Service{Vacuum: p.Bag.Used, Barometer: p.Bag.Barometer, Shop: p.Spec.Shop.temperature(), Part: p.gripping()}
	if s := p.Spec.Bag; s != nil {
		c.Envelope = s.Style == bag.Envelope
	}
	c.Course, c.Hottest = p.onMould()
	p.Stood = p.Mould.Under(c)
}

// onMould is the cure until the part comes off its mould, and the hottest of air
// and laminate until then.
func (p *Plan) onMould() (c mould.Course, hottest si.Temperature) {
	if p.Cure == nil || p.Cure.Gel == nil {
		return c, 0
	}
	h := p.Cure.History
	c.Gel = *p.Cure.Gel
	for i, t := range h.Time {
		if p.Cure.OffMould != nil && t > float64(*p.Cure.OffMould) {
			break
		}
		c.Time, c.Temperature, c.Tg = append(c.Time, t), append(c.Temperature, h.Temperature[i]), append(c.Tg, h.Tg[i])
		hottest = max(hottest, h.Temperature[i], h.Air[i])
	}
	return c, hottest
}

// Margin on what a core bears under the vacuum: below tight it is told, below 1 it
// stops. The records' strengths spread by some 15 %, and what they bear for hours is
// assumed in most.
const coreTight = 1.5

// Shares taken of a core's strength where its record has none: those of the weakest
// records. Judgement.
const (
	coreLeft    = 0.5
	coreLasting = 0.4
)

// crushed holds the cores against the vacuum, which presses on them through the skins
// while the cure is hot.
func (p *Plan) crushed() (out []fault.Finding) {
	if p.Bag == nil || p.Laminate == nil {
		return nil
	}
	_, hottest := p.onMould()
	hottest = max(hottest, p.Spec.Shop.temperature())
	told := map[string]bool{}
	for _, layer := range p.Laminate.Layers {
		c, known := p.records.Cores[layer.Name]
		if layer.Kind != laminate.CoreLay || !known || told[layer.Name] || !c.Compression.Known {
			continue
		}
		told[layer.Name] = true
		bears := mould.Matter{Compression: c.Compression.Value, Left: float64(c.LeftAtLimit.Or(coreLeft)),
			Lasting: float64(c.Lasting.Or(coreLasting)), Limit: c.Limit.Or(0)}.Crush(hottest)
		if bears >= coreTight*p.Bag.Used {
			continue
		}
		f := fault.Finding{Stage: "bag", Severity: fault.Caution, Code: "core-crushed",
			What: fmt.Sprintf("The vacuum may crush the core %s: at %s it bears %.0f kPa for hours, and %.0f kPa press on it.", layer.Name, p.show(hottest), 1e-3*float64(bears), 1e-3*float64(p.Bag.Used)),
			Why:  "warm foam creeps for hours under less than it bears for a minute, and above its limit nothing is counted on",
			Do:   "ease the vacuum, cure cooler while it is on, take it off once the resin has gelled before the heat, or use a denser core"}
		if bears < p.Bag.Used {
			f.Severity = fault.Stop
		}
		out = append(out, f.Against(1e-3*float64(bears), 1e-3*coreTight*float64(p.Bag.Used), "kPa"))
	}
	return out
}

// gripping is the cured wall as it lies round its mould.
func (p *Plan) gripping() (w mould.Wall) {
	l := p.Laminate
	if l == nil || l.AlphaX == nil || l.AlphaY == nil || l.Ex == nil || l.Ey == nil {
		return w
	}
	return mould.Wall{Expansion: (*l.AlphaX + *l.AlphaY) / 2, E: (*l.Ex + *l.Ey) / 2, Thickness: l.Thickness, Known: true}
}
