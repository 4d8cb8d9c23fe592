package job

import (
	"fmt"
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/stage/laminate"
	"laywright/internal/stage/mould"
)

// wall works the laminate out ahead of its turn, for the mould: it needs none. Where
// it has no answer the result is empty, and its own stage tells of it.
func (l link) wall() (in laminate.Input, r laminate.Result) {
	if l.spec.Laminate == nil {
		return in, r
	}
	in, err := l.laminate()
	if err != nil {
		return in, r
	}
	if r, err = laminate.Design(in); err != nil {
		return in, laminate.Result{}
	}
	return in, r
}

// moulded returns what the mould's face is moved by where the part's other side
// is drawn.
func (l link) moulded(r laminate.Result) (w mould.Laminate) {
	w.Shop = l.spec.Shop.temperature()
	w.Thickness = r.Thickness
	if r.AlphaX != nil && r.AlphaY != nil {
		mean := (*r.AlphaX + *r.AlphaY) / 2
		w.Expansion = &mean
	}
	return w
}

// Heights returns the wall's local thickness at each vertex of the laminated
// surface, m: what the pieces laid back on the mould add up to, and the cores and
// measured plies, which lie everywhere. nil where no plies were laid.
func (p Plan) Heights() []float64 {
	if p.Plies == nil || p.Laminate == nil {
		return nil
	}
	even := float64(p.Laminate.Thickness)
	for _, layer := range p.Laminate.Layers {
		if layer.Kind == laminate.Cloth && !layer.Doubler() {
			even -= float64(layer.Thickness)
		}
	}
	out := append([]float64(nil), p.Plies.Relaid.Stack.Thickness...)
	for v := range out {
		out[v] += even
	}
	return out
}

// CarvedFace returns the laminated surface as it is to be carved by machine where
// the part's free side is drawn: deeper where cloth lies double, so that the
// finished side comes out even. ok is false where the mould's own face is all
// there is to carve.
func (p Plan) CarvedFace() (face *mesh.Mesh, ok bool) {
	heights := p.Heights()
	if p.Mould == nil || p.Mould.Fit == nil || p.Mould.Fit.Offset == 0 || heights == nil {
		return nil, false
	}
	f, err := p.Mould.CarvedFor(heights)
	return f.Mesh, err == nil
}

// How far the finished side may stand off the drawn one before it is told, m: a
// coat of paint. And how many millimetres the size may be off for another
// temperature of setting.
const (
	proudRoom = 0.1e-3
	sizeRoom  = 0.1e-3
)

// size holds the finished part against what is drawn.
func (p *Plan) size() (out []fault.Finding) {
	if p.Mould == nil || p.Mould.Fit == nil {
		return nil
	}
	return append(p.proud(), p.setting()...)
}

// proud tells where the finished side stands off the drawn one.
func (p *Plan) proud() []fault.Finding {
	fit, heights := p.Mould.Fit, p.Heights()
	if fit.Offset == 0 || heights == nil {
		return nil
	}
	surface := p.Mould.Surface
	area := surface.VertexAreas()
	most, at, over, whole := 0.0, 0, 0.0, 0.0
	for v, h := range heights {
		whole += area[v]
		stands := h - float64(fit.Wall)
		if stands > proudRoom {
			over += area[v]
		}
		if stands > most {
			most, at = stands, v
		}
	}
	if !(most > proudRoom) {
		return nil
	}
	q := surface.Vertices[at]
	return []fault.Finding{fault.Finding{Stage: "plies", Severity: fault.Note, Code: "stands-proud",
		What: fmt.Sprintf("Where cloth lies double the finished side stands up to %.2f mm proud of the drawn one, most near (%.0f, %.0f, %.0f) mm; by more than %.1f mm over %.0f %% of it", 1e3*most, 1e3*q.X, 1e3*q.Y, 1e3*q.Z, 1e3*proudRoom, 100*over/whole),
		Why:  "the mould's face is moved by the stack's nominal thickness, and laps and sheared cloth are thicker",
		Do:   "carve meshes/mould.stl where a machine carves it; else plan laps away from faces that must fit"}.
		Against(1e3*most, 1e3*proudRoom, "mm")}
}

// setting holds the temperature at which the cure sets the resin against the one
// that the mould's size was reckoned with.
func (p *Plan) setting() []fault.Finding {
	fit := p.Mould.Fit
	if p.Cure == nil || p.Cure.Gel == nil || fit.MouldAlpha == nil || fit.PartAlpha == nil {
		return nil
	}
	h := p.Cure.History
	at := 0
	for at+1 < len(h.Time) && h.Time[at] < float64(*p.Cure.Gel) {
		at++
	}
	if len(h.Temperature) == 0 {
		return nil
	}
	sets := h.Temperature[at]
	off := float64(*fit.PartAlpha-*fit.MouldAlpha) * float64(sets-fit.Gel) * p.Mould.Surface.Diagonal()
	if math.Abs(off) <= sizeRoom {
		return nil
	}
	show := func(t si.Temperature) string { return si.Show(t, p.Spec.system(), 3) }
	return []fault.Finding{fault.Finding{Stage: "cure", Severity: fault.Caution, Code: "sets-elsewhere",
		What: fmt.Sprintf("The resin sets at %s; the mould's size was reckoned with %s, which makes %.2f mm over the whole part", show(sets), show(fit.Gel), 1e3*math.Abs(off)),
		Why:  "mould and part grow unlike from there",
		Do:   fmt.Sprintf("write mould.gel_temperature: %q", show(sets))}.
		Against(1e3*math.Abs(off), 1e3*sizeRoom, "mm")}
}
