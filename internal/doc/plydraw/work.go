package plydraw

import (
	"strconv"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/doc/draw"
	"laywright/internal/job"
	"laywright/internal/stage/plies"
)

// Work draws the order in which a kind of ply is laid down: numbered arrows over
// the mould, with slits and seed; false where the plan has no advice for it.
func Work(p job.Plan, k Kind) (Picture, bool) {
	steps := k.Advice().Steps
	if len(steps) == 0 || !has(p) {
		return Picture{}, false
	}
	return work(p, k, steps), true
}

func work(p job.Plan, k Kind, steps []plies.AdviceStep) Picture {
	s := newStage(p.Mould.Surface)
	for _, seam := range k.First.Seams {
		s.scene.Traces = append(s.scene.Traces, slitTraces(points(seam.Line))...)
	}
	return Picture{Name: k.stem() + "-work", Caption: k.Label() + ": order of work", Aspect: s.aspect(), Table: stepTable(steps),
		Key: "Numbers: the steps, in order. Arrows: which way the hand works the cloth.",
		draw: func(box r2.Box) []draw.Item {
			l, s := labels{room: box}, s
			if box.Size().X < twoViews {
				s.eyes = []r3.Vec{s.above()}
			}
			return s.draw(box, underAxes, signRoom, func(v seen) []draw.Item { return v.worked(steps, &l) })
		}}
}

// twoViews is the width of a box from which there is room for two views with
// numbers, in mm; in a narrower one the part is seen from above.
const twoViews = 120

// stepTable writes the steps.
func stepTable(steps []plies.AdviceStep) draw.Table {
	t := draw.Table{Size: draw.Small, Columns: []draw.Column{{Head: "Step", Share: 0.7, Face: draw.Bold}, {Head: "What to do", Share: 9}, {Head: "Shear on the way", Share: 1.7, Align: draw.End}}}
	for i, s := range steps {
		shear := ""
		if s.Shear > 0 {
			shear = degrees(float64(s.Shear))
		}
		t.Rows = append(t.Rows, []string{strconv.Itoa(i + 1), s.What, shear})
	}
	return t
}

// began is the kind of the step that lays a piece down at its seed.
const began = "start"

// worked draws the arrows of the steps, each with its number at the tip, as far
// as they are seen.
func (v seen) worked(steps []plies.AdviceStep, l *labels) (out []draw.Item) {
	var signs []draw.Item
	for i, s := range steps {
		number := strconv.Itoa(i + 1)
		if s.Kind == began {
			if at, shown := v.at(vec(s.From)); shown {
				signs = append(signs, seedSign(at)...)
				signs = append(signs, l.name(at, r2.Vec{X: -1, Y: 1}, number)...)
			}
			continue
		}
		for _, a := range append([][2][3]float64{{s.From, s.To}}, s.Also...) {
			line := v.push(a[0], a[1])
			out = append(out, line.items...)
			if line.tip != nil {
				signs = append(signs, l.name(*line.tip, r2.Sub(*line.tip, v.box.Center()), number)...)
			}
		}
	}
	return append(out, signs...)
}

// pushPieces is into how many pieces an arrow over the surface is divided.
const pushPieces = 24

// pushed is an arrow over the surface on paper; tip is nil where its end is hidden.
type pushed struct {
	items []draw.Item
	tip   *r2.Vec
}

// push draws an arrow over the surface from one place to another: what of it is
// seen, with its head if that is.
func (v seen) push(from, to [3]float64) (out pushed) {
	a, b := vec(from), vec(to)
	var run []r2.Vec
	for i := range pushPieces + 1 {
		p := mixed(a, b, float64(i)/pushPieces)
		if hit, ok := v.find.Closest(p); ok {
			p = hit.At
		}
		q, shown := v.at(p)
		switch {
		case shown:
			run = append(run, q)
		case len(run) > 1:
			out.items = append(out.items, haloed(draw.InkPen(0.45), run...)...)
			fallthrough
		default:
			run = nil
		}
	}
	if n := len(run); n > 0 {
		out.items = append(out.items, arrow(0.45, run...)...)
		out.tip = &run[n-1]
	}
	return out
}

func vec(p [3]float64) r3.Vec { return r3.Vec{X: p[0], Y: p[1], Z: p[2]} }
