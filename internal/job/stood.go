package job

import (
	"laywright/internal/base/si"
	"laywright/internal/stage/bag"
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

// gripping is the cured wall as it lies round its mould.
func (p *Plan) gripping() (w mould.Wall) {
	l := p.Laminate
	if l == nil || l.AlphaX == nil || l.AlphaY == nil || l.Ex == nil || l.Ey == nil {
		return w
	}
	return mould.Wall{Expansion: (*l.AlphaX + *l.AlphaY) / 2, E: (*l.Ex + *l.Ey) / 2, Thickness: l.Thickness, Known: true}
}
