package plydraw

import (
	"fmt"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/doc/draw"
	"laywright/internal/job"
	"laywright/internal/stage/flat"
)

// Seams draws the seams of all plies on the mould, a style of line for each kind
// of ply and the plies' numbers at the end of each; false where no ply is slit.
func (a *Album) Seams() (Picture, bool) {
	all := seamLines(a.kinds)
	if len(all) == 0 || !has(a.plan) {
		return Picture{}, false
	}
	s := a.mould()
	for _, l := range all {
		s.scene.Traces = append(s.scene.Traces, draw.Trace{Points: l.at, Pen: draw.Pen{Width: l.pen.Width + halo, Colour: draw.Ground}}, draw.Trace{Points: l.at, Pen: l.pen})
	}
	return Picture{Name: "seams", Caption: "Seams of all plies", Aspect: s.aspect(), Table: seamTable(a.plan, a.kinds),
		Sort: "Seams", Key: "In a field: the plies that have the seam. One style of line is one way of slitting. In the table: the letter of its match marks, the side that lies on top seen from where the seam begins, and the length over which the notch is narrower than the lap.",
		draw: func(box r2.Box) []draw.Item {
			l := labels{room: box}
			return s.draw(box, underAxes, seamRoom, r2.Box{}, func(v seen) []draw.Item { return v.named(all, &l) })
		}}, true
}

// seamLine is a seam on the mould.
type seamLine struct {
	at   []r3.Vec
	pen  draw.Pen
	sign string // of its plies
}

// seamLines lists the seams of all kinds.
func seamLines(kinds []Kind) (out []seamLine) {
	for i, k := range kinds {
		for _, s := range k.First.Seams {
			out = append(out, seamLine{points(s.Line), seamPen(i), k.sign()})
		}
	}
	return out
}

// seamPen is the style of the seams of the i-th kind.
func seamPen(i int) draw.Pen {
	dashes := [][]float64{nil, {2.4, 1}, {0.9, 0.7}, {3, 0.8, 0.6, 0.8}}
	return draw.Pen{Width: 0.45, Colour: draw.Ink, Dash: dashes[i%len(dashes)]}
}

// mostNumbers is how many plies a sign names.
const mostNumbers = 5

// sign is short for the plies of a kind: "1·3".
func (k Kind) sign() string {
	var n []string
	for i, p := range k.Plies {
		if i == mostNumbers {
			return strings.Join(n, "·") + "…"
		}
		n = append(n, strconv.Itoa(p.Number))
	}
	return strings.Join(n, "·")
}

// seamRoom is kept free round the surface for the signs, in mm.
const seamRoom = 7

// named puts each seam's sign beside its end at the rim, where that is seen.
func (v seen) named(all []seamLine, l *labels) (out []draw.Item) {
	for _, seam := range all {
		if end, shown := v.at(seam.at[len(seam.at)-1]); shown {
			out = append(out, l.name(end, r2.Sub(end, v.box.Center()), seam.sign)...)
		}
	}
	return out
}

// seamTable lists the seams of each kind with where they run.
func seamTable(p job.Plan, kinds []Kind) draw.Table {
	w := wordsOf(p)
	t := draw.Table{Size: draw.Small, Columns: []draw.Column{{Head: "Plies", Share: 1.2}, {Head: "Seam", Share: 0.9}, {Head: "From", Share: 2.4}, {Head: "To the rim at", Share: 2.4},
		{Head: "Length", Share: 1.1, Align: draw.End}, {Head: "Lap", Share: 1, Align: draw.End}, {Head: "On top", Share: 0.9}, {Head: "Notch short", Share: 1.2, Align: draw.End}}}
	for _, k := range kinds {
		for _, s := range k.First.Seams {
			lap, over, short := "butted", "", ""
			if s.Lap > 0 {
				lap, over, short = w.length(float64(s.Lap)), s.Over, w.length(float64(s.Short))
			}
			t.Rows = append(t.Rows, []string{k.Numbers(), flat.Letters(s.Number), w.place(s.Line[0]), w.place(s.Line[len(s.Line)-1]), w.length(float64(s.Length)), lap, over, short})
		}
	}
	return t
}

// Stagger is the least distance between seams of neighbouring plies in words;
// empty where there is none.
func (a *Album) Stagger() string {
	p := a.plan
	if p.Plies == nil || p.Plies.Stagger == nil {
		return ""
	}
	return fmt.Sprintf("Seams of neighbouring plies come as near as %s.", wordsOf(p).length(*p.Plies.Stagger))
}

// apart is how much longer a step may be in the flat than on the surface before
// a line that runs over a slit is broken there.
const apart = 2.5

// seamsInFlat draws where seams of other plies lie on a piece.
func seamsInFlat(g *ground, others []seamLine, fit draw.Affine, l *labels) (out []draw.Item) {
	for _, seam := range others {
		pen := draw.Pen{Width: draw.Medium, Colour: draw.Soft, Dash: []float64{1, 0.8}}
		runs := g.inFlat(seam.at)
		for _, run := range runs {
			out = append(out, draw.Line(pen, fit.All(run)...))
		}
		if n := len(runs); n > 0 {
			last := runs[n-1]
			tip := last[len(last)-1]
			out = append(out, l.name(fit.Do(tip), r2.Sub(tip, last[0]), seam.sign)...)
		}
	}
	return out
}

// inFlat carries a line on the surface to the flat, broken where a slit runs
// through.
func (g *ground) inFlat(line []r3.Vec) (runs [][]r2.Vec) {
	var run []r2.Vec
	end := func() {
		if len(run) > 1 {
			runs = append(runs, run)
		}
		run = nil
	}
	for i, p := range line {
		q, ok := g.place(p)
		if n := len(run); n > 0 && (!ok || r2.Norm(r2.Sub(q, run[n-1])) > apart*r3.Norm(r3.Sub(p, line[i-1]))+1e-4) {
			end()
		}
		if ok {
			run = append(run, q)
		}
	}
	end()
	return runs
}
