package plydraw

import (
	"fmt"
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
	if len(steps) == 0 {
		return Picture{}, false
	}
	s := newStage(p.Mould.Surface)
	for _, seam := range k.First.Seams {
		s.scene.Traces = append(s.scene.Traces, slitTraces(points(seam.Line))...)
	}
	return Picture{Name: k.stem() + "-work", Caption: fmt.Sprintf("%s: order of work", k.Label()), Aspect: s.aspect(),
		Key:   []string{"Numbers are the steps in the table. Arrows: which way the hand works the cloth." + slitKey(k)},
		Table: stepTable(steps),
		draw: func(box r2.Box) []draw.Item {
			l := labels{room: box}
			return s.draw(box, signRoom, func(v seen) []draw.Item { return v.worked(steps, &l) })
		}}, true
}

// stepTable writes the steps.
func stepTable(steps []plies.AdviceStep) draw.Table {
	t := draw.Table{Size: draw.Small, Columns: []draw.Column{{Head: "Step", Share: 0.7, Face: draw.Bold}, {Head: "What to do", Share: 9}, {Head: "Shear on the way", Share: 1.7, Align: draw.End}}}
	for i, s := range steps {
		t.Rows = append(t.Rows, []string{strconv.Itoa(i + 1), s.What, degrees(float64(s.Shear))})
	}
	return t
}

// worked draws the arrows and numbers of the steps, as far as they are seen.
func (v seen) worked(steps []plies.AdviceStep, l *labels) (out []draw.Item) {
	for i, s := range steps {
		out = append(out, v.push(s.From, s.To)...)
		for _, a := range s.Also {
			out = append(out, v.push(a[0], a[1])...)
		}
		if p, shown := v.at(vec(s.From)); shown {
			to, _ := v.at(vec(s.To))
			out = append(out, l.name(p, r2.Sub(p, to), strconv.Itoa(i+1))...)
		}
	}
	return out
}

// pushPieces is into how many pieces an arrow over the surface is divided.
const pushPieces = 24

// push draws an arrow over the surface from one place to another: what of it is
// seen, with its head if that is.
func (v seen) push(from, to [3]float64) (out []draw.Item) {
	a, b := vec(from), vec(to)
	if a == b {
		return nil
	}
	var run []r2.Vec
	for i := range pushPieces + 1 {
		p := mixed(a, b, float64(i)/pushPieces)
		if hit, ok := v.find.Closest(p); ok {
			p = hit.At
		}
		q, shown := v.at(p)
		if shown {
			run = append(run, q)
		}
		if !shown || i == pushPieces {
			if shown {
				out = append(out, arrow(0.45, run...)...)
			} else if len(run) > 1 {
				out = append(out, haloed(draw.InkPen(0.45), run...)...)
			}
			run = nil
		}
	}
	return out
}

func vec(p [3]float64) r3.Vec { return r3.Vec{X: p[0], Y: p[1], Z: p[2]} }
