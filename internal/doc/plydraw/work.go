package plydraw

import (
	"strconv"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/doc/draw"
	"laywright/internal/stage/plies"
)

// Work draws the order in which a kind of ply is laid down: numbered arrows over
// the mould, with slits and seed; false where the plan has no advice for it.
func (a *Album) Work(k Kind) (Picture, bool) {
	steps := k.Advice().Steps
	if len(steps) == 0 || !has(a.plan) {
		return Picture{}, false
	}
	return a.work(k, steps), true
}

func (a *Album) work(k Kind, steps []plies.AdviceStep) Picture {
	s := a.mould()
	for _, seam := range k.First.Seams {
		s.scene.Traces = append(s.scene.Traces, slitTraces(points(seam.Line))...)
	}
	arrows := pushes(steps, a.groundsOf(k), s)
	return Picture{Name: k.stem() + "-work", Caption: k.Label() + ": order of work", Aspect: s.aspect(), Table: stepTable(steps),
		Sort: "Order of work", Key: "Numbers: the steps, in order. Arrows: which way the hand works the cloth.",
		draw: func(box r2.Box) []draw.Item {
			l, s := labels{room: box}, s
			if box.Size().X < twoViews {
				s.eyes = []r3.Vec{s.above()}
			}
			return s.draw(box, underAxes, signRoom, r2.Box{}, func(v seen) []draw.Item { return v.worked(steps, arrows, &l) })
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

// pushed is an arrow over the surface: its parts, broken at holes and slits, and
// whether the last of them comes to its end.
type pushed struct {
	step  int // its number less 1
	parts [][]r3.Vec
	whole bool
}

// pushes lays the arrows of the steps over the surface, along the cloth where
// both ends lie on one piece.
func pushes(steps []plies.AdviceStep, grounds []*ground, s stage) (out []pushed) {
	for i, step := range steps {
		if step.Kind == began {
			continue
		}
		for _, a := range append([][2][3]float64{{step.From, step.To}}, step.Also...) {
			from, to := vec(a[0]), vec(a[1])
			parts, whole := onCloth(grounds, step.Piece, from, to)
			if parts == nil {
				parts, whole = [][]r3.Vec{s.chord(from, to)}, true
			}
			out = append(out, pushed{i, parts, whole})
		}
	}
	return out
}

// mostGap is the share of an arrow along the cloth that may lack for holes.
const mostGap = 0.4

// onCloth returns the way from one place to another that is straight in the flat
// cloth; nil where a notch takes too much of it or an end is not on the piece.
func onCloth(grounds []*ground, piece string, from, to r3.Vec) (parts [][]r3.Vec, whole bool) {
	for _, g := range grounds {
		if g.patch || piece != "" && g.piece != piece {
			continue
		}
		a, on := g.place(from)
		b, too := g.place(to)
		d := r2.Sub(b, a)
		long := r2.Norm(d)
		if !on || !too || long == 0 {
			continue
		}
		covered := 0.0
		for _, t := range g.turned(a, r2.Scale(1/long, d)).threads(lonely, false) {
			line, u0, u1 := t.within(0, long)
			if len(line) > 1 {
				parts = append(parts, line)
				covered += u1 - u0
				whole = whole || u1 > long*(1-1e-6)
			}
		}
		if covered >= (1-mostGap)*long {
			return parts, whole
		}
		parts, whole = nil, false
	}
	return nil, false
}

// chordPieces is into how many pieces a chord is divided.
const chordPieces = 24

// chord is the surface under the straight line between two places.
func (s stage) chord(from, to r3.Vec) (out []r3.Vec) {
	for i := range chordPieces + 1 {
		p := mixed(from, to, float64(i)/chordPieces)
		if hit, ok := s.find.Closest(p); ok {
			p = hit.At
		}
		out = append(out, p)
	}
	return out
}

// worked draws the arrows, each with its step's number at the tip, as far as they
// are seen.
func (v seen) worked(steps []plies.AdviceStep, arrows []pushed, l *labels) (out []draw.Item) {
	var signs []draw.Item
	for i, s := range steps {
		if at, shown := v.at(vec(s.From)); shown && s.Kind == began {
			signs = append(signs, seedSign(at)...)
			signs = append(signs, l.name(at, r2.Vec{X: -1, Y: 1}, strconv.Itoa(i+1))...)
		}
	}
	for _, a := range arrows {
		for k, part := range a.parts {
			items, tip := v.push(part, a.whole && k == len(a.parts)-1)
			out = append(out, items...)
			if tip != nil {
				signs = append(signs, l.name(*tip, r2.Sub(*tip, v.box.Center()), strconv.Itoa(a.step+1))...)
			}
		}
	}
	return append(out, signs...)
}

// push draws what is seen of a line over the surface; with a head, and where that
// is, if its end is to have one and is seen.
func (v seen) push(line []r3.Vec, head bool) (items []draw.Item, tip *r2.Vec) {
	var run []r2.Vec
	plain := func() {
		if len(run) > 1 {
			items = append(items, haloed(draw.InkPen(0.45), run...)...)
		}
		run = nil
	}
	for _, p := range line {
		if q, shown := v.at(p); shown {
			run = append(run, q)
		} else {
			plain()
		}
	}
	if n := len(run); n > 0 && head {
		return append(items, arrow(0.45, run...)...), &run[n-1]
	}
	plain()
	return items, nil
}

func vec(p [3]float64) r3.Vec { return r3.Vec{X: p[0], Y: p[1], Z: p[2]} }
